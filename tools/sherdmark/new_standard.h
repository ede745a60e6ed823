// The questions of `init` at a terminal, for what was not named.
#pragma once

#include <filesystem>

#include "session.h"

namespace sherdmark {

// The name of the person who makes the ledger. usage_error when that person would rather not answer.
[[nodiscard]] std::string ask_for_person(const Session& session);
// Asks, writes the house standard to `file` and says so. environment_error when the file is already there; usage_error
// when the person would rather not answer.
void ask_for_standard(const Session& session, const std::filesystem::path& file);

}  // namespace sherdmark
