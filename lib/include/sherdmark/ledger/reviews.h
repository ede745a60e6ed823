// What people add to a verdict: labels keyed from crops that could not be read, overrides, and how well labels were
// printed when they were seen. Free functions over a Ledger; called by the tool and by reports. Each writing function
// is one event.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// A verdict that was kept, with the number it has in this ledger.
struct StoredCheck {
  std::int64_t id = 0;
  CheckRecord check;
};

// The verdicts that do not agree and that nobody has reviewed yet, oldest first, with what was said beside the
// pictures. Of the same files under the same set's name the newest alone; sets of one name with other files are others.
[[nodiscard]] std::vector<StoredCheck> checks_to_review(const Ledger& ledger);
// The newest verdict on a bag id, or else on a set of that name. std::nullopt: none was kept.
[[nodiscard]] std::optional<StoredCheck> newest_check(const Ledger& ledger, const std::string& bag_or_set);

// One crop and what a person keyed for it; empty: the person cannot read it either.
struct KeyedAnswer {
  std::int64_t reading = 0;  // which reading of the check, from 0
  std::string keyed;
};
// The answers, and the verdict that they lead to, kept as a verdict of its own. usage_error when the check is not
// there, was reviewed before, or a reading is named twice; nothing is written then.
void record_review(Ledger& ledger, const Actor& actor, std::int64_t check, std::span<const KeyedAnswer> answers,
                   const CheckRecord& outcome);

// A person takes a verdict upon themselves. To say "agree" needs a second person of the register, another one.
struct Override {
  std::int64_t check = 0;
  std::string verdict;  // one of the verdicts' words
  std::string reason;
  std::string person;         // filled when read back
  std::string second_person;  // empty unless there was one
  std::string bag;            // of the check; filled when read back, as are set and time
  std::string set;
  std::string time;
};
// usage_error: no such check, a verdict that there is not, no reason, or the second person is missing, unknown or the
// same.
void override_check(Ledger& ledger, const Actor& actor, const Override& override);
// Newest first. Always counted apart: an override changes no verdict that was kept.
[[nodiscard]] std::vector<Override> overrides(const Ledger& ledger);

// The print grade of a label as it was seen, 4 (A) to 0 (F), by `method` ("ISO/IEC 15415 estimate from a picture").
struct SeenGrade {
  std::string serial;
  double grade = 0;
  std::string method;
};
// Nothing to record is no event. usage_error for a grade outside 0-4.
void record_grades(Ledger& ledger, const Actor& actor, std::span<const SeenGrade> grades);

}  // namespace sherdmark
