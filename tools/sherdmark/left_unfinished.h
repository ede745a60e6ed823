// What a command that was cut off had left, and another has removed (base/unfinished.h).
#pragma once

#include <filesystem>
#include <vector>

#include "session.h"

namespace sherdmark {

// One sentence for each, on standard error; what lay beside it goes without saying.
void say_removed(const Session& session, const std::vector<std::filesystem::path>& left);

}  // namespace sherdmark
