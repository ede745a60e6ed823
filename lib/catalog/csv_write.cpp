#include <algorithm>
#include <string_view>

#include "catalog/formula_guard.h"
#include "sherdmark/catalog/read_catalog.h"

namespace sherdmark {
namespace {

// RFC 4180 asks for quotes round CR, LF, comma and quote. Semicolon and tab are quoted as well because some
// spreadsheet settings split there; outer white space because some programs trim it; an apostrophe never needs them.
void append_cell(std::string& out, std::string_view cell, bool only_cell) {
  const bool guarded = needs_guard(cell);
  const auto outer_space = [](char c) { return c == ' ' || c == '\t'; };
  const bool quoted = (cell.empty() && only_cell) || cell.find_first_of(",\"\r\n;\t") != std::string_view::npos ||
                      (!cell.empty() && (outer_space(cell.front()) || outer_space(cell.back())));
  if (quoted) out.push_back('"');
  if (guarded) out.push_back('\'');
  if (quoted) {
    for (const char c : cell) {
      if (c == '"') out.push_back('"');
      out.push_back(c);
    }
    out.push_back('"');
  } else {
    out += cell;
  }
}

void append_record(std::string& out, const std::vector<std::string>& cells, std::size_t columns) {
  for (std::size_t i = 0; i < columns; ++i) {
    if (i > 0) out.push_back(',');
    append_cell(out, i < cells.size() ? std::string_view{cells[i]} : std::string_view{}, columns == 1);
  }
  out += "\r\n";
}

}  // namespace

std::string write_csv(const std::vector<std::string>& header, const std::vector<std::vector<std::string>>& rows) {
  std::size_t columns = header.size();
  for (const auto& row : rows) columns = std::max(columns, row.size());
  std::string out = "\xEF\xBB\xBF";
  append_record(out, header, columns);
  for (const auto& row : rows) append_record(out, row, columns);
  return out;
}

}  // namespace sherdmark
