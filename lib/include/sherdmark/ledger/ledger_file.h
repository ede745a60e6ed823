// Whether a file must not be replaced because it is a ledger. Callable from tools, before anything is written over.
#pragma once

#include <filesystem>

namespace sherdmark {

// By its first bytes: a ledger, a copy of one, or any other SQLite database. False for a file that is not there or
// cannot be read.
[[nodiscard]] bool looks_like_a_ledger(const std::filesystem::path& file);

}  // namespace sherdmark
