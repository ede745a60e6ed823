// Manual page and shell completions, made from what the commands declare: one table, so that none can lack an option.
#pragma once

#include <string>

#include "command.h"

namespace sherdmark {

[[nodiscard]] std::string man_page(const CommandLine& line);  // roff, section 1
[[nodiscard]] std::string bash_completion(const CommandLine& line);
[[nodiscard]] std::string zsh_completion(const CommandLine& line);
[[nodiscard]] std::string fish_completion(const CommandLine& line);

}  // namespace sherdmark
