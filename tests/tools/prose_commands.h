// Commands that the documents name in running text, in tables and in synopses: `labels --for bags --out sheets`,
// `inventory scans [FILE…] [--place PLACE]`. They are brought into the form in which somebody would type them.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "command.h"

namespace sherdmark::testing {

// One span of inline code, as it stands there; a span over two lines is joined by a blank.
struct InlineSpan {
  std::string page;   // below the source folder
  std::string where;  // page and line
  std::string section;
  bool in_synopsis = false;  // in a paragraph that begins with a command
  std::string text;
};

[[nodiscard]] std::vector<InlineSpan> inline_spans_in(const std::string& text, const std::string& page);
// Of README.md and every page under docs/.
[[nodiscard]] std::vector<InlineSpan> all_inline_spans();

// The words of a form without "sherdmark", the command first. Empty when the span names no command with something
// behind it. In a synopsis `[--csv]` and `close [--out DIR]` belong to the command of the section.
[[nodiscard]] std::vector<std::string> command_form(const InlineSpan& span,
                                                    const std::vector<DeclaredCommand>& commands);

// A form says several command lines at once: brackets are taken off, every alternative of `applied|filed` gets a line,
// FILE and N are replaced by what an option takes, and what is required and not named is put in, also the value of an
// option that is only spoken of (`check --watch`).
[[nodiscard]] std::vector<std::vector<std::string>> command_lines(const std::vector<std::string>& form,
                                                                  const std::vector<DeclaredCommand>& commands);

[[nodiscard]] const DeclaredCommand* command_named(const std::vector<DeclaredCommand>& commands,
                                                   const std::string& name);
[[nodiscard]] const DeclaredOption* option_named(const DeclaredCommand& command, const std::string& name);

}  // namespace sherdmark::testing
