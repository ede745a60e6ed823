// A backup becomes a ledger to work on again. Callable from tools.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/random.h"
#include "sherdmark/ledger/event.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct RestoredLedger {
  LedgerVerification proof;          // of the ledger as it is now; always good
  std::string station;               // under which this computer goes on
  std::vector<std::string> notices;  // whole sentences, e.g. that it was brought up to date
};

// This computer goes on under a new station code, whatever it had before; an event by `person`. For ledgers that came
// back from a copy. usage_error if the person is not in the register.
std::string register_new_station(Ledger& ledger, const std::string& person);

// Copies `backup` (a ledger file) to `target`, brings it up to date, proves it, and makes this computer a new station
// of it: whatever was printed after the backup was made, no serial and no bag id is ever given out twice.
// `access.person` must be in the register. environment_error if `target` exists; data_error if the backup does not
// hold; on failure nothing is left at `target` and the backup is untouched.
[[nodiscard]] RestoredLedger restore_ledger(const std::filesystem::path& backup, const std::filesystem::path& target,
                                            const LedgerAccess& access, Clock& clock, RandomSource& random);

}  // namespace sherdmark
