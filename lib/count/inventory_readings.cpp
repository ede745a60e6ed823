#include "sherdmark/count/inventory_readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/verify/scan_set.h"
#include "sherdmark/verify/typed_label.h"
#include "sherdmark/verify/typed_number.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_keyed = "number keyed";
constexpr std::size_t k_time_length = 20;  // "2031-05-04T13:45:10Z"
constexpr std::size_t k_longest_line = 2000;

std::optional<std::string> after_word(std::string_view line, std::string_view word) {
  if (line.size() < word.size() || to_lower_ascii(line.substr(0, word.size())) != word) return std::nullopt;
  if (line.size() > word.size() && line[word.size()] != ' ' && line[word.size()] != '\t') return std::nullopt;
  return std::string{trim(line.substr(word.size()))};
}

class LineReader {
 public:
  LineReader(const Ledger& ledger, const std::string& place, const std::string& box) : ledger_(ledger) {
    lines_.place = place;
    lines_.box = box;
  }

  InventoryLines run(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    for (const std::string& whole : split(text, '\n')) {
      ++number_;
      std::string_view line = trim(whole);
      if (line.empty() || line.starts_with('#')) continue;
      whole_ = line.substr(0, k_longest_line);
      if (line.size() > k_longest_line || !is_valid_utf8(line)) {
        bad("this is no line of a scanner", "check that the file is plain text, one scan a line");
        continue;
      }
      take_time(line);
      take(line);
    }
    return std::move(lines_);
  }

 private:
  void bad(std::string what, std::string remedy) {
    lines_.problems.push_back({number_, printable(whole_), std::move(what), std::move(remedy)});
  }

  void take_time(std::string_view& line) {
    time_.clear();
    if (line.size() <= k_time_length || line[4] != '-' || line[k_time_length - 1] != 'Z') return;
    try {
      time_ = format_time(parse_time(std::string{line.substr(0, k_time_length)}));
      line = trim(line.substr(k_time_length));
    } catch (const Error&) {
      time_.clear();  // not a time after all
    }
  }

  void take(std::string_view line) {
    if (const auto place = after_word(line, "place")) return set_place(*place);
    if (const auto box = after_word(line, "box")) return set_box(*box);
    if (const auto count = after_word(line, "count")) return set_count(*count);
    if (const auto what = after_word(line, "unlabelled")) return add_unlabelled(*what);
    const LinkReading code = parse_code_text(line);
    switch (code.status) {
      case LinkStatus::ours:
        return code.link ? take_link(*code.link) : take_number(code.micro->number);
      case LinkStatus::newer:
        return add(SeenKind::unread, "a code of a newer version of this program");
      case LinkStatus::damaged:
        return add(SeenKind::unread, "a code of ours that was not read whole");
      case LinkStatus::foreign:
        return take_typed(line);
    }
  }

  void set_place(const std::string& name) {
    if (name.empty() || name == "-") return lines_.place.clear(), lines_.box.clear();
    const auto path = place_named(ledger_, name);
    if (!path) return bad("the ledger knows no such place", "write it as the ledger has it, from the outside in");
    lines_.place = *path;
    lines_.box.clear();
  }

  void set_box(const std::string& name) {
    if (name.empty() || name == "-") return lines_.box.clear();
    const auto box = box_named(ledger_, name);
    if (!box) return bad("the ledger knows no such box", "write its name as it stands on the box");
    lines_.box = *box;
  }

  void set_count(const std::string& words) {
    const auto count = parse_integer(words);
    if (!count || *count < 0) return bad("this is no count", "write it like: count 12");
    if (lines_.readings.empty() || lines_.readings.back().bag.empty())
      return bad("a count follows the bag it is of", "scan or key the bag first, then its count");
    lines_.readings.back().count = *count;
    lines_.readings.back().evidence = to_text(Evidence::opened_and_counted);
  }

  void add_unlabelled(const std::string& what) {
    if (what.empty())
      return bad("nothing says what has no label", "write it like: unlabelled iron knife, in two pieces");
    add(SeenKind::unlabelled, what);
  }

  void take_link(const LinkCode& link) {
    if (link.collection_key != ledger_.collection_key())
      return add(SeenKind::unknown,
                 fmt::format("a {} of another collection, {}", to_text(link.role), link.collection_key));
    switch (link.role) {
      case LabelRole::bag:
      case LabelRole::tag:
        return add_bag(link);
      case LabelRole::box:
        return set_box(link.subject);
      case LabelRole::shelf:
        return set_place(link.subject);
      case LabelRole::action:
      case LabelRole::divider:
        return;  // orders for a session; a list of scans needs none
      default:
        return take_number(link.number);
    }
  }

  void add_bag(const LinkCode& link) {
    if (!ledger_.find_bag(link.subject))
      return add(SeenKind::unknown, "a bag the ledger does not know, " + group_identity(link.subject));
    add(SeenKind::label, {});
    lines_.readings.back().bag = link.subject;
    lines_.readings.back().serial = link.serial;
    lines_.readings.back().evidence = to_text(Evidence::seen_outside);
  }

