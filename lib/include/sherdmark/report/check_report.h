// Verdicts as JSON (the contract of `check --json`: keys are only ever added), as text for a terminal, and as CSV.
// All three are functions from values to text; nothing here touches files.
#pragma once

#include <array>
#include <span>
#include <string>

#include "sherdmark/verify/judge.h"

namespace sherdmark {

// Number of sets by verdict, in the order of the verdicts.
using VerdictCounts = std::array<std::size_t, k_verdicts>;
[[nodiscard]] VerdictCounts count_verdicts(std::span<const SetVerdict> verdicts);
[[nodiscard]] bool all_agree(std::span<const SetVerdict> verdicts);  // of no set at all: false

// A picture that could not be read: the set it stands in has no verdict.
struct UnreadPicture {
  std::string image;
  std::string error;
};

[[nodiscard]] std::string check_json(std::span<const SetVerdict> verdicts, std::span<const UnreadPicture> unread = {});

// A table, one line a set; then for every set that does not agree, or has notes, what is wrong and what to do; then the
// count and what was not tested. No colour, no control characters.
[[nodiscard]] std::string check_text(std::span<const SetVerdict> verdicts);

// One line a set, UTF-8 with BOM, formulas neutralised.
[[nodiscard]] std::string check_csv(std::span<const SetVerdict> verdicts);

}  // namespace sherdmark
