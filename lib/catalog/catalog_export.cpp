#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <unordered_map>
#include <utility>

#include "catalog/columns.h"
#include "catalog/list_cells.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

std::string decimal(const std::optional<double>& value) {
  if (!value) return {};
  std::array<char, 400> digits{};
  const auto [end, problem] =
      std::to_chars(digits.data(), digits.data() + digits.size(), *value, std::chars_format::fixed);
  return problem == std::errc{} ? std::string{digits.data(), end} : std::string{};
}

std::string cell_of(const CatalogRow& row, Field field) {
  switch (field) {
    case Field::number:
      return row.number.text();
    case Field::accession:
      return row.accession.str();
    case Field::site:
      return row.site.str();
    case Field::kind:
      return std::string{to_text(row.kind)};
    case Field::object:
      return row.object.str();
    case Field::material:
      return row.material.str();
    case Field::surface:
      return row.surface.str();
    case Field::count:
      return row.count ? std::to_string(*row.count) : std::string{};
    case Field::weight_g:
      return decimal(row.weight_g);
    case Field::volume_ml:
      return decimal(row.volume_ml);
    case Field::largest_mm:
      return decimal(row.largest_mm);
    case Field::status:
      return row.status.str();
    case Field::flags:
      return join(row.flags, "; ");
    case Field::former_numbers:
      return join(row.former_numbers, "; ");
    case Field::field_number:
      return row.field_number.str();
    case Field::assembly:
      return row.assembly.str();
    case Field::bags:
      return write_bags(row.bags);
    case Field::unit:
      return row.unit.str();
    case Field::stratum:
      return row.stratum.str();
    case Field::level:
      return row.level.str();
    case Field::feature:
      return row.feature.str();
    case Field::depth_top_cm:
      return decimal(row.depth_top_cm);
    case Field::depth_bottom_cm:
      return decimal(row.depth_bottom_cm);
    case Field::date:
      return row.date.str();
    case Field::excavators:
      return row.excavators.str();
    case Field::place:
      return row.place.str();
    case Field::box:
      return row.box.str();
    case Field::remarks:
      return row.remarks.str();
    case Field::depth_range_cm:
    case Field::extra:
      break;
  }
  return {};
}

// The extra headers of all rows in an order that keeps each row's own.
std::vector<std::string> extra_headers(const std::vector<CatalogRow>& rows) {
  std::vector<std::string> headers;
  const auto find = [&headers](const std::string& header) { return std::find(headers.begin(), headers.end(), header); };
  for (const CatalogRow& row : rows) {
    for (std::size_t i = row.extra.size(); i-- > 0;) {
      if (find(row.extra[i].first) != headers.end()) continue;
      const auto before = i + 1 < row.extra.size() ? find(row.extra[i + 1].first) : headers.end();
      headers.insert(before, row.extra[i].first);
    }
  }
  return headers;
}

}  // namespace

std::string write_catalog_csv(const std::vector<CatalogRow>& rows, const HouseStandard& standard,
                              bool include_restricted) {
  std::vector<std::string> header;
  std::vector<Field> fields;
  for (std::size_t i = 0; i < k_field_count; ++i) {
    const Field field = static_cast<Field>(i);
    if (!include_restricted && is_restricted(standard, std::string{name_of(field)})) continue;
    std::string name = export_header(field, standard);
    if (!include_restricted && is_restricted(standard, name)) continue;
    fields.push_back(field);
    header.push_back(std::move(name));
  }
  std::unordered_map<std::string, std::size_t> extra_at;
  for (std::string& name : extra_headers(rows)) {
    if (!include_restricted && is_restricted(standard, name)) continue;
    extra_at.emplace(name, header.size());
    header.push_back(std::move(name));
  }
  std::vector<std::vector<std::string>> cells;
  cells.reserve(rows.size());
  for (const CatalogRow& row : rows) {
    std::vector<std::string> line;
    line.reserve(header.size());
    for (const Field field : fields) line.push_back(cell_of(row, field));
    line.resize(header.size());
    for (const auto& [name, value] : row.extra) {
      const auto at = extra_at.find(name);
      if (at != extra_at.end()) line[at->second] = value;
    }
    cells.push_back(std::move(line));
  }
  return write_csv(header, cells);
}

std::string write_set_aside(const CatalogReading& reading) {
  std::unordered_map<std::size_t, std::string> wrong;
  std::string whole_file;
  for (const CatalogProblem& problem : reading.problems) {
    if (problem.severity != Severity::problem) continue;
    std::string text = problem.column.empty() ? problem.what : fmt::format("{}: {}", problem.column, problem.what);
    text += " " + problem.remedy;
    const bool about_header = reading.whole_file_bad && problem.row == reading.table.header_row;
    std::string& target = about_header ? whole_file : wrong[problem.row];
    if (!target.empty()) target += " / ";
    target += text;
  }
  std::vector<std::string> header{std::string{k_set_aside_header}};
  header.insert(header.end(), reading.table.header.begin(), reading.table.header.end());
  std::vector<std::vector<std::string>> rows;
  for (const std::size_t index : reading.bad_table_rows) {
    std::vector<std::string> row;
    const auto found = wrong.find(reading.table.row_numbers[index]);
    row.push_back(found != wrong.end() ? found->second : whole_file);
    for (std::string& cell : reading.table.rows[index].texts()) row.push_back(std::move(cell));
    rows.push_back(std::move(row));
  }
  return write_csv(header, rows);
}

}  // namespace sherdmark
