#include "left_unfinished.h"

#include <fmt/format.h>

#include <string>

#include "sherdmark/base/text.h"

namespace sherdmark {

void say_removed(const Session& session, const std::vector<std::filesystem::path>& left) {
  std::string said;
  for (const std::filesystem::path& path : left) {
    if (!said.empty() && path.string().starts_with(said)) continue;
    said = path.string();
    session.warn(fmt::format("{}: left by a command that was cut off, and now removed.", printable(said)));
  }
}

}  // namespace sherdmark
