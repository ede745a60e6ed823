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
  Command& required_many(const std::string& names, std::vector<std::string>& values, const std::string& help);
  Command& number(const std::string& names, int& value, int least, int most, const std::string& help,
                  const std::string& kind);
  Command& flag(const std::string& names, bool& value, const std::string& help);
  Command& example(const std::string& lines);  // shown under "Example:"
  Command& act(std::function<int()> act);

 private:
  Parser& parser_;
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

[[nodiscard]] ParsedCommandLine parse_command_line(const CommandLine& line, const std::vector<std::string>& arguments);

}  // namespace sherdmark
