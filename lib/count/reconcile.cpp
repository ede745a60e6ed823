#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/count/inventory.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_no_place = "(no place recorded)";
constexpr std::array<std::string_view, 6> k_evidence = {
    "", "number keyed", "seen outside", "bag and tag", "bag, tag and artifacts", "opened and counted"};

std::size_t rank_of(std::string_view evidence) {
  const auto* found = std::ranges::find(k_evidence, evidence);
  return found == k_evidence.end() ? 0 : static_cast<std::size_t>(found - k_evidence.begin());
}

bool is_live(const SeenReading& reading) { return reading.state == "printed" || reading.state == "applied"; }

bool says(const std::string& reasons, std::string_view code) {
  const auto all = split(reasons, ' ');
  return std::ranges::find(all, code) != all.end();
}

std::string where_of(const SeenReading& reading) {
  if (reading.box.empty()) return reading.place;
  const std::string box = "box " + reading.box;
  return reading.place.empty() ? box : reading.place + ", " + box;
}

// What only one of them says is not at odds.
bool at_odds(const SeenReading& a, const SeenReading& b) {
  const bool places = !a.place.empty() && !b.place.empty() && !places_agree(a.place, b.place);
  return places || (!a.box.empty() && !b.box.empty() && a.box != b.box);
}

// All that is known of one bag while its readings go by.
class BagTally {
 public:
  explicit BagTally(const ExpectedBag* expected) {
    if (expected != nullptr) expected_ = *expected;
    line_.where = expected == nullptr ? Whereabouts::not_expected : Whereabouts::not_found;
    line_.expected_place = expected_.place;
    line_.expected_box = expected_.box;
    line_.exempt = expected_.exempt;
    line_.pieces_expected = expected_.pieces;
    line_.bag = expected_.bag;
  }

  void add(const SeenReading& reading) {
    line_.bag = reading.bag;
    ++line_.readings;
    weigh(reading);
    look_at_print(reading);
    look_at_place(reading);
    look_at_verdict(reading);
    if (reading.count) line_.pieces_counted = reading.count;
    if (reading.time >= line_.last_seen) {
      line_.last_seen = reading.time;
      line_.last_seen_by = reading.person;
    }
  }

  const InventoryLine& finish() {
    line_.prints = static_cast<std::int64_t>(serials_.size());
    if (!line_.bag.empty() && line_.readings > 0) line_.evidence = evidence();
    settle_place();
    settle_duplicates();
    if (line_.pieces_counted && line_.pieces_expected && *line_.pieces_counted != *line_.pieces_expected)
      find(Finding::count_differs,
           fmt::format("{} counted, {} recorded.", *line_.pieces_counted, *line_.pieces_expected));
    return line_;
  }

 private:
  void find(Finding finding, std::string text) {
    const auto same = std::ranges::find_if(
        line_.findings, [&](const FoundFinding& known) { return known.finding == finding && known.text == text; });
    if (same == line_.findings.end()) line_.findings.push_back({finding, std::move(text)});
  }

  void weigh(const SeenReading& reading) {
    best_ = std::max(best_, rank_of(reading.evidence));
    if (reading.kind == SeenKind::label && reading.role == "bag") outside_ = true;
    if (reading.kind == SeenKind::label && reading.role == "tag") tag_ = true;
    if (reading.count) best_ = k_evidence.size() - 1;
  }
  [[nodiscard]] std::string evidence() const {
    const std::size_t both = outside_ && tag_ ? rank_of("bag and tag") : 0;
    return std::string{k_evidence[std::max(best_, both)]};
  }

  void look_at_print(const SeenReading& reading) {
    if (reading.serial.empty()) return;
    serials_.insert(reading.serial);
    if (is_live(reading)) {
      live_[{reading.role, reading.ordinal}].insert(reading.serial);
      return;
    }
    if (reading.state == "no print")
      find(Finding::no_record, fmt::format("The ledger knows no print {}.", reading.serial));
    else if (reading.state == "another bag's")
      find(Finding::disagrees, fmt::format("The print {} was made for another bag.", reading.serial));
    else
      find(Finding::stale_label,
           fmt::format("The {} label {} is {}.", reading.role, reading.serial,
                       reading.state == "generated" ? "not confirmed as printed" : reading.state));
  }

