#include "sherdmark/ledger/reviews.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <set>

#include "ledger/checks.h"
#include "ledger/core.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 7> k_verdict_words = {"disagree",   "unknown",   "unreadable", "stale",
                                                             "incomplete", "misplaced", "agree"};

// One person may stand in the register in two spellings: "R. Quill" and "r quill" are the same eyes.
std::string letters_of(std::string_view name) {
  std::string letters = to_lower_ascii(name);
  std::erase_if(letters, [](char c) { return std::string_view{" .,-'_\t"}.find(c) != std::string_view::npos; });
  return letters;
}

void require_check(Database& db, std::int64_t check) {
  if (!db.find_integer("SELECT id FROM checks WHERE id = ?", check))
    throw usage_error(fmt::format("there is no verdict number {} in this ledger", check),
                      "name a bag or a set that was checked with --record");
}

// What was checked later under one set's name. The very files may be checked again, after a better picture was taken;
// dividers of one name on two days are two sets: their pictures are others.
class CheckedLater {
 public:
  [[nodiscard]] bool has(const std::vector<CheckPicture>& pictures) const {
    const bool by_name_alone = not_known_ || (any_ && pictures.empty());  // kept by an earlier version
    return by_name_alone || files_.contains(files_of(pictures));
  }
  void add(const std::vector<CheckPicture>& pictures) {
    any_ = true;
    not_known_ = not_known_ || pictures.empty();
    files_.insert(files_of(pictures));
  }

 private:
  static std::vector<std::string> files_of(const std::vector<CheckPicture>& pictures) {
    std::vector<std::string> files;
    for (const CheckPicture& picture : pictures) files.push_back(picture.file);
    return files;
  }

  bool any_ = false;
  bool not_known_ = false;
  std::set<std::vector<std::string>> files_;
};

}  // namespace

std::vector<StoredCheck> checks_to_review(const Ledger& ledger) {
  Database& db = core_of(ledger).db;
  std::vector<StoredCheck> checks;
  KeptChecks kept{db};
  std::map<std::string, CheckedLater> later;  // than the one at hand; of sets called so, of pictures called so
  Statement rows = db.prepare(
      "SELECT id, set_name, images, verdict <> 'agree' AND id NOT IN (SELECT check_id FROM reviews)"
      " AND id NOT IN (SELECT outcome FROM reviews), COUNT(*) OVER (PARTITION BY set_name, images)"
      " FROM checks ORDER BY id DESC");
  rows.with();
  while (rows.step()) {
    const std::int64_t id = rows.integer(0);
    const bool once = rows.integer(4) == 1;
    const std::vector<CheckPicture> pictures = once ? std::vector<CheckPicture>{} : kept.pictures_of(id);
    CheckedLater& same_name = later[rows.text(1) + '\n' + rows.text(2)];
    if (rows.integer(3) != 0 && (once || !same_name.has(pictures))) {
      checks.push_back({id, read_check(db, id)});
      kept.complete(id, checks.back().check);
    }
    same_name.add(pictures);
  }
  std::ranges::reverse(checks);
  return checks;
}

std::optional<StoredCheck> newest_check(const Ledger& ledger, const std::string& bag_or_set) {
  Database& db = core_of(ledger).db;
  auto id = db.find_integer("SELECT id FROM checks WHERE bag = ? ORDER BY id DESC LIMIT 1", bag_or_set);
  if (!id) id = db.find_integer("SELECT id FROM checks WHERE set_name = ? ORDER BY id DESC LIMIT 1", bag_or_set);
  if (!id) return std::nullopt;
  return StoredCheck{*id, read_check(db, *id)};
}

void record_review(Ledger& ledger, const Actor& actor, std::int64_t check, std::span<const KeyedAnswer> answers,
                   const CheckRecord& outcome) {
  LedgerCore& core = core_of(ledger);
  require_check(core.db, check);
  if (core.db.find_integer("SELECT id FROM reviews WHERE check_id = ?", check))
    throw usage_error(fmt::format("verdict number {} was reviewed before", check), "check the set again");
  std::set<std::int64_t> named;
  for (const KeyedAnswer& answer : answers)
    if (!named.insert(answer.reading).second)
      throw usage_error(fmt::format("label {} was answered twice", answer.reading + 1), "give one answer for each");
  JsonWriter out;
  out.begin_object().key("answers").begin_array();
  for (const KeyedAnswer& answer : answers) out.begin_array().integer(answer.reading).text(answer.keyed).end_array();
  out.end_array().key("check").integer(check).key("outcome");
  write_check(out, outcome);
  out.end_object();
  core.write(actor, "reviewed", out.take());
}

void override_check(Ledger& ledger, const Actor& actor, const Override& override) {
  LedgerCore& core = core_of(ledger);
  require_check(core.db, override.check);
  if (std::ranges::find(k_verdict_words, override.verdict) == k_verdict_words.end())
    throw usage_error(fmt::format("\"{}\" is no verdict", printable(override.verdict)),
                      fmt::format("say one of {}", fmt::join(k_verdict_words, ", ")));
  if (trim(override.reason).empty())
    throw usage_error("an override needs a reason", "say in a few words why the verdict is taken upon oneself");
  if (override.verdict == "agree" && override.second_person.empty())
    throw usage_error("to say \"agree\" needs a second person", "let somebody else look, and name them with --second");
  if (!override.second_person.empty()) {
    if (letters_of(override.second_person) == letters_of(actor.person))
      throw usage_error("the second person is the same as the first", "let somebody else look");
    if (!core.db.find_integer("SELECT 1 FROM persons WHERE name = ?", override.second_person))
      throw usage_error(fmt::format("{} is not in the register", printable(override.second_person)),
                        "enter the person with \"sherdmark register\"");
  }
  JsonWriter out;
  out.begin_object().key("check").integer(override.check).key("reason").text(override.reason);
  out.key("second_person").text(override.second_person).key("verdict").text(override.verdict).end_object();
  core.write(actor, "overridden", out.take());
}

std::vector<Override> overrides(const Ledger& ledger) {
  std::vector<Override> all;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT o.check_id, o.verdict, o.reason, o.person, o.second_person, c.bag, c.set_name, t.time FROM overrides o"
      " JOIN checks c ON c.id = o.check_id JOIN override_times t ON t.override = o.id ORDER BY o.id DESC");
  rows.with();
  while (rows.step())
    all.push_back({rows.integer(0), rows.text(1), rows.text(2), rows.text(3), rows.text(4), rows.text(5), rows.text(6),
                   rows.text(7)});
  return all;
}

void record_grades(Ledger& ledger, const Actor& actor, std::span<const SeenGrade> grades) {
  if (grades.empty()) return;
  JsonWriter out;
  out.begin_object().key("grades").begin_array();
  for (const SeenGrade& one : grades) {
    if (!(one.grade >= 0 && one.grade <= 4))
      throw usage_error(fmt::format("{} is no print grade", one.grade), "grades go from 0 to 4");
    out.begin_array().text(one.serial).decimal(one.grade).text(one.method).end_array();
  }
  out.end_array().end_object();
  core_of(ledger).write(actor, "graded", out.take());
}

}  // namespace sherdmark
