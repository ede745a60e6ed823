#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <sstream>

#include "command.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/nearness.h"
#include "sherdmark/base/text.h"

namespace sherdmark {

struct Command::Parser {
  CLI::App* app = nullptr;
  std::function<int()>* chosen = nullptr;
  DeclaredCommand* declared = nullptr;

  DeclaredOption& note(const std::string& option_names, const std::string& help, const std::string& kind = {}) const {
    DeclaredOption option;
    for (const std::string& name : split(option_names, ',')) option.names.emplace_back(trim(name));
    option.help = help;
    option.kind = kind;
    declared->options.push_back(std::move(option));
    return declared->options.back();
  }
};

namespace {

CLI::Option* named(CLI::Option* option, const std::string& kind) {
  if (!kind.empty()) option->type_name(kind);
  return option;
}

// An option with nothing behind it, or an empty word, comes from a variable that was never set; it must not count as
// left out.
CLI::Option* never_blank(CLI::Option* option) {
  const std::string problem = option->get_positional()
                                  ? "an empty name was given; say what is meant"
                                  : "nothing stands behind it; leave the option out or say what it is";
  return option->check([problem](const std::string& value) { return trim(value).empty() ? problem : std::string{}; });
}

// The command that was probably meant; empty when none is written nearly so.
std::string command_like(const CommandLine& line, const std::string& written) {
  std::string nearest;
  std::size_t least = written.size() < 5 ? 2 : 3;  // nearer than this
  for (const Subcommand& subcommand : line.subcommands)
    if (const std::size_t apart = letters_apart(to_lower_ascii(written), subcommand.name); apart < least) {
      least = apart;
      nearest = subcommand.name;
    }
  return nearest;
}

std::string unknown_command(const CommandLine& line, const std::string& written) {
  const std::string meant = command_like(line, written);
  return fmt::format("there is no command \"{}\"{}", written,
                     meant.empty() ? "" : fmt::format(". Did you mean \"{}\"?", meant));
}

std::string complaint(const std::string& command, const std::string& text) {
  return fmt::format("{}: {}{} See: {} --help\n", command, printable(text), text.ends_with('?') ? "" : ".", command);
}

// "lables --help": the parser would answer with the general help, as if there were such a command.
bool begins_with_unknown_command(const CommandLine& line, const std::vector<std::string>& arguments) {
  return !arguments.empty() && !arguments.front().starts_with('-') &&
         std::ranges::find(line.subcommands, arguments.front(), &Subcommand::name) == line.subcommands.end();
}

// The parser's own complaint, as a sentence, and where help is.
std::string usage_problem(const CLI::App& app, const CLI::ParseError& problem) {
  const auto chosen = app.get_subcommands();
  const std::string command = chosen.empty() ? app.get_name() : app.get_name() + " " + chosen.front()->get_name();
  std::string text{trim(problem.what())};
  while (text.ends_with('.')) text.pop_back();
  if (chosen.empty() && dynamic_cast<const CLI::RequiredError*>(&problem) != nullptr) text = "no command was given";
  if (dynamic_cast<const CLI::ExtrasError*>(&problem) != nullptr && !chosen.empty())
    if (const auto left = app.remaining(true); !left.empty() && !left.front().starts_with('-'))
      text += ". A name with spaces stands in quotation marks";
  return complaint(command, text);
}

// "help" and "help labels", as many other programs have it, are --help.
std::vector<std::string> help_as_option(std::vector<std::string> arguments) {
  if (arguments.empty() || arguments.front() != "help") return arguments;
  std::erase(arguments, "help");
  arguments.resize(std::min<std::size_t>(arguments.size(), 1));
  arguments.emplace_back("--help");
  return arguments;
}

}  // namespace

Command& Command::text(const std::string& names, std::string& value, const std::string& help, const std::string& kind) {
  never_blank(named(parser_.app->add_option(names, value, help), kind));
  parser_.note(names, help, kind);
  return *this;
}

Command& Command::required_text(const std::string& names, std::string& value, const std::string& help,
                                const std::string& kind) {
  never_blank(named(parser_.app->add_option(names, value, help), kind))->required();
  parser_.note(names, help, kind).required = true;
  return *this;
}

Command& Command::one_of(const std::string& names, std::string& value, const std::vector<std::string>& choices,
                         const std::string& help) {
  // As a transformation it puts the choice itself where "Passed" was written; as a check it would let that through.
  parser_.app->add_option(names, value, help)
      ->capture_default_str()
      ->transform(CLI::IsMember(choices, CLI::ignore_case));
  parser_.note(names, help).choices = choices;
  return *this;
}

Command& Command::many(const std::string& names, std::vector<std::string>& values, const std::string& help,
                       const std::string& kind) {
  named(parser_.app->add_option(names, values, help), kind)->allow_extra_args(!names.starts_with('-'));
  parser_.note(names, help, kind).repeated = true;
  return *this;
}

Command& Command::required_many(const std::string& names, std::vector<std::string>& values, const std::string& help) {
  parser_.app->add_option(names, values, help)->required();
  DeclaredOption& option = parser_.note(names, help, to_upper_ascii(names));
  option.required = true;
  option.repeated = true;
  return *this;
}

Command& Command::number(const std::string& names, int& value, int least, int most, const std::string& help,
                         const std::string& kind) {
  named(parser_.app->add_option(names, value, help), kind)->check(CLI::Range(least, most));
  parser_.note(names, help, kind);
  return *this;
}

Command& Command::flag(const std::string& names, bool& value, const std::string& help) {
  parser_.app->add_flag(names, value, help);
  parser_.note(names, help).takes_value = false;
  return *this;
}

Command& Command::example(const std::string& lines) {
  parser_.declared->example = lines;
  std::string footer = "Example:\n";
  for (const std::string& line : split(lines, '\n')) footer += "  " + line + "\n";
  parser_.app->footer(footer);
  return *this;
}

Command& Command::act(std::function<int()> act) {
  parser_.app->callback([chosen = parser_.chosen, act = std::move(act)] { *chosen = act; });
  return *this;
}

std::vector<DeclaredCommand> declared_commands(const CommandLine& line) {
  std::vector<DeclaredCommand> all;
  CLI::App app;
  std::function<int()> nothing;
  for (const Subcommand& subcommand : line.subcommands) {
    DeclaredCommand declared{subcommand.name, subcommand.says, {}, {}};
    Command::Parser parser{app.add_subcommand(subcommand.name), &nothing, &declared};
    Command command{parser};
    subcommand.declare(command);
    all.push_back(std::move(declared));
  }
  return all;
}

ParsedCommandLine parse_command_line(const CommandLine& line, const std::vector<std::string>& given) {
  const std::vector<std::string> arguments = help_as_option(given);
  ParsedCommandLine parsed;
  if (begins_with_unknown_command(line, arguments)) {
    parsed.err = complaint(line.program, unknown_command(line, arguments.front()));
    parsed.code = static_cast<int>(ErrorFamily::usage);
    return parsed;
  }
  CLI::App app{line.says};
  app.name(line.program);
  app.set_version_flag("--version", line.version);
  app.require_subcommand(1);
  app.footer(line.footer);
  for (const Subcommand& subcommand : line.subcommands) {
    CLI::App* const known = app.add_subcommand(subcommand.name, subcommand.says);
    // All that forty commands take is a millisecond of every start; only one that is named can be given any of it.
    if (std::find(arguments.begin(), arguments.end(), subcommand.name) == arguments.end()) continue;
    DeclaredCommand declared;
    Command::Parser parser{known, &parsed.act, &declared};
    Command command{parser};
    subcommand.declare(command);
  }
  std::ostringstream out;
  std::ostringstream err;
  try {
    app.parse(std::vector<std::string>{arguments.rbegin(), arguments.rend()});
  } catch (const CLI::Success& help_or_version) {
    parsed.code = app.exit(help_or_version, out, err);
    parsed.act = nullptr;
  } catch (const CLI::ParseError& problem) {
    err << usage_problem(app, problem);
    parsed.code = static_cast<int>(ErrorFamily::usage);
    parsed.act = nullptr;
  }
  parsed.out = out.str();
  parsed.err = err.str();
  return parsed;
}

}  // namespace sherdmark