  void look_at_place(const SeenReading& reading) {
    const std::string where = where_of(reading);
    if (where.empty()) return;
    line_.seen_place = where;
    if (line_.where == Whereabouts::not_expected) return note_place(reading);
    const bool box_known = !reading.box.empty() && !expected_.box.empty();
    const bool place_known = !reading.place.empty() && !expected_.place.empty();
    if (!reading.box.empty() && expected_.box.empty() && !place_known) {
      away_.insert(where);
      return note_place(reading);
    }
    if (!box_known && !place_known) return note_place(reading);
    const bool right =
        (!box_known || reading.box == expected_.box) && (!place_known || places_agree(reading.place, expected_.place));
    if (right)
      home_ = true;
    else
      away_.insert(where);
    note_place(reading);
  }

  // One print at two places that are at odds.
  void note_place(const SeenReading& reading) {
    if (reading.serial.empty()) return;
    const auto [known, fresh] = first_of_.try_emplace(reading.serial, reading);
    if (!fresh && at_odds(known->second, reading))
      find(Finding::duplicate, fmt::format("The print {} was seen at {} and at {}: moved meanwhile, or copied.",
                                           reading.serial, where_of(known->second), where_of(reading)));
  }

  void look_at_verdict(const SeenReading& reading) {
    if (reading.verdict == "disagree")
      find(Finding::disagrees, "Its labels do not belong together: " + reading.reasons + ".");
    if (reading.verdict == "unreadable") find(Finding::unread, "Not all its labels were read surely.");
    if (says(reading.reasons, "missing-bag-label")) find(Finding::unlabelled, "Its bag label was not seen.");
    if (reading.kind == SeenKind::unread) find(Finding::unread, reading.text);
  }

  void settle_place() {
    if (line_.where == Whereabouts::not_expected) {
      if (!line_.bag.empty()) find(Finding::extra, line_.seen_place.empty() ? "" : "Seen at " + line_.seen_place + ".");
      return;
    }
    if (!line_.exempt.empty()) {
      line_.where = Whereabouts::exempt;
      if (line_.exempt == "on loan" && line_.readings > 0)
        find(Finding::lent_but_here, line_.seen_place.empty() ? "" : "Seen at " + line_.seen_place + ".");
      return;
    }
    if (line_.readings == 0) {
      find(Finding::not_found, "");
      return;
    }
    line_.where = home_ ? Whereabouts::at_home : away_.empty() ? Whereabouts::place_not_said : Whereabouts::elsewhere;
    if (line_.where == Whereabouts::elsewhere)
      find(Finding::seen_elsewhere, "Seen at " + join({away_.begin(), away_.end()}, " and at ") + ".");
  }

  void settle_duplicates() {
    for (const auto& [label, prints] : live_)
      if (prints.size() > 1)
        find(Finding::duplicate, fmt::format("{} live prints of its {} label: {}.", prints.size(), label.first,
                                             join({prints.begin(), prints.end()}, ", ")));
  }

  ExpectedBag expected_;
  InventoryLine line_;
  std::size_t best_ = 0;
  bool outside_ = false, tag_ = false, home_ = false;
  std::set<std::string> serials_, away_;
  std::map<std::pair<std::string, int>, std::set<std::string>> live_;  // by role and sheet
  std::map<std::string, SeenReading> first_of_;                        // by serial: where each print was seen first
};

// A reading that leads to no bag is a line of its own.
InventoryLine line_without_bag(const SeenReading& reading) {
  InventoryLine line;
  line.where = Whereabouts::not_expected;
  line.text = reading.text;
  line.seen_place = where_of(reading);
  line.readings = 1;
  line.pieces_counted = reading.count;
  line.last_seen = reading.time;
  line.last_seen_by = reading.person;
  const Finding finding = reading.kind == SeenKind::unlabelled ? Finding::unlabelled
                          : reading.verdict == "disagree"      ? Finding::disagrees
                          : reading.kind == SeenKind::unread   ? Finding::unread
                                                               : Finding::no_record;
  line.findings.push_back({finding, reading.reasons.empty() ? "" : reading.reasons + "."});
  return line;
}

