// The fields of a bag label or tag as caption and value on a grid of six columns, beside the code and below it.
#pragma once

#include <string>
#include <vector>

#include "sheet/carrier_label.h"

namespace sherdmark {

inline constexpr double k_writing_line_mm = 7.0;  // least, clear, under the caption (common practice, no source)

class FieldsGrid {
 public:
  // Rows whose top lies above `code_bottom_mm` end before `code_left_mm`, the edge of the quiet zone.
  FieldsGrid(const RunningText& text, std::string family, double left_mm, double width_mm, double top_mm,
             double bottom_mm, double code_left_mm, double code_bottom_mm);

  struct Overflow {
    std::string field;  // the first that does not fit
    double mm = 0;      // how far the whole reaches below the bottom; 0: all fits
  };
  enum class Captions { above, beside };  // beside: on the value's line; more fields in less height
  struct Sizes {
    double value_pt = 0;
    double caption_pt = 0;
    Captions captions = Captions::above;
    bool writing_lines = false;             // a field without text gets a line to write on
    double writing_mm = k_writing_line_mm;  // the clear room over it
    double writing_gap_mm = 0;              // from a line to write on to the caption under it
    bool grouped = false;  // what tells of the find begins a row of its own, so that labels of a sheet look alike
  };
  struct Placed {
    std::vector<CarrierText> texts;
    std::vector<RectMm> rules;
  };
  // Sets every field; what height is left over goes between the rows.
  Overflow set(const std::vector<CarrierField>& fields, const Sizes& sizes, Placed& placed) const;

 private:
  struct Cell;
  struct Row;
  class Setter;
  [[nodiscard]] int columns_at(double y_mm) const;
  [[nodiscard]] double span_width(int columns) const;
  [[nodiscard]] double row_width(double y_mm) const;
  [[nodiscard]] int columns_for(double width_mm) const;

  const RunningText& text_;
  std::string family_;
  double left_mm_;
  double width_mm_;
  double top_mm_;
  double bottom_mm_;
  double code_left_mm_;
  double code_bottom_mm_;
};

// Is the field set elsewhere on the label?
[[nodiscard]] bool stands_apart(const std::string& field);

// What stands over a value: "Field number" for "field_number".
[[nodiscard]] std::string caption_of(const std::string& field);

}  // namespace sherdmark
