#include <fmt/format.h>

#include "describe.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

// Text as roff takes it: nothing in it is a request, and a hyphen that is typed is one that can be copied.
std::string roff(std::string_view text) {
  std::string out;
  bool line_start = true;
  for (const char c : text) {
    if (line_start && (c == '.' || c == '\'')) out += "\\&";
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
    line_start = c == '\n';
  }
  return out;
}

std::string value_of(const DeclaredOption& option) {
  if (!option.takes_value) return {};
  if (!option.choices.empty()) return " " + join(option.choices, "|");
  return " \\fI" + roff(option.kind.empty() ? "TEXT" : option.kind) + "\\fR";
}

std::string synopsis(const DeclaredCommand& command) {
  std::string text = "\\fBsherdmark " + roff(command.name) + "\\fR";
  for (const DeclaredOption& option : command.options) {
    std::string one = option.is_word() ? "\\fI" + roff(option.names.front()) + "\\fR"
                                       : "\\fB" + roff(option.names.front()) + "\\fR" + value_of(option);
    if (option.repeated) one += "\\ ...";
    text += option.required ? " " + one : " [" + one + "]";
  }
  return text;
}

void describe(std::string& out, const DeclaredCommand& command) {
  out += fmt::format(".SS {}\n{}\n.PP\n{}\n", roff(command.name), synopsis(command), roff(command.says));
  for (const DeclaredOption& option : command.options) {
    std::vector<std::string> names;
    for (const std::string& name : option.names) names.push_back("\\fB" + roff(name) + "\\fR");
    out +=
        fmt::format(".TP\n{}{}\n{}\n", join(names, ", "), option.is_word() ? "" : value_of(option), roff(option.help));
  }
  if (!command.example.empty())
    out += fmt::format(".PP\nExample:\n.PP\n.nf\n.RS\n{}\n.RE\n.fi\n", roff(command.example));
}

constexpr std::string_view k_end = R"(.SH ENVIRONMENT
.TP
.B SHERDMARK_LEDGER
The ledger, where \-\-ledger does not name one.
.TP
.B SHERDMARK_BY
Who you are, where \-\-by does not say.
.SH EXIT STATUS
.TP
.B 0
fine; all sets agree
.TP
.B 1
findings
.TP
.B 2
the command line is wrong
.TP
.B 3
the input is bad
.TP
.B 4
the machine: a file, a font, the disk, a lock
.TP
.B 70
a bug in the program
.SH FILES
.TP
.I collection.ledger
The ledger in the working folder: one SQLite file. Nothing lies beside it when nobody writes.
)";

}  // namespace

std::string man_page(const CommandLine& line) {
  std::string out = fmt::format(".TH SHERDMARK 1 \"\" \"{}\" \"User Commands\"\n.SH NAME\n", roff(line.version));
  out += "sherdmark \\- labels for artifacts, bags and tags, and proof that they agree\n.SH SYNOPSIS\n";
  out +=
      "\\fBsherdmark\\fR \\fICOMMAND\\fR [\\fIOPTIONS\\fR]\n.br\n\\fBsherdmark\\fR \\fICOMMAND\\fR "
      "\\fB\\-\\-help\\fR\n";
  out += ".br\n\\fBsherdmark\\fR \\fB\\-\\-version\\fR\n.SH DESCRIPTION\n" + roff(line.says) + "\n.SH COMMANDS\n";
  for (const DeclaredCommand& command : declared_commands(line)) describe(out, command);
  return out + std::string{k_end};
}

}  // namespace sherdmark