class Sum {
 public:
  Sum(InventoryTotals& totals, const std::function<void(const InventoryLine&)>& tell) : totals_(totals), tell_(tell) {}

  void take(const InventoryLine& line) {
    if (!line.bag.empty()) ++totals_.where[static_cast<std::size_t>(line.where)];
    for (const FoundFinding& found : line.findings) ++totals_.findings[static_cast<std::size_t>(found.finding)];
    totals_.on_loan += line.exempt == "on loan" ? 1 : 0;
    totals_.restricted += line.exempt == "restricted" ? 1 : 0;
    totals_.prints += line.prints;
    totals_.readings += line.readings;
    if (!line.evidence.empty()) ++totals_.evidence[line.evidence];
    if (line.expected()) count_place(line);
    tell_(line);
  }

 private:
  void count_place(const InventoryLine& line) {
    PlaceProgress& place = totals_.places[line.expected_place.empty() ? std::string{k_no_place} : line.expected_place];
    switch (line.where) {
      case Whereabouts::at_home:
        ++place.at_home;
        break;
      case Whereabouts::place_not_said:
        ++place.place_not_said;
        break;
      case Whereabouts::elsewhere:
        ++place.elsewhere;
        break;
      case Whereabouts::exempt:
        ++place.exempt;
        break;
      default:
        ++place.not_found;
    }
  }

  InventoryTotals& totals_;
  const std::function<void(const InventoryLine&)>& tell_;
};

// A stream with its next value in hand.
template <typename Value>
class Ahead {
 public:
  Ahead(const std::function<bool(Value&)>& next, std::string Value::*key, bool repeats)
      : next_(next), key_(key), repeats_(repeats) {
    there_ = next_(value_);
  }
  [[nodiscard]] bool there() const { return there_; }
  [[nodiscard]] const Value& value() const { return value_; }
  [[nodiscard]] const std::string& key() const { return value_.*key_; }
  void step() {
    before_ = value_.*key_;
    there_ = next_(value_);
    if (there_ && (value_.*key_ < before_ || (!repeats_ && value_.*key_ == before_)))
      throw internal_error("an inventory's bags do not come in the order of their ids.");
  }

 private:
  const std::function<bool(Value&)>& next_;
  std::string Value::*key_;
  bool repeats_;
  Value value_;
  std::string before_;
  bool there_ = false;
};

}  // namespace

InventoryTotals reconcile(const NextExpected& next_expected, const NextSeen& next_seen,
                          const std::function<void(const InventoryLine&)>& tell) {
  InventoryTotals totals;
  Sum sum{totals, tell};
  Ahead<ExpectedBag> expected{next_expected, &ExpectedBag::bag, false};
  Ahead<SeenReading> seen{next_seen, &SeenReading::bag, true};
  for (; seen.there() && seen.key().empty(); seen.step()) sum.take(line_without_bag(seen.value()));
  while (expected.there() || seen.there()) {
    const bool is_expected = expected.there() && (!seen.there() || expected.key() <= seen.key());
    const std::string bag = is_expected ? expected.key() : seen.key();
    BagTally tally{is_expected ? &expected.value() : nullptr};
    for (; seen.there() && seen.key() == bag; seen.step()) tally.add(seen.value());
    sum.take(tally.finish());
    if (is_expected) expected.step();
  }
  return totals;
}

std::int64_t InventoryTotals::wanted() const { return done() + count(Whereabouts::not_found); }
std::int64_t InventoryTotals::done() const {
  return count(Whereabouts::at_home) + count(Whereabouts::elsewhere) + count(Whereabouts::place_not_said);
}
bool InventoryTotals::nothing_found() const {
  return std::ranges::all_of(findings, [](std::int64_t count) { return count == 0; });
}

bool places_agree(std::string_view one, std::string_view other) {
  if (one.size() > other.size()) std::swap(one, other);
  return other.starts_with(one) && (one.size() == other.size() || other[one.size()] == '/');
}

}  // namespace sherdmark
