// The questions of `init` at a terminal, when no house standard was named.
#pragma once

#include <filesystem>

#include "session.h"

namespace sherdmark {

// Asks, writes the house standard to `file` and says so. environment_error when the file is already there; usage_error
// when the person would rather not answer.
void ask_for_standard(const Session& session, const std::filesystem::path& file);

}  // namespace sherdmark
