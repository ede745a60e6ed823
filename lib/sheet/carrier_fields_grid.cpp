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
constexpr double k_most_moved_mm = 5.0;
constexpr double k_least_kept_share = 0.95;  // of what a hand needs, when a line is moved under another
constexpr double k_value_apart_mm = 0.6;     // more than the gutter, between values
constexpr double k_hairline_mm = 0.12;
constexpr double k_hair_mm = 1e-6;

// Fields of one group stay together; 0 goes with what stands before it.
int group_of(const std::string& name, bool with_excavators) {
  if (name == "date") return with_excavators ? 2 : 0;
  if (name == "excavators") return 2;
  if (name == "object" || name == "material" || name == "count" || name == "weight") return 3;
  return name == "field_number" || name == "remarks" || name == "cautions" ? 0 : 1;
}

// What a hand needs to write the field, at the least.
double written_width_mm(const std::string& name) {
  if (name == "stratum" || name == "level" || name == "feature" || name == "depth" || name == "count" ||
      name == "weight")
    return 16.0;
  if (name == "site" || name == "unit" || name == "date" || name == "lot" || name == "accession" ||
      name == "field_number" || name == "material" || name == "lent_on" || name == "due_back")
    return 24.0;
  return 38.0;
}

}  // namespace

bool stands_apart(const std::string& field) {
  return field == "number" || field == "bag" || field == "repository" || field == "says";
}

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
  int least_span = 1;   // with no more than the gutter behind it
  double least_mm = 0;  // in a row with lines to write on
  double x_mm = 0;      // from the left edge of the fields
  double width_mm = 0;
};