  void take_typed(std::string_view line) {
    if (const auto bag = parse_identity(IdentityKind::bag, line); bag && ledger_.find_bag(*bag)) return add_typed(*bag);
    if (const auto box = parse_identity(IdentityKind::box, line); box && box_named(ledger_, *box)) return set_box(*box);
    if (const auto place = parse_identity(IdentityKind::place, line); place && place_named(ledger_, *place))
      return set_place(*place);
    const TypedNumber number = typed_number(ledger_, ledger_.standard(), line);
    const bool believed = number.sense == TypedSense::number;
    if (!believed || ledger_.find_number(number.number).meaning == NumberMeaning::unknown)
      if (const TypedPrint typed = typed_print(ledger_, line); typed.print)
        return add_print(*typed.print, typed.what == TypedLabel::label);
    if (number.sense == TypedSense::wrong_check || number.sense == TypedSense::needs_check)
      return add(SeenKind::unread, typed_number_problem(number, line));
    take_number(believed ? number.number : std::string{line});
  }

  void add_typed(const std::string& bag) {
    add(SeenKind::typed, {});
    lines_.readings.back().bag = bag;
    lines_.readings.back().evidence = k_keyed;
  }

  // A serial with its bag's id is a label; alone it may be a slip of the finger, and is as weak as a bag id typed.
  void add_print(const PrintRecord& print, bool whole) {
    const bool carrier = print.role == LabelRole::bag || print.role == LabelRole::tag;
    if (!carrier || !ledger_.find_bag(print.subject)) return take_number(print.number);
    if (!whole) return add_typed(print.subject);
    add(SeenKind::label, {});
    lines_.readings.back().bag = print.subject;
    lines_.readings.back().serial = print.serial;
    lines_.readings.back().evidence = to_text(Evidence::seen_outside);
  }

  // A number stands for a bag only where no other bag can be meant.
  void take_number(const std::string& number) {
    const NumberRecord known = ledger_.find_number(number);
    if (known.meaning == NumberMeaning::unknown) return add(SeenKind::unknown, "no record of " + printable(number));
    if (!known.formerly.empty())
      return add(SeenKind::unread, fmt::format("{} was {}'s number before: key the bag id", printable(number),
                                               printable(join(known.formerly, ", "))));
    std::set<std::string> bags;
    for (const std::string& item : known.items)
      for (const std::string& bag : ledger_.bags_of_item(item)) bags.insert(bag);
    if (bags.size() == 1) return add_typed(*bags.begin());
    add(SeenKind::unread, bags.empty()
                              ? fmt::format("{} is in no bag", printable(number))
                              : fmt::format("{} is in {} bags: key the bag id", printable(number), bags.size()));
  }

  void add(SeenKind kind, std::string words) {
    InventoryReading reading;
    reading.kind = kind;
    reading.text = words.empty() ? std::string{whole_} : std::move(words);
    reading.place = lines_.place;
    reading.box = lines_.box;
    reading.time = time_;
    lines_.readings.push_back(std::move(reading));
  }

  const Ledger& ledger_;
  InventoryLines lines_;
  std::size_t number_ = 0;
  std::string_view whole_;
  std::string time_;
};

std::string codes_of(const SetVerdict& verdict) {
  std::vector<std::string> codes;
  for (const Reason& reason : verdict.reasons)
    if (std::ranges::find(codes, reason.code) == codes.end()) codes.push_back(reason.code);
  return join(codes, " ");
}

bool names_a_bag(const Reading& reading, const Ledger& ledger) {
  return (reading.role == LabelRole::bag || reading.role == LabelRole::tag) && reading.sure && reading.bag &&
         reading.collection_key == ledger.collection_key() && ledger.find_bag(*reading.bag).has_value();
}

}  // namespace

InventoryLines read_inventory_lines(std::string_view text, const Ledger& ledger, const std::string& place,
                                    const std::string& box) {
  return LineReader{ledger, place, box}.run(text);
}

std::vector<InventoryReading> inventory_readings(const SetVerdict& verdict, const Ledger& ledger,
                                                 const std::string& place, const std::string& box,
                                                 std::optional<std::int64_t> counted) {
  InventoryReading common;
  common.place = place;
  common.box = box;
  common.verdict = to_text(verdict.verdict);
  common.reasons = codes_of(verdict);
  for (const Reading& reading : verdict.readings)
    if (reading.sure && reading.role == LabelRole::shelf && reading.place)
      if (const auto path = place_named(ledger, *reading.place)) common.place = *path;
  std::vector<InventoryReading> readings;
  for (const Reading& reading : verdict.readings) {
    if (!names_a_bag(reading, ledger)) continue;
    InventoryReading one = common;
    one.text = reading.text.value_or(verdict.set);
    one.bag = *reading.bag;
    one.serial = reading.serial.value_or("");
    one.kind = one.serial.empty() ? SeenKind::typed : SeenKind::label;
    one.evidence = to_text(verdict.evidence);
    if (verdict.bag == one.bag) one.count = counted;
    readings.push_back(std::move(one));
  }
  if (!readings.empty()) return readings;
  common.kind = verdict.verdict == Verdict::unknown ? SeenKind::unknown : SeenKind::unread;
  common.text = verdict.set;
  return {common};
}

}  // namespace sherdmark
