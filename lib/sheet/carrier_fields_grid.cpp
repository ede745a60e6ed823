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
constexpr double k_most_spread_em = 0.6;
constexpr double k_least_beside_em = 5.0;        // narrower than this beside its caption, a value goes below it
constexpr double k_caption_raised_share = 0.15;  // of a caption's height, over a line to write on
constexpr double k_hairline_mm = 0.12;

// Set elsewhere on the label.
bool stands_apart(const std::string& name) {
  return name == "number" || name == "bag" || name == "repository" || name == "says";
}

}  // namespace

std::string caption_of(const std::string& field) {
  static const std::map<std::string, std::string> k_captions{{"field_number", "Field number"},
                                                             {"cautions", "Caution"},
                                                             {"home", "Home"},
                                                             {"lent_to", "Taken out to"},
                                                             {"lent_on", "On"},
                                                             {"due_back", "Due back"},
                                                             {"taken_by", "Taken by"},
                                                             {"put_back", "Put back on, by"}};
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
  Setter(const FieldsGrid& grid, const Sizes& sizes, Placed& placed)
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
    const int needed = field.text.empty() ? 1 : grid_.columns_for(wanted + 0.01);
    // Between lines to write on, every cell takes half the row.
    const auto span_here = [&] { return sizes_.writing_lines ? std::max(row_.columns / 2, needed) : needed; };
    if (row_.used + span_here() > row_.columns) finish_row();
    cell.span = span_here();
    cell.span = std::min(cell.span, row_.columns);
    cell.column = row_.used;
    row_.used += cell.span;
    row_.cells.push_back(std::move(cell));
  }

  Overflow finish() {
    finish_row();
    if (overflow_.mm <= 0 && row_ends_.size() > 1) spread();
    return overflow_;
  }

 private:
  [[nodiscard]] bool beside() const { return sizes_.captions == Captions::beside; }
  [[nodiscard]] double caption_gap() const { return pt_to_mm(sizes_.value_pt) * 0.4; }

  // Each row moves down by its share of what is left over, up to a limit, so that the label looks filled, not crowded.
  void spread() {
    const auto rows = static_cast<double>(row_ends_.size() - 1);
    const double more = std::min((grid_.bottom_mm_ - end_) / (rows + 2), pt_to_mm(sizes_.value_pt) * k_most_spread_em);
    std::size_t row = 0;
    for (std::size_t i = 0; i < placed_.texts.size(); ++i) {
      while (i >= row_ends_[row].first) ++row;
      placed_.texts[i].top_left.y_mm += more * static_cast<double>(row);
    }
    row = 0;
    for (std::size_t i = 0; i < placed_.rules.size(); ++i) {
      while (i >= row_ends_[row].second) ++row;
      placed_.rules[i].y_mm += more * static_cast<double>(row);
    }
  }

  // Returns the height of the cell.
  double place(const Cell& cell) {
    const double x = grid_.left_mm_ + (cell.column == 0 ? 0 : grid_.span_width(cell.column) + k_gutter_mm);
    const double width = grid_.span_width(cell.span);
    const TextSize caption = grid_.text_.measure(caption_style_, cell.caption);
    if (cell.field->text.empty()) {
      // The room over a caption's capitals goes to the line above.
      const double raised = caption.height_mm * k_caption_raised_share;
      placed_.texts.push_back({caption_style_, cell.caption, {x, y_ - raised}, 0});
      const double height = caption.height_mm - raised + k_writing_line_mm + k_hairline_mm;
      placed_.rules.push_back({x, y_ + height - k_hairline_mm, width, k_hairline_mm});
      return height;
    }
    const double indent = caption.width_mm + caption_gap();
    const double room = width - indent;
    if (beside() && (grid_.text_.measure(value_style_, cell.field->text).width_mm <= room ||
                     room >= pt_to_mm(sizes_.value_pt) * k_least_beside_em)) {
      const TextSize value = grid_.text_.measure(value_style_, cell.field->text, width - indent);
      placed_.texts.push_back({caption_style_, cell.caption, {x, y_ + value.baseline_mm - caption.baseline_mm}, 0});
      placed_.texts.push_back({value_style_, cell.field->text, {x + indent, y_}, width - indent});
      return value.height_mm;
    }
    const TextSize value = grid_.text_.measure(value_style_, cell.field->text, width);
    placed_.texts.push_back({caption_style_, cell.caption, {x, y_}, 0});
    placed_.texts.push_back({value_style_, cell.field->text, {x, y_ + caption.height_mm}, width});
    return caption.height_mm + value.height_mm;
  }

  void finish_row() {
    if (row_.cells.empty()) return;
    row_.cells.back().span = row_.columns - row_.cells.back().column;  // the last takes what is left
    double height = 0;
    for (const Cell& cell : row_.cells) {
      height = std::max(height, place(cell));
      if (y_ + height > grid_.bottom_mm_ && overflow_.field.empty()) overflow_.field = cell.field->name;
    }
    end_ = y_ + height;
    overflow_.mm = std::max(0.0, end_ - grid_.bottom_mm_);
    row_ends_.emplace_back(placed_.texts.size(), placed_.rules.size());
    const bool written_on =
        std::any_of(row_.cells.begin(), row_.cells.end(), [](const Cell& cell) { return cell.field->text.empty(); });
    const double gap_em = written_on ? 0 : beside() ? k_row_gap_beside_em : k_row_gap_em;
    y_ += height + pt_to_mm(sizes_.value_pt) * gap_em;
    row_ = Row{{}, 0, grid_.columns_at(y_)};
  }

  const FieldsGrid& grid_;
  Sizes sizes_;
  TextStyle value_style_;
  TextStyle caption_style_;
  Placed& placed_;
  std::vector<std::pair<std::size_t, std::size_t>> row_ends_;  // texts and rules placed when a row was finished
  double y_;
  double end_ = 0;  // foot of the last row
  Row row_;
  Overflow overflow_;
};

FieldsGrid::Overflow FieldsGrid::set(const std::vector<CarrierField>& fields, const Sizes& sizes,
                                     Placed& placed) const {
  Setter setter{*this, sizes, placed};
  for (const CarrierField& field : fields)
    if (!stands_apart(field.name) && (sizes.writing_lines || !trim(field.text).empty())) setter.add(field);
  return setter.finish();
}

}  // namespace sherdmark
