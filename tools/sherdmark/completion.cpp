#include <fmt/format.h>

#include <algorithm>

#include "describe.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

bool names_file(const DeclaredOption& option) {
  return option.kind.find("FILE") != std::string::npos || option.kind.find("DIR") != std::string::npos ||
         option.kind.find("IMAGE") != std::string::npos;
}

std::string names_of(const DeclaredCommand& command) {
  std::vector<std::string> names;
  for (const DeclaredOption& option : command.options)
    if (!option.is_word()) names.insert(names.end(), option.names.begin(), option.names.end());
  names.emplace_back("--help");
  return join(names, " ");
}

std::string replaced(std::string text, std::string_view what, std::string_view with) {
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += with.size())
    text.replace(at, what.size(), with);
  return text;
}

// Inside '…' of a shell of the Bourne family.
std::string in_quotes(const std::string& text) { return "'" + replaced(text, "'", "'\\''") + "'"; }

std::string first_sentence(const std::string& text) {
  const std::size_t end = text.find_first_of(".;:\n");
  return end == std::string::npos ? text : text.substr(0, end);
}

// --- bash ------------------------------------------------------------------------------------------------------------

std::string bash_values(const DeclaredCommand& command) {
  std::string cases;
  for (const DeclaredOption& option : command.options) {
    if (option.is_word() || !option.takes_value) continue;
    const std::string names = join(option.names, "|");
    if (!option.choices.empty())
      cases += fmt::format("        {}) COMPREPLY=($(compgen -W {} -- \"$cur\")); return ;;\n", names,
                           in_quotes(join(option.choices, " ")));
    else if (names_file(option))
      cases += fmt::format("        {}) return ;;\n", names);  // readline completes file names
    else
      cases += fmt::format("        {}) compopt +o default; return ;;\n", names);
  }
  return cases.empty() ? cases : "      case $prev in\n" + cases + "      esac\n";
}

std::string bash_words(const DeclaredCommand& command) {
  std::string words = names_of(command);
  std::string choices;
  for (const DeclaredOption& option : command.options)
    if (option.is_word()) choices += (choices.empty() ? "" : " ") + join(option.choices, " ");
  std::string text =
      fmt::format("      if [[ $cur == -* ]]; then COMPREPLY=($(compgen -W {} -- \"$cur\"))", in_quotes(words));
  if (!choices.empty())
    text += fmt::format("\n      else COMPREPLY=($(compgen -W {} -- \"$cur\"))", in_quotes(choices));
  return text + "\n      fi ;;\n";
}

// --- zsh -------------------------------------------------------------------------------------------------------------

std::string zsh_text(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '[' || c == ']' || c == ':' || c == '\\') out += '\\';
    out += c;
  }
  return replaced(out, "'", "'\\''");
}

std::string zsh_value(const DeclaredOption& option) {
  const std::string what = zsh_text(to_lower_ascii(option.kind.empty() ? option.names.front() : option.kind));
  if (!option.choices.empty()) return fmt::format("{}:({})", what, join(option.choices, " "));
  return what + ":" + (names_file(option) ? "_files" : " ");
}

std::string zsh_line(const DeclaredOption& option) {
  if (option.is_word()) return fmt::format("'{}:{}'", option.repeated ? "*" : "", zsh_value(option));
  std::string text;
  for (const std::string& name : option.names) {
    text += fmt::format("{}'{}{}[{}]", text.empty() ? "" : " ", option.repeated ? "*" : "", name,
                        zsh_text(first_sentence(option.help)));
    text += option.takes_value ? ":" + zsh_value(option) + "'" : "'";
  }
  return text;
}

// --- fish ------------------------------------------------------------------------------------------------------------

std::string fish_quoted(const std::string& text) {
  return "'" + replaced(replaced(text, "\\", "\\\\"), "'", "\\'") + "'";
}

std::string fish_line(const std::string& command, const DeclaredOption& option) {
  const std::string when = fmt::format("complete -c sherdmark -n '__fish_seen_subcommand_from {}'", command);
  const std::string says = " -d " + fish_quoted(first_sentence(option.help)) + "\n";
  const std::string choices = option.choices.empty() ? "" : " -a " + fish_quoted(join(option.choices, " "));
  if (option.is_word()) {
    if (!option.choices.empty()) return when + " -f" + choices + says;
    return names_file(option) ? when + " -F\n" : std::string{};
  }
  std::string text = when;
  for (const std::string& name : option.names)
    text += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
  if (option.takes_value) text += names_file(option) && choices.empty() ? " -r -F" : " -x" + choices;
  return text + says;
}

}  // namespace

std::string bash_completion(const CommandLine& line) {
  const std::vector<DeclaredCommand> commands = declared_commands(line);
  std::vector<std::string> names;
  for (const DeclaredCommand& command : commands) names.push_back(command.name);
  std::string out = "# Completion of sherdmark for bash; made from what its commands declare.\n_sherdmark() {\n";
  out += "  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]}\n  COMPREPLY=()\n";
  out += fmt::format("  if ((COMP_CWORD == 1)); then\n    COMPREPLY=($(compgen -W {} -- \"$cur\"))\n    return\n  fi\n",
                     in_quotes(join(names, " ") + " --help --version"));
  out += "  case ${COMP_WORDS[1]} in\n";
  for (const DeclaredCommand& command : commands)
    out += fmt::format("    {})\n{}{}", command.name, bash_values(command), bash_words(command));
  return out + "  esac\n}\ncomplete -o default -F _sherdmark sherdmark\n";
}

std::string zsh_completion(const CommandLine& line) {
  std::string out = "#compdef sherdmark\n# Completion of sherdmark for zsh; made from what its commands declare.\n";
  out += "_sherdmark() {\n  local -a commands\n  commands=(\n";
  for (const DeclaredCommand& command : declared_commands(line))
    out += fmt::format("    '{}:{}'\n", command.name, zsh_text(first_sentence(command.says)));
  out += "  )\n  if ((CURRENT == 2)); then\n    _describe -t commands command commands\n";
  out += "    _arguments '--help[Print help]' '--version[Print the version]'\n    return\n  fi\n";
  out += "  local command=$words[2]\n  shift words\n  ((CURRENT--))\n  case $command in\n";
  for (const DeclaredCommand& command : declared_commands(line)) {
    out += fmt::format("    {})\n      _arguments -s '--help[Print help]'", command.name);
    for (const DeclaredOption& option : command.options) out += " \\\n        " + zsh_line(option);
    out += "\n      ;;\n";
  }
  return out + "  esac\n}\n_sherdmark \"$@\"\n";
}

std::string fish_completion(const CommandLine& line) {
  std::string out = "# Completion of sherdmark for fish; made from what its commands declare.\n";
  out += "complete -c sherdmark -f\n";
  out += "complete -c sherdmark -l help -d 'Print help'\ncomplete -c sherdmark -l version -d 'Print the version'\n";
  for (const DeclaredCommand& command : declared_commands(line)) {
    out += fmt::format("complete -c sherdmark -n __fish_use_subcommand -a {} -d {}\n", command.name,
                       fish_quoted(first_sentence(command.says)));
    for (const DeclaredOption& option : command.options) out += fish_line(command.name, option);
  }
  return out;
}

}  // namespace sherdmark
