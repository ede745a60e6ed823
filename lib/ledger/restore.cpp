// From a backup to a ledger: copied, proven, and this computer a new station of it.
#include "sherdmark/ledger/restore.h"

#include <fmt/format.h>

#include "ledger/core.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/folders.h"
#include "sherdmark/base/unfinished.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

LedgerVerification proven(const Ledger& ledger, const fs::path& backup) {
  LedgerVerification proof = ledger.verify();
  if (!proof.good())
    throw data_error(fmt::format("the backup does not hold: {}", proof.problems.front()), {.file = backup.string()},
                     "take an older backup, and keep this one for a specialist");
  return proof;
}

RestoredLedger finish(const fs::path& copy, const fs::path& backup, const LedgerAccess& access, Clock& clock,
                      RandomSource& random) {
  {
    Database db{copy, Database::Mode::write};
    (void)schema_version_of(db);
    db.execute("DELETE FROM writer");  // whoever wrote when the copy was made does not write to this one
  }
  Ledger ledger = Ledger::open(copy, access, clock, random);
  (void)proven(ledger, backup);
  RestoredLedger restored;
  restored.station = register_new_station(ledger, access.person);
  if (ledger.notices().size() == 1)
    restored.notices.emplace_back(
        "The backup was of an older version and was brought up to date; it is kept as it was.");
  restored.proof = proven(ledger, backup);
  return restored;
}

}  // namespace

RestoredLedger restore_ledger(const fs::path& backup, const fs::path& target, const LedgerAccess& access, Clock& clock,
                              RandomSource& random) {
  std::error_code problem;
  if (!fs::is_regular_file(backup, problem))
    throw environment_error("there is no such backup", {.file = backup.string()}, "check the spelling of the name");
  if (fs::exists(target))
    throw environment_error("this file is already there", {.file = target.string()},
                            "name another file with --ledger, or move this one away first; nothing is overwritten");
  {
    Database db{backup, Database::Mode::read};
    (void)schema_version_of(db);
  }
  try {
    const Unfinished copy{target};
    fs::copy_file(backup, copy.path());
    fs::permissions(copy.path(), fs::perms::owner_write, fs::perm_options::add);
    RestoredLedger restored = finish(copy.path(), backup, access, clock, random);
    put_into_place(copy.path(), target);
    return restored;
  } catch (const fs::filesystem_error& error) {
    throw environment_error(fmt::format("the backup could not be restored ({})", error.code().message()),
                            {.file = target.string()}, "check the folder and the room on the disk");
  }
}

}  // namespace sherdmark
