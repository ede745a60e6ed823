// Stocks, and the designs that are printed on them: where a label has its holes and folds, and what is left to print
// on.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "standard_parts.h"

namespace sherdmark {
namespace {

constexpr double k_least_free_width_mm = 18;
constexpr double k_least_free_height_mm = 12;
constexpr double k_hair_mm = 1e-6;

double free_width(const SheetStock& stock) { return stock.width_mm - stock.margin_left_mm - stock.margin_right_mm; }
double free_height(const SheetStock& stock) { return stock.height_mm - stock.margin_top_mm - stock.margin_bottom_mm; }

void read_holes(SectionReader& section, SheetStock& stock, double clear_mm) {
  for (SectionReader hole : section.list("hole")) {
    const double x = hole.length_mm("x"), y = hole.length_mm("y");
    const double reach = hole.length_mm("diameter") / 2 + clear_mm;
    stock.zones.push_back({"hole", x - reach, y - reach, 2 * reach, 2 * reach});
  }
}

void read_folds(SectionReader& section, SheetStock& stock, double clear_mm) {
  constexpr double k_whole_label_mm = 1000;  // a fold goes right across
  for (SectionReader fold : section.list("fold")) {
    const auto from_top = fold.optional_length_mm("from_top");
    const auto from_left = fold.optional_length_mm("from_left");
    if (from_top.has_value() == from_left.has_value())
      fold.problem({},
                   "A fold is level or upright. Give either from_top_mm (a level fold) or from_left_mm (an upright "
                   "one).");
    else if (from_top)
      stock.zones.push_back({"fold", 0, *from_top - clear_mm, k_whole_label_mm, 2 * clear_mm});
    else
      stock.zones.push_back({"fold", *from_left - clear_mm, 0, 2 * clear_mm, k_whole_label_mm});
  }
}

void read_grid(SectionReader& section, SheetStock& stock) {
  stock.columns = static_cast<int>(section.whole("columns"));
  stock.rows = static_cast<int>(section.whole("rows"));
  const auto width = section.optional_length_mm("label_width");
  const auto height = section.optional_length_mm("label_height");
  stock.first_left_mm = section.length_mm("first_left");
  stock.first_top_mm = section.length_mm("first_top");
  const auto pitch_x = section.optional_length_mm("pitch_x");
  const auto pitch_y = section.optional_length_mm("pitch_y");
  if (stock.kind != StockKind::die_cut) {
    stock.columns = stock.rows = 0;
    if (width || height || pitch_x || pitch_y)
      section.problem("kind", "Only die-cut labels lie on a grid. Write kind = \"die-cut\", or take the grid out.");
    return;
  }
  if (!width || !height) {
    section.problem("kind", "Die-cut labels need their size. Add label_width_mm and label_height_mm.");
    return;
  }
  stock.label_width_mm = *width;
  stock.label_height_mm = *height;
  stock.pitch_x_mm = pitch_x.value_or(*width);
  stock.pitch_y_mm = pitch_y.value_or(*height);
  if (stock.pitch_x_mm < *width - k_hair_mm || stock.pitch_y_mm < *height - k_hair_mm)
    section.problem("pitch_x_mm", "The labels would overlap: a pitch is smaller than the label. Measure it again.");
}

// The outermost labels, less the stock's tolerance, must lie where the printer prints.
void check_grid(SectionReader& section, const SheetStock& stock) {
  if (stock.kind != StockKind::die_cut || stock.label_width_mm <= 0) return;
  const double right = stock.first_left_mm + (stock.columns - 1) * stock.pitch_x_mm + stock.label_width_mm;
  const double bottom = stock.first_top_mm + (stock.rows - 1) * stock.pitch_y_mm + stock.label_height_mm;
  if (right > stock.width_mm + k_hair_mm || bottom > stock.height_mm + k_hair_mm)
    section.problem("columns",
                    fmt::format("The labels reach {:.1f} × {:.1f} mm, the sheet is {:.1f} × {:.1f} mm. Measure the "
                                "first label's place and the pitch again.",
                                right, bottom, stock.width_mm, stock.height_mm));
  const double slack = stock.tolerance_mm + k_hair_mm;
  if (stock.first_left_mm + slack < stock.margin_left_mm || stock.first_top_mm + slack < stock.margin_top_mm ||
      right - slack > stock.width_mm - stock.margin_right_mm ||
      bottom - slack > stock.height_mm - stock.margin_bottom_mm)
    section.problem("first_left_mm",
                    "The outer labels reach into the margin, which is not printed. Correct the margins, or take stock "
                    "whose labels lie within them.");
}

void check_size(SectionReader& section, SheetStock& stock, std::optional<double> height) {
  const bool endless = stock.kind == StockKind::roll || stock.kind == StockKind::strip;
  if (endless && height)
    section.problem("height_mm", "A roll or strip has no length of its own: each label makes a page. Take it out.");
  if (!endless && !height) section.problem("kind", "A sheet needs its height. Add height_mm.");
  stock.height_mm = endless ? 0 : height.value_or(0);
  const double across = stock.kind == StockKind::strip ? stock.width_mm - stock.margin_top_mm - stock.margin_bottom_mm
                                                       : free_width(stock);
  if (stock.width_mm > 0 && across < k_least_free_height_mm)
    section.problem("width_mm", fmt::format("The margins leave {:.1f} mm of the width. Correct one of them.", across));
  if (!endless && height && free_height(stock) < k_least_free_height_mm)
    section.problem("height_mm",
                    fmt::format("The margins leave {:.1f} mm of the height. Correct one of them.", free_height(stock)));
}

SheetStock read_stock(SectionReader& section) {
  SheetStock stock;
  stock.name = section.text("name");
  stock.kind = static_cast<StockKind>(section.choice("kind"));
  stock.width_mm = section.length_mm("width");
  const auto height = section.optional_length_mm("height");
  stock.margin_left_mm = section.length_mm("margin_left");
  stock.margin_right_mm = section.length_mm("margin_right");
  stock.margin_top_mm = section.length_mm("margin_top");
  stock.margin_bottom_mm = section.length_mm("margin_bottom");
  stock.material = section.text("material");
  stock.wet_safe = section.boolean("wet_safe");
  stock.tolerance_mm = section.length_mm("tolerance");
  if (stock.kind == StockKind::sheet) stock.tolerance_mm = 0;  // cut where it was printed
  const double clear_mm = section.length_mm("clear");
  read_holes(section, stock, clear_mm);
  read_folds(section, stock, clear_mm);
  read_grid(section, stock);
  check_size(section, stock, height);
  check_grid(section, stock);
  return stock;
}

struct Area {
  double left = 0, top = 0, right = 0, bottom = 0;
  [[nodiscard]] double size() const { return std::max(0.0, right - left) * std::max(0.0, bottom - top); }
};

// The largest part of the label, within the tolerance, that touches none of the zones.
Area largest_free(const CarrierDesign& design, const SheetStock& stock) {
  const double slack = stock.tolerance_mm;
  std::set<double> xs{slack, design.width_mm - slack}, ys{slack, design.height_mm - slack};
  for (const StockZone& zone : stock.zones) {
    for (const double x : {zone.x_mm, zone.x_mm + zone.w_mm})
      if (x > slack && x < design.width_mm - slack) xs.insert(x);
    for (const double y : {zone.y_mm, zone.y_mm + zone.h_mm})
      if (y > slack && y < design.height_mm - slack) ys.insert(y);
  }
  Area best;
  for (const double left : xs)
    for (const double right : xs)
      for (const double top : ys)
        for (const double bottom : ys) {
          const Area area{left, top, right, bottom};
          const bool touched = std::any_of(stock.zones.begin(), stock.zones.end(), [&](const StockZone& zone) {
            return zone.x_mm < right && zone.x_mm + zone.w_mm > left && zone.y_mm < bottom &&
                   zone.y_mm + zone.h_mm > top;
          });
          if (right > left && bottom > top && !touched && area.size() > best.size()) best = area;
        }
  return best;
}

void keep_clear(SectionReader& section, CarrierDesign& design, const SheetStock& stock) {
  if (stock.zones.empty() && stock.tolerance_mm <= 0) return;
  const Area area = largest_free(design, stock);
  if (area.right - area.left < k_least_free_width_mm || area.bottom - area.top < k_least_free_height_mm) {
    section.problem("stock",
                    fmt::format("Holes, folds and tolerance of the stock \"{}\" leave at most {:.1f} × {:.1f} mm of "
                                "the label to print on. Take a larger label or another stock.",
                                printable(stock.name), area.right - area.left, area.bottom - area.top));
    return;
  }
  design.inset_left_mm = area.left;
  design.inset_right_mm = design.width_mm - area.right;
  design.inset_top_mm = area.top;
  design.inset_bottom_mm = design.height_mm - area.bottom;
}

void take_die_size(SectionReader& section, CarrierDesign& design, const SheetStock& stock) {
  const auto differs = [&](std::string_view stem, double own, double die) {
    const std::string mm = std::string{stem} + "_mm", in = std::string{stem} + "_in";
    constexpr double k_same_mm = 0.05;
    if ((section.has(mm) || section.has(in)) && std::abs(own - die) > k_same_mm)
      section.problem(
          section.has(mm) ? mm : in,
          fmt::format("The label is {:.1f} mm, the die-cut label of \"{}\" is {:.1f} mm. Take this key out.", own,
                      printable(stock.name), die));
  };
  differs("width", design.width_mm, stock.label_width_mm);
  differs("height", design.height_mm, stock.label_height_mm);
  design.width_mm = stock.label_width_mm;
  design.height_mm = stock.label_height_mm;
}

void check_fit(SectionReader& section, const CarrierDesign& design, const SheetStock& stock) {
  double width = free_width(stock), height = free_height(stock);
  if (stock.kind == StockKind::die_cut || stock.width_mm <= 0) return;
  if (stock.kind == StockKind::roll) height = design.height_mm;
  if (stock.kind == StockKind::strip) {
    width = design.width_mm;
    height = stock.width_mm - stock.margin_top_mm - stock.margin_bottom_mm;
  }
  if (design.width_mm > width + k_hair_mm || design.height_mm > height + k_hair_mm)
    section.problem(
        "width_mm",
        fmt::format("A label of {:.1f} × {:.1f} mm does not fit the {:.1f} × {:.1f} mm that \"{}\" leaves within its "
                    "margins. Make the label smaller or the paper larger.",
                    design.width_mm, design.height_mm, width, height, printable(stock.name)));
}

}  // namespace

void put_on_stock(SectionReader section, CarrierDesign& design, const HouseStandard& standard) {
  design.stock = section.text("stock");
  design.needs_wet_safe = section.boolean("needs_wet_safe");
  const SheetStock* stock = &standard.carrier_stock;
  if (!design.stock.empty()) {
    const auto named = std::find_if(standard.stocks.begin(), standard.stocks.end(),
                                    [&](const SheetStock& one) { return one.name == design.stock; });
    if (named == standard.stocks.end()) {
      section.problem("stock", fmt::format("There is no stock \"{}\". Name one of the [[stock]] sections.",
                                           printable(design.stock)));
      return;
    }
    stock = &*named;
  }
  if (design.needs_wet_safe && !stock->wet_safe)
    section.problem("needs_wet_safe",
                    fmt::format("\"{}\" is not wet-safe: print on it would not last in a damp bag. Name a stock with "
                                "wet_safe = true.",
                                printable(stock->name)));
  if (stock->kind == StockKind::die_cut && stock->label_width_mm > 0) take_die_size(section, design, *stock);
  check_fit(section, design, *stock);
  keep_clear(section, design, *stock);
}

void read_stocks(SectionReader& root, HouseStandard& standard) {
  std::set<std::string> names;
  for (SectionReader section : root.list("stock")) {
    standard.stocks.push_back(read_stock(section));
    if (!names.insert(standard.stocks.back().name).second)
      section.problem("name", "Two stocks have this name. Give each its own.");
  }
}

void read_field_numbers(SectionReader section, HouseStandard& standard) {
  FieldNumbering& numbering = standard.field_numbers;
  numbering.prefix = section.text("prefix");
  numbering.digits = static_cast<int>(section.whole("digits"));
  numbering.smallest = section.whole("smallest");
  numbering.largest = section.whole("largest");
  numbering.block = static_cast<int>(section.whole("block"));
  if (trim(numbering.prefix).empty())
    section.problem("prefix", "Without a text before it, a field number could be taken for a catalog number. Add one.");
  else if (trim(numbering.prefix).front() != numbering.prefix.front())
    section.problem("prefix", "A field number cannot begin with a space. Take it out.");
  if (numbering.smallest > numbering.largest)
    section.problem("smallest", "The smallest field number is larger than the largest. Exchange or correct the two.");
  if (numbering.digits > 0 && std::to_string(numbering.largest).size() > static_cast<std::size_t>(numbering.digits))
    section.problem("digits", "The largest field number has more digits than this. Correct one of the two.");
}

std::string FieldNumbering::number(std::int64_t running) const {
  return fmt::format("{}{:0{}}", prefix, running, std::max(digits, 1));
}

std::optional<std::int64_t> FieldNumbering::running(std::string_view text) const {
  if (!text.starts_with(prefix)) return std::nullopt;
  const auto value = parse_integer(text.substr(prefix.size()));
  if (!value || *value < smallest || *value > largest || number(*value) != text) return std::nullopt;
  return value;
}

const CarrierDesign& HouseStandard::carrier_design(LabelRole role) const {
  switch (role) {
    case LabelRole::bag:
      return bag;
    case LabelRole::tag:
      return tag;
    case LabelRole::box:
      return box;
    case LabelRole::shelf:
      return shelf;
    case LabelRole::field_tag:
      return field_tag;
    case LabelRole::removal_slip:
      return removal_slip;
    case LabelRole::divider:
    case LabelRole::action:
      return card;
    case LabelRole::artifact:
      break;
  }
  throw internal_error("an artifact label is no carrier.");
}

const SheetStock& HouseStandard::stock_of(LabelRole role) const {
  const std::string& wanted = carrier_design(role).stock;
  for (const SheetStock& stock : stocks)
    if (stock.name == wanted) return stock;
  return carrier_stock;
}

}  // namespace sherdmark
