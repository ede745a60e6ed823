#include "ledger/migrate.h"

#include <fmt/format.h>

#include <algorithm>

#include "ledger/schema.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/folders.h"
#include "sherdmark/base/unfinished.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

fs::path free_copy_name(const fs::path& file, std::int64_t to) {
  fs::path name = file;
  name += fmt::format(".before-v{}", to);
  fs::path candidate = name;
  for (int n = 2; fs::exists(candidate); ++n) {
    candidate = name;
    candidate += fmt::format("-{}", n);
  }
  return candidate;
}

const Migration& step_from(const std::vector<Migration>& steps, std::int64_t from, const Database& database) {
  const auto step = std::ranges::find(steps, from, &Migration::from);
  if (step == steps.end())
    throw environment_error(fmt::format("this program cannot bring a ledger of version {} up to date", from),
                            {.file = database.file().string()}, "use the program version that wrote it to export it");
  return *step;
}

}  // namespace

void require_own_version(std::int64_t version, const fs::path& file) {
  if (version > k_schema_version)
    throw environment_error(
        fmt::format("the ledger was written by a newer program (its version is {}, this program knows {})", version,
                    k_schema_version),
        {.file = file.string()}, "update this program; looking things up works");
  if (version < k_schema_version)
    throw environment_error(
        fmt::format("the ledger is of the older version {}", version), {.file = file.string()},
        "run a command that writes, like sherdmark plan; the ledger is copied first and then brought up to date");
}

// Version 1 is the first that was ever written.
const std::vector<Migration>& known_migrations() {
  static const std::vector<Migration> k_steps = {
      {1, bring_to_version_2},
      {2, bring_to_version_3},
  };
  return k_steps;
}

fs::path migrate(Database& database, std::int64_t from, std::int64_t to, const std::vector<Migration>& steps) {
  for (std::int64_t version = from; version < to; ++version) (void)step_from(steps, version, database);
  fs::path copy = free_copy_name(database.file(), to);
  {
    const Unfinished made{copy};
    database.copy_to(made.path());
    put_into_place(made.path(), copy);
  }
  Transaction transaction{database};
  for (std::int64_t version = from; version < to; ++version) step_from(steps, version, database).step(database);
  database.execute(fmt::format("PRAGMA user_version = {}", to));
  transaction.commit();
  return copy;
}

}  // namespace sherdmark
