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
constexpr double k_row_gap_beside_em = 0.22;

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

// One setting of the fields at one size, row after row.
class FieldsGrid::Setter {
 public:
  Setter(const FieldsGrid& grid, const Sizes& sizes, std::vector<CarrierText>& placed)
      : grid_(grid),
        sizes_(sizes),
        value_style_{.family = grid.family_, .size_pt = sizes.value_pt},
        caption_style_{.family = grid.family_, .size_pt = sizes.caption_pt},
        placed_(placed),
        y_(grid.top_mm_) {
    row_.columns = grid_.columns_at(y_);
  }

  void add(const CarrierField& field) {
    Cell cell{&field, caption_of(field.name), 0, 1};
    const double caption = grid_.text_.measure(caption_style_, cell.caption).width_mm;
    const double value = grid_.text_.measure(value_style_, field.text).width_mm;
    const double wanted = beside() ? caption + caption_gap() + value : std::max(caption, value);
    cell.span = grid_.columns_for(wanted + 0.01);
    if (row_.used + cell.span > row_.columns) finish_row();
    cell.span = std::min(cell.span, row_.columns);
    cell.column = row_.used;
    row_.used += cell.span;
    row_.cells.push_back(std::move(cell));
  }

  Overflow finish() {
    finish_row();
    return overflow_;
  }

 private:
  [[nodiscard]] bool beside() const { return sizes_.captions == Captions::beside; }
  [[nodiscard]] double caption_gap() const { return pt_to_mm(sizes_.value_pt) * 0.4; }

  // Returns the height of the cell.
  double place(const Cell& cell) {
    const double x = grid_.left_mm_ + (cell.column == 0 ? 0 : grid_.span_width(cell.column) + k_gutter_mm);
    const TextSize caption = grid_.text_.measure(caption_style_, cell.caption);
    const double indent = beside() ? caption.width_mm + caption_gap() : 0;
    const double width = grid_.span_width(cell.span) - indent;
    const TextSize value = grid_.text_.measure(value_style_, cell.field->text, width);
    const double drop = beside() ? 0 : caption.height_mm;
    placed_.push_back(
        {caption_style_, cell.caption, {x, y_ + (beside() ? value.baseline_mm - caption.baseline_mm : 0)}, 0});
    placed_.push_back({value_style_, cell.field->text, {x + indent, y_ + drop}, width});
    return drop + value.height_mm;
  }

  void finish_row() {
    if (row_.cells.empty()) return;
    row_.cells.back().span = row_.columns - row_.cells.back().column;  // the last takes what is left
    double height = 0;
    for (const Cell& cell : row_.cells) {
      height = std::max(height, place(cell));
      if (y_ + height > grid_.bottom_mm_ && overflow_.field.empty()) overflow_.field = cell.field->name;
    }
    overflow_.mm = std::max(0.0, y_ + height - grid_.bottom_mm_);
    y_ += height + pt_to_mm(sizes_.value_pt) * (beside() ? k_row_gap_beside_em : k_row_gap_em);
    row_ = Row{{}, 0, grid_.columns_at(y_)};
  }

  const FieldsGrid& grid_;
  Sizes sizes_;
  TextStyle value_style_;
  TextStyle caption_style_;
  std::vector<CarrierText>& placed_;
  double y_;
  Row row_;
  Overflow overflow_;
};

FieldsGrid::Overflow FieldsGrid::set(const std::vector<CarrierField>& fields, const Sizes& sizes,
                                     std::vector<CarrierText>& placed) const {
  Setter setter{*this, sizes, placed};
  for (const CarrierField& field : fields)
    if (!stands_apart(field.name) && !trim(field.text).empty()) setter.add(field);
  return setter.finish();
}

}  // namespace sherdmark