struct FieldsGrid::Row {
  std::vector<Cell> cells;
  int used = 0;
  int columns = k_columns;
  int group = 0;
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

double FieldsGrid::row_width(double y_mm) const {
  return y_mm >= code_bottom_mm_ ? width_mm_ : std::min(width_mm_, code_left_mm_ - left_mm_);
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

  void add(const CarrierField& field, int group) {
    if (sizes_.grouped && group != 0 && row_.group != 0 && group != row_.group) finish_row();
    if (group != 0) row_.group = group;
    Cell cell{.field = &field, .caption = caption_of(field.name)};
    const double caption = grid_.text_.measure(caption_style_, cell.caption).width_mm;
    const double value = grid_.text_.measure(value_style_, field.text).width_mm;
    const double wanted = beside() ? caption + caption_gap() + value : std::max(caption, value);
    if (sizes_.writing_lines) {
      cell.least_mm = std::max(written_width_mm(field.name), field.text.empty() ? 0.0 : wanted + 0.01);
      double used = cell.least_mm;
      for (const Cell& other : row_.cells) used += other.least_mm + k_gutter_mm;
      if (used > grid_.row_width(y_)) finish_row();
      row_.cells.push_back(std::move(cell));
      return;
    }
    cell.least_span = grid_.columns_for(wanted + 0.01);
    int needed = grid_.columns_for(wanted + k_value_apart_mm);
    if (row_.used + needed > row_.columns && tighten_row(cell.least_span)) needed = cell.least_span;
    if (row_.used + needed > row_.columns) {
      const int kept = row_.group;
      finish_row();
      row_.group = kept;
    }
    cell.span = std::min(needed, row_.columns);
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
    const double x = grid_.left_mm_ + cell.x_mm;
    const double width = cell.width_mm;
    const TextSize caption = grid_.text_.measure(caption_style_, cell.caption);
    if (cell.field->text.empty()) {
      // The room over a caption's capitals goes to the line above.
      const double raised = caption.height_mm * k_caption_raised_share;
      placed_.texts.push_back({caption_style_, cell.caption, {x, y_ - raised}, 0});
      const double height = caption.height_mm - raised + sizes_.writing_mm + k_hairline_mm;
      placed_.rules.push_back({x, y_ + height - k_hairline_mm, width, k_hairline_mm});
      return height;
    }
    const double indent = caption.width_mm + caption_gap();
    const double room = width - indent;
    if (beside() && (grid_.text_.measure(value_style_, cell.field->text).width_mm <= room ||
                     room >= pt_to_mm(sizes_.value_pt) * k_least_beside_em)) {
      const TextSize value = grid_.text_.measure(value_style_, cell.field->text, room);
      placed_.texts.push_back({caption_style_, cell.caption, {x, y_ + value.baseline_mm - caption.baseline_mm}, 0});
      return place_value(cell.field->text, {x + indent, y_}, room);
    }
    placed_.texts.push_back({caption_style_, cell.caption, {x, y_}, 0});
    return caption.height_mm + place_value(cell.field->text, {x, y_ + caption.height_mm}, width);
  }

  // A long text of a row of its own goes on at full width where the code ends. Returns its height.
  double place_value(const std::string& text, PointMm at, double width_mm) {
    const auto height_of = [&](const std::string& some, double width) {
      return grid_.text_.measure(value_style_, some, width).height_mm;
    };
    const double height = height_of(text, width_mm);
    const bool alone = row_.cells.size() == 1 && row_.columns < k_columns;
    const double beside_code = grid_.code_bottom_mm_ - at.y_mm;
    if (alone && beside_code > 0 && height > beside_code) {
      std::vector<std::size_t> cuts;
      for (std::size_t i = text.find(' '); i != std::string::npos; i = text.find(' ', i + 1)) cuts.push_back(i);
      const auto height_to = [&](std::size_t cut) { return height_of(text.substr(0, cut), width_mm); };
      const auto past =
          std::partition_point(cuts.begin(), cuts.end(), [&](std::size_t cut) { return height_to(cut) < beside_code; });
      if (past != cuts.end()) {
        const double upper = height_to(*past);  // in whole lines, the last of which is filled
        const auto end = std::partition_point(past, cuts.end(),
                                              [&](std::size_t cut) { return height_to(cut) <= upper + k_hair_mm; });
        const std::size_t cut = *(end - 1);
        const std::string below{trim(std::string_view{text}.substr(cut))};
        const double full = grid_.left_mm_ + grid_.width_mm_ - at.x_mm;
        placed_.texts.push_back({value_style_, text.substr(0, cut), at, width_mm});
        if (below.empty()) return upper;
        placed_.texts.push_back({value_style_, below, {at.x_mm, at.y_mm + upper}, full});
        return upper + height_of(below, full);
      }
    }
    placed_.texts.push_back({value_style_, text, at, width_mm});
    return height;
  }

  // Values stand a little apart, unless that pushes one into a row of its own.
  bool tighten_row(int more_columns) {
    int used = 0;
    for (const Cell& cell : row_.cells) used += cell.least_span;
    if (used + more_columns > row_.columns) return false;
    row_.used = 0;
    for (Cell& cell : row_.cells) {
      cell.column = row_.used;
      cell.span = cell.least_span;
      row_.used += cell.span;
    }
    return true;
  }

  void divide_row() {
    if (!sizes_.writing_lines) {
      row_.cells.back().span = row_.columns - row_.cells.back().column;  // the last takes what is left
      for (Cell& cell : row_.cells) {
        cell.x_mm = cell.column == 0 ? 0 : grid_.span_width(cell.column) + k_gutter_mm;
        cell.width_mm = grid_.span_width(cell.span);
      }
      return;
    }
    double least = 0;
    for (const Cell& cell : row_.cells) least += cell.least_mm;
    const double width = grid_.row_width(y_);
    const double spare = width - least - k_gutter_mm * static_cast<double>(row_.cells.size() - 1);
    double x = 0;
    for (Cell& cell : row_.cells) {
      cell.x_mm = x;
      cell.width_mm = cell.least_mm * (1 + spare / least);
      x += cell.width_mm + k_gutter_mm;
    }
    line_up(width);
  }

  // Lines to write on begin under those of the rows above, where they nearly do.
  void line_up(double width_mm) {
    for (std::size_t i = 1; i < row_.cells.size(); ++i) {
      Cell& before = row_.cells[i - 1];
      Cell& cell = row_.cells[i];
      const double end = i + 1 < row_.cells.size() ? row_.cells[i + 1].x_mm - k_gutter_mm : width_mm;
      for (const double mark : marks_) {
        if (std::abs(mark - cell.x_mm) > k_most_moved_mm) continue;
        if (mark - k_gutter_mm - before.x_mm < before.least_mm * k_least_kept_share) continue;
        if (end - mark < cell.least_mm * k_least_kept_share) continue;
        before.width_mm = mark - k_gutter_mm - before.x_mm;
        cell.x_mm = mark;
        cell.width_mm = end - mark;
        break;
      }
    }
    for (std::size_t i = 1; i < row_.cells.size(); ++i) marks_.push_back(row_.cells[i].x_mm);
  }

  void finish_row() {
    if (row_.cells.empty()) return;
    divide_row();
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
    const double gap_em = beside() ? k_row_gap_beside_em : k_row_gap_em;
    y_ += height + (written_on ? sizes_.writing_gap_mm : pt_to_mm(sizes_.value_pt) * gap_em);
    row_ = Row{{}, 0, grid_.columns_at(y_), 0};
  }

  const FieldsGrid& grid_;
  Sizes sizes_;
  TextStyle value_style_;
  TextStyle caption_style_;
  Placed& placed_;
  std::vector<std::pair<std::size_t, std::size_t>> row_ends_;  // texts and rules placed when a row was finished
  std::vector<double> marks_;                                  // where lines to write on began in the rows so far
  double y_;
  double end_ = 0;  // foot of the last row
  Row row_;
  Overflow overflow_;
};

FieldsGrid::Overflow FieldsGrid::set(const std::vector<CarrierField>& fields, const Sizes& sizes,
                                     Placed& placed) const {
  Setter setter{*this, sizes, placed};
  const bool with_excavators = std::any_of(fields.begin(), fields.end(), [](const CarrierField& field) {
    return field.name == "excavators" && !trim(field.text).empty();
  });
  for (const CarrierField& field : fields)
    if (!stands_apart(field.name) && (sizes.writing_lines || !trim(field.text).empty()))
      setter.add(field, group_of(field.name, with_excavators));
  return setter.finish();
}

}  // namespace sherdmark
