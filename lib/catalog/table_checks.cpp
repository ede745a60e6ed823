#include "catalog/table_checks.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "catalog/number_cell.h"
#include "catalog/unicode_text.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

const Column* column_of(const CatalogInWork& work, Field field, std::size_t& at) {
  for (at = 0; at < work.columns.size(); ++at)
    if (work.columns[at].field == field) return &work.columns[at];
  return nullptr;
}

void report(CatalogInWork& work, RowInWork& row, Severity severity, Field field, std::string what, std::string remedy) {
  std::size_t at = 0;
  const Column* column = column_of(work, field, at);
  const bool show = column != nullptr && !column->restricted && at < work.table.rows[row.table_index].size();
  work.problems.push_back(
      {severity, work.table.file, row.row.row, column == nullptr ? std::string{name_of(field)} : column->header,
       show ? std::string{work.table.rows[row.table_index][at]} : std::string{}, std::move(what), std::move(remedy)});
  if (severity == Severity::problem) row.good = false;
}

std::string list_rows(const std::vector<RowInWork*>& rows, const RowInWork* but) {
  std::vector<std::string> numbers;
  for (const RowInWork* row : rows) {
    if (row == but) continue;
    if (numbers.size() == 5) {
      numbers.emplace_back("others");
      break;
    }
    numbers.push_back(std::to_string(row->row.row));
  }
  return (numbers.size() == 1 ? "row " : "rows ") + join(numbers, ", ");
}

// "12.1" may once have been "12.10".
bool may_have_lost_zero(const std::string& text) {
  const std::size_t point = text.rfind('.');
  if (point == std::string::npos || point == 0 || point + 1 >= text.size()) return false;
  return std::all_of(text.begin(), text.end(), [](char c) { return c == '.' || (c >= '0' && c <= '9'); }) &&
         std::count(text.begin(), text.end(), '.') == 1;
}

using TextOf = std::string (*)(const CatalogRow&);

std::string text_of(const std::optional<double>& value) { return value ? fmt::format("{}", *value) : std::string{}; }

struct LotField {
  Field field;
  bool (*same)(const CatalogRow&, const CatalogRow&);
  bool (*given)(const CatalogRow&);
  TextOf text;
};

template <auto member>
constexpr LotField lot_text(Field field) {
  return {field, [](const CatalogRow& a, const CatalogRow& b) { return a.*member == b.*member; },
          [](const CatalogRow& row) { return !(row.*member).empty(); },
          [](const CatalogRow& row) { return (row.*member).str(); }};
}

template <auto member>
constexpr LotField lot_depth(Field field) {
  return {field, [](const CatalogRow& a, const CatalogRow& b) { return a.*member == b.*member; },
          [](const CatalogRow& row) { return (row.*member).has_value(); },
          [](const CatalogRow& row) { return text_of(row.*member); }};
}

constexpr std::array<LotField, 9> k_lot_fields = {lot_text<&CatalogRow::accession>(Field::accession),
                                                  lot_text<&CatalogRow::site>(Field::site),
                                                  lot_text<&CatalogRow::unit>(Field::unit),
                                                  lot_text<&CatalogRow::stratum>(Field::stratum),
                                                  lot_text<&CatalogRow::level>(Field::level),
                                                  lot_text<&CatalogRow::feature>(Field::feature),
                                                  lot_depth<&CatalogRow::depth_top_cm>(Field::depth_top_cm),
                                                  lot_depth<&CatalogRow::depth_bottom_cm>(Field::depth_bottom_cm),
                                                  lot_text<&CatalogRow::date>(Field::date)};

bool is_depth(Field field) { return field == Field::depth_top_cm || field == Field::depth_bottom_cm; }

// Whether all say the same of their lot, blanks included: then no field of it needs a closer look.
bool all_alike(const std::vector<RowInWork*>& members) {
  const CatalogRow& first = members.front()->row;
  return std::all_of(members.begin() + 1, members.end(), [&first](const RowInWork* member) {
    return std::all_of(k_lot_fields.begin(), k_lot_fields.end(),
                       [&](const LotField& field) { return field.same(first, member->row); });
  });
}

void check_lot_field(CatalogInWork& work, const std::string& lot, const std::vector<RowInWork*>& members,
                     const LotField& field) {
  const RowInWork* first = nullptr;
  bool differ = false;
  for (const RowInWork* member : members) {
    if (!field.given(member->row)) continue;
    if (first == nullptr) first = member;
    differ = differ || !field.same(first->row, member->row);
  }
  if (!differ) return;
  std::unordered_map<std::string, std::vector<RowInWork*>> by_value;
  for (RowInWork* member : members)
    if (field.given(member->row)) by_value[field.text(member->row)].push_back(member);
  const std::vector<RowInWork*>* most = nullptr;
  bool tie = false;
  for (const auto& [value, rows] : by_value) {
    if (most != nullptr && rows.size() == most->size()) tie = true;
    if (most == nullptr || rows.size() > most->size()) most = &rows, tie = false;
  }
  // A depth that was written as one range stands in the column of the range.
  std::size_t at = 0;
  const Field shown =
      is_depth(field.field) && column_of(work, field.field, at) == nullptr ? Field::depth_range_cm : field.field;
  for (const auto& [value, rows] : by_value) {
    if (&rows == most && !tie) continue;
    std::vector<RowInWork*> others;
    for (const auto& [other_value, other_rows] : by_value)
      if (&other_rows != &rows) others.insert(others.end(), other_rows.begin(), other_rows.end());
    std::sort(others.begin(), others.end(),
              [](const RowInWork* a, const RowInWork* b) { return a->row.row < b->row.row; });
    for (RowInWork* row : rows)
      report(work, *row, Severity::problem, shown,
             fmt::format("Items of lot {} must have the same {}, but {} {} otherwise.", lot, name_of(field.field),
                         list_rows(others, row), others.size() == 1 ? "says" : "say"),
             "Look at the bag and the field notes: put the value right, or the catalog number if it names the wrong "
             "lot.");
  }
}

