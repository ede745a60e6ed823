#include "describe.h"

#include <memory>

#include "commands.h"

namespace sherdmark {
namespace {

std::string described(const CommandLine& line, const std::string& form) {
  if (form == "bash") return bash_completion(line);
  if (form == "zsh") return zsh_completion(line);
  if (form == "fish") return fish_completion(line);
  return man_page(line);
}

}  // namespace

Subcommand describe_command(const Session& session) {
  return {"describe", "Writes this program's manual page, or completion for a shell.", [&session](Command& command) {
            auto form = std::make_shared<std::string>("man");
            command.one_of("form", *form, {"man", "bash", "zsh", "fish"}, "Manual page (roff) or shell");
            command.example("sherdmark describe bash > ~/.local/share/bash-completion/completions/sherdmark");
            command.act([&session, form] {
              session.say(described(whole_command_line(session), *form));
              return 0;
            });
          }};
}

}  // namespace sherdmark
