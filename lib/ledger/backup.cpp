// A copy that is proven before it is called a backup.
#include <fmt/format.h>

#include "ledger/core.h"
#include "ledger/migrate.h"
#include "sherdmark/base/folders.h"
#include "sherdmark/base/unfinished.h"

namespace sherdmark {

LedgerVerification Ledger::backup(const std::filesystem::path& target) const {
  namespace fs = std::filesystem;
  require_own_version(schema_version_of(core_->db), file());  // another's records cannot be proven
  if (fs::exists(target))
    throw environment_error("this file is already there", {.file = target.string()},
                            "name another file; a backup is never overwritten");
  try {
    if (target.has_parent_path()) fs::create_directories(target.parent_path());
    const Unfinished copy{target};
    core_->db.copy_to(copy.path());
    {
      Database database{copy.path(), Database::Mode::write};
      database.execute("DELETE FROM writer");  // nobody writes to the copy
    }
    LedgerVerification found = open_read_only(copy.path()).verify();
    if (!found.good())
      throw data_error(fmt::format("the copy does not hold: {}", found.problems.front()), {.file = file().string()},
                       "verify the ledger itself; it may be damaged");
    put_into_place(copy.path(), target);
    return found;
  } catch (const fs::filesystem_error& error) {
    throw environment_error(fmt::format("the backup could not be written ({})", error.code().message()),
                            {.file = target.string()}, "check the folder and the room on the disk");
  }
}

}  // namespace sherdmark