constexpr std::array<Field, 7> k_identifiers = {Field::field_number, Field::bags,  Field::box, Field::unit,
                                                Field::accession,    Field::level, Field::site};

bool all_digits(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

// Numbers of one width, some with leading zeros, and others that are shorter.
void check_leading_zeros(CatalogInWork& work, Field field, std::size_t at) {
  std::size_t width = 0;
  std::size_t first_row = 0;
  for (const RowInWork& row : work.rows) {
    const std::string_view cell = trim(work.table.rows[row.table_index][at]);
    if (cell.size() < 2 || cell[0] != '0' || !all_digits(cell)) continue;
    if (width != 0 && width != cell.size()) return;  // the widths differ anyhow
    if (width == 0) first_row = row.row.row;
    width = cell.size();
  }
  if (width == 0) return;
  for (RowInWork& row : work.rows) {
    const std::string_view cell = trim(work.table.rows[row.table_index][at]);
    if (cell.size() >= width || !all_digits(cell)) continue;
    report(work, row, Severity::warning, field,
           fmt::format("Others in this column have {} digits (row {}); a spreadsheet may have dropped leading zeros.",
                       width, first_row),
           "Look it up; if zeros are missing, format the column as text and type them again.");
  }
}

void check_look_alikes(CatalogInWork& work, Field field, std::size_t at) {
  const auto plain = [&work, at](const RowInWork& row) { return is_plain_ascii(work.table.rows[row.table_index][at]); };
  if (std::all_of(work.rows.begin(), work.rows.end(), plain)) return;
  std::unordered_map<std::string, const RowInWork*> seen;
  for (RowInWork& row : work.rows) {
    const std::string cell{trim(work.table.rows[row.table_index][at])};
    if (cell.empty() || cell.size() > 200) continue;
    const std::string typed = as_typed(to_nfc(cell), false).text;
    const auto [found, is_new] = seen.emplace(look_alike_key(as_typed(typed, true).text), &row);
    if (is_new) continue;
    const std::string other{trim(work.table.rows[found->second->table_index][at])};
    if (other == cell || (is_plain_ascii(other) && is_plain_ascii(cell))) continue;
    if (as_typed(to_nfc(other), false).text == typed) continue;
    report(
        work, row, Severity::warning, field,
        fmt::format("This looks like the value in row {} but is written with other letters, so it counts as another.",
                    found->second->row.row),
        "Type both again with one keyboard if they are meant to be the same.");
  }
}

}  // namespace

void check_duplicates(CatalogInWork& work) {
  std::unordered_map<std::string_view, std::size_t> first_of;
  first_of.reserve(work.rows.size());
  std::unordered_map<std::size_t, std::vector<RowInWork*>> groups;
  for (std::size_t i = 0; i < work.rows.size(); ++i) {
    if (!work.rows[i].has_number) continue;
    const auto [first, is_new] = first_of.emplace(work.rows[i].row.number.text(), i);
    if (is_new) continue;
    std::vector<RowInWork*>& group = groups[first->second];
    if (group.empty()) group.push_back(&work.rows[first->second]);
    group.push_back(&work.rows[i]);
  }
  for (auto& [first, rows] : groups) {
    const std::string& text = rows.front()->row.number.text();
    std::string remedy = "Look at the objects; give each its own number, or put pieces of one item in one row.";
    if (may_have_lost_zero(text))
      remedy += " A spreadsheet drops zeros at the end: one of them may have been " + text + "0.";
    for (RowInWork* row : rows)
      report(work, *row, Severity::problem, Field::number,
             fmt::format("The catalog number stands in {} as well.", list_rows(rows, row)), remedy);
  }
}

void check_lots(CatalogInWork& work) {
  std::unordered_map<std::string, std::vector<RowInWork*>> lots;
  std::pair<const std::string, std::vector<RowInWork*>>* above = nullptr;  // rows of one lot stand together
  for (RowInWork& row : work.rows) {
    if (!row.has_number) continue;
    const std::string_view lot =
        prefix_of(row.row.number, work.standard.scheme(row.row.number.scheme()), NumberLevel::lot);
    if (lot.empty()) continue;
    if (above == nullptr || above->first != lot) above = &*lots.try_emplace(std::string{lot}).first;
    above->second.push_back(&row);
  }
  for (const auto& [lot, members] : lots) {
    if (members.size() < 2 || all_alike(members)) continue;
    for (const LotField& field : k_lot_fields) check_lot_field(work, lot, members, field);
  }
}

void check_identifier_columns(CatalogInWork& work) {
  for (const Field field : k_identifiers) {
    std::size_t at = 0;
    if (column_of(work, field, at) == nullptr) continue;
    check_leading_zeros(work, field, at);
    check_look_alikes(work, field, at);
  }
}

}  // namespace sherdmark
