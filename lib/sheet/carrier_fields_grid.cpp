#include "sheet/carrier_fields_grid.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"

namespace sherdmark {
namespace {

constexpr int k_columns = 6;
constexpr double k_gutter_mm = 2.0;
constexpr double k_row_gap_em = 0.42;  // of the value's size

// Set elsewhere on the label.
bool stands_apart(const std::string& name) { return name == "number" || name == "bag" || name == "repository"; }

}  // namespace

std::string caption_of(const std::string& field) {
  static const std::map<std::string, std::string> k_captions{{"field_number", "Field number"}, {"cautions", "Caution"}};
  if (const auto known = k_captions.find(field); known != k_captions.end()) return known->second;
  std::string caption = field;
  std::replace(caption.begin(), caption.end(), '_', ' ');
  if (!caption.empty()) caption[0] = to_upper_ascii(caption.substr(0, 1))[0];
  return caption;
}

struct FieldsGrid::Cell {
  const CarrierField* field = nullptr;
  std::string caption;
  int column = 0;
  int span = 1;
};

struct FieldsGrid::Row {
  std::vector<Cell> cells;
  int used = 0;
  int columns = k_columns;
};

FieldsGrid::FieldsGrid(const RunningText& text, std::string family, double left_mm, double width_mm, double top_mm,
                       double bottom_mm, double code_left_mm, double code_bottom_mm)
    : text_(text),
      family_(std::move(family)),
      left_mm_(left_mm),
      width_mm_(width_mm),
      top_mm_(top_mm),
      bottom_mm_(bottom_mm),
      code_left_mm_(code_left_mm),
      code_bottom_mm_(code_bottom_mm) {}

double FieldsGrid::span_width(int columns) const {
  const double column = (width_mm_ - (k_columns - 1) * k_gutter_mm) / k_columns;
  return columns * column + (columns - 1) * k_gutter_mm;
}

int FieldsGrid::columns_for(double width_mm) const {
  int columns = 1;
  while (columns < k_columns && span_width(columns) < width_mm) ++columns;
  return columns;
}

int FieldsGrid::columns_at(double y_mm) const {
  if (y_mm >= code_bottom_mm_) return k_columns;
  int columns = k_columns;
  while (columns > 1 && left_mm_ + span_width(columns) > code_left_mm_) --columns;
  return columns;
}

FieldsGrid::Overflow FieldsGrid::set(const std::vector<CarrierField>& fields, double value_pt, double caption_pt,
                                     std::vector<CarrierText>& placed) const {
  const TextStyle value_style{.family = family_, .size_pt = value_pt};
  const TextStyle caption_style{.family = family_, .size_pt = caption_pt};
  Overflow overflow;
  double y = top_mm_;
  Row row;
  row.columns = columns_at(y);
  const auto finish_row = [&] {
    if (row.cells.empty()) return;
    row.cells.back().span = row.columns - row.cells.back().column;  // the last takes what is left
    double height = 0;
    for (const Cell& cell : row.cells) {
      const double x = left_mm_ + (cell.column == 0 ? 0 : span_width(cell.column) + k_gutter_mm);
      const double width = span_width(cell.span);
      const TextSize caption = text_.measure(caption_style, cell.caption);
      const TextSize value = text_.measure(value_style, cell.field->text, width);
      placed.push_back({caption_style, cell.caption, {x, y}, 0});
      placed.push_back({value_style, cell.field->text, {x, y + caption.height_mm}, width});
      height = std::max(height, caption.height_mm + value.height_mm);
      if (y + caption.height_mm + value.height_mm > bottom_mm_ && overflow.field.empty())
        overflow.field = cell.field->name;
    }
    overflow.mm = std::max(0.0, y + height - bottom_mm_);
    y += height + pt_to_mm(value_pt) * k_row_gap_em;
    row = Row{{}, 0, columns_at(y)};
  };
  for (const CarrierField& field : fields) {
    if (stands_apart(field.name) || trim(field.text).empty()) continue;
    Cell cell{&field, caption_of(field.name), 0, 1};
    const double wanted =
        std::max(text_.measure(caption_style, cell.caption).width_mm, text_.measure(value_style, field.text).width_mm);
    cell.span = columns_for(wanted + 0.01);
    if (row.used + cell.span > row.columns || wanted > span_width(row.columns)) finish_row();
    cell.span = std::min(cell.span, row.columns);
    cell.column = row.used;
    row.used += cell.span;
    row.cells.push_back(std::move(cell));
    if (wanted > span_width(row.columns)) finish_row();
  }
  finish_row();
  return overflow;
}

}  // namespace sherdmark
