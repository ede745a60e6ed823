// One bag label, tag, box or shelf label, field tag, slip or card: what stands where on it. Lengths in mm from its top
// left corner.
//
//   role   bag id, bag n of m            ┌──────┐
//   NUMBER IN LARGE TYPE                 │ code │
//   caption   caption                    └──────┘
//   value     value      … on a grid of six columns
//   repository                    print serial · revision
//
// All of it lies within carrier_area: nothing is printed on holes and folds.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sheet/carrier_number.h"
#include "sherdmark/sheet/canvas.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

struct CarrierText {
  TextStyle style;
  std::string text;
  PointMm top_left;
  double width_mm = 0;  // 0: one line as long as it is
};

struct CarrierLabelDrawing {
  std::vector<CarrierText> texts;
  std::vector<RectMm> rules;
  CarrierNumber number;
  PointMm number_pen;  // of its first line
  SymbolMatrix code;
  int module_dots = 0;
  double module_mm = 0;
  PointMm code_at;  // top left with the quiet zone
  double code_size_mm = 0;
  double fields_end_mm = 0;
};

// The field that does not fit, and how far all of them reach below the room for them.
struct FieldOverflow {
  std::string field;
  double mm = 0;
};

class CarrierLabelMaker {
 public:
  explicit CarrierLabelMaker(const HouseStandard& standard);

  [[nodiscard]] const CarrierDesign& design(LabelRole role) const;
  // Throws data_error when something does not fit at the smallest type allowed; names the bag, the field and how much
  // is too much.
  [[nodiscard]] CarrierLabelDrawing compose(const CarrierLabelRequest& request) const;
  void draw(Canvas& canvas, const CarrierLabelRequest& request, const PlacedLabel& label) const;
  // Nothing: the label fits. Else the field that is too much, and by how much.
  [[nodiscard]] std::optional<FieldOverflow> overflow(const CarrierLabelRequest& request) const;
  [[nodiscard]] const RunningText& running_text() const { return text_; }

 private:
  struct Sheet;
  // Everything but the fields' refusal.
  std::optional<FieldOverflow> set(const CarrierLabelRequest& request, CarrierLabelDrawing& drawing) const;
  // Its errors do not say of which label they are.
  std::optional<FieldOverflow> set_unnamed(const CarrierLabelRequest& request, CarrierLabelDrawing& drawing) const;
  const HouseStandard& standard_;
  Typeface bold_;
  RunningText text_;
};

}  // namespace sherdmark
