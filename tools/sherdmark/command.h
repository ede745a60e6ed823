// How a subcommand declares what it takes. The parser behind it stands in command_line.cpp alone.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace sherdmark {

// The variables given must live as long as the command: keep them in what `act` holds.
class Command {
 public:
  struct Parser;
  explicit Command(Parser& parser) : parser_(parser) {}

  // `names`: "--out" for an option, "run" for a word without dashes. `kind` stands in the help: FILE, DIR, RUN …
  Command& text(const std::string& names, std::string& value, const std::string& help, const std::string& kind = "");
  Command& required_text(const std::string& names, std::string& value, const std::string& help,
                         const std::string& kind = "");
  Command& one_of(const std::string& names, std::string& value, const std::vector<std::string>& choices,
                  const std::string& help);
  // An option that may be given several times, or a word that may be repeated; none is fine.
  Command& many(const std::string& names, std::vector<std::string>& values, const std::string& help,
                const std::string& kind = "");
  Command& required_many(const std::string& names, std::vector<std::string>& values, const std::string& help);
  Command& number(const std::string& names, int& value, int least, int most, const std::string& help,
                  const std::string& kind);
  Command& flag(const std::string& names, bool& value, const std::string& help);
  Command& example(const std::string& lines);  // shown under "Example:"
  Command& act(std::function<int()> act);

 private:
  Parser& parser_;
};

// One option or word as it was declared, for help, man page and completion alike.
struct DeclaredOption {
  std::vector<std::string> names;  // "--out", "-o"; one name without dashes for a word
  std::string kind;                // FILE, DIR, RUN …; empty for a flag and where anything goes
  std::string help;
  std::vector<std::string> choices;  // empty: any value
  bool required = false;
  bool repeated = false;
  bool takes_value = true;  // false for a flag
  [[nodiscard]] bool is_word() const { return !names.front().starts_with('-'); }
};

struct DeclaredCommand {
  std::string name;
  std::string says;
  std::vector<DeclaredOption> options;
  std::string example;  // lines
};

struct Subcommand {
  std::string name;
  std::string says;
  std::function<void(Command&)> declare;
};

struct CommandLine {
  std::string program;
  std::string version;
  std::string says;
  std::string footer;
  std::vector<Subcommand> subcommands;
};

// What is to be done, or what is to be written instead.
struct ParsedCommandLine {
  std::function<int()> act;  // empty: print `out` and `err` and end with `code`
  int code = 0;
  std::string out;
  std::string err;
};

// Everything that the subcommands declare, in their order. Nothing is acted upon.
[[nodiscard]] std::vector<DeclaredCommand> declared_commands(const CommandLine& line);

[[nodiscard]] ParsedCommandLine parse_command_line(const CommandLine& line, const std::vector<std::string>& arguments);

}  // namespace sherdmark
