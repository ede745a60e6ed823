// One predicate a verdict: the reasons for which it holds, in the order of the readings; empty when it does not.
// Each is pure and looks only at the case; none knows of the others.
#pragma once

#include <vector>

#include "verify/case.h"

namespace sherdmark {

using Reasons = std::vector<Reason>;

[[nodiscard]] Reasons carriers_disagree(const Case& the_case);
[[nodiscard]] Reasons artifacts_disagree(const Case& the_case);
[[nodiscard]] Reasons is_unknown(const Case& the_case);
[[nodiscard]] Reasons is_unreadable(const Case& the_case);
[[nodiscard]] Reasons is_stale(const Case& the_case);
[[nodiscard]] Reasons is_incomplete(const Case& the_case);
[[nodiscard]] Reasons is_misplaced(const Case& the_case);

// Whether an agreement is shown positively, found without looking at any of the reasons above: the last guard.
[[nodiscard]] bool is_shown_to_agree(const Case& the_case);
// Notes that change no verdict.
[[nodiscard]] Reasons notes(const Case& the_case);

// Whether the ledger's place was compared with one that was read or given.
[[nodiscard]] bool place_was_checked(const Case& the_case);

}  // namespace sherdmark
