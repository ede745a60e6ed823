// How an older ledger becomes a newer one.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <vector>

#include "ledger/sqlite.h"

namespace sherdmark {

// Throws environment_error, with what to do about it, for a version that this program does not know as its own.
void require_own_version(std::int64_t version, const std::filesystem::path& file);

// One step from `from` to `from + 1`; runs inside a transaction.
struct Migration {
  std::int64_t from = 0;
  std::function<void(Database&)> step;
};

// The steps this program knows, oldest first.
[[nodiscard]] const std::vector<Migration>& known_migrations();

// Brings the file at `from` to `to`: copies it first to "<file>.before-v<to>" (never over an older copy), then runs the
// steps in one transaction. Returns the copy's path. Throws environment_error when a step is missing.
std::filesystem::path migrate(Database& database, std::int64_t from, std::int64_t to,
                              const std::vector<Migration>& steps);

}  // namespace sherdmark
