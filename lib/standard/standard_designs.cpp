#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/standard/printer.h"
#include "sherdmark/standard/privacy.h"
#include "standard_parts.h"

namespace sherdmark {
namespace {

SheetStock read_stock(SectionReader section) {
  SheetStock stock;
  stock.name = section.text("name");
  stock.width_mm = section.length_mm("width");
  stock.height_mm = section.length_mm("height");
  stock.margin_left_mm = section.length_mm("margin_left");
  stock.margin_right_mm = section.length_mm("margin_right");
  stock.margin_top_mm = section.length_mm("margin_top");
  stock.margin_bottom_mm = section.length_mm("margin_bottom");
  stock.material = section.text("material");
  return stock;
}

double free_width(const SheetStock& stock) { return stock.width_mm - stock.margin_left_mm - stock.margin_right_mm; }
double free_height(const SheetStock& stock) { return stock.height_mm - stock.margin_top_mm - stock.margin_bottom_mm; }

Trimmer read_trimmer(SectionReader section) {
  Trimmer trimmer;
  trimmer.gang = static_cast<int>(section.whole("gang"));
  trimmer.smallest_held_mm = section.length_mm("smallest_held");
  trimmer.most_slack_mm = section.length_mm("most_slack");
  trimmer.stroke_seconds = section.decimal("stroke_seconds");
  trimmer.snip_seconds = section.decimal("snip_seconds");
  trimmer.square_up_seconds = section.decimal("square_up_seconds");
  trimmer.sheet_seconds = section.decimal("sheet_seconds");
  trimmer.keep_order = section.boolean("keep_order");
  return trimmer;
}

void check_stock(SectionReader section, const SheetStock& stock) {
  constexpr double k_least_free_mm = 30;
  if (stock.width_mm > 0 && free_width(stock) < k_least_free_mm)
    section.problem("width_mm",
                    fmt::format("The margins leave {:.1f} mm of the paper's width. Correct the width or the margins.",
                                free_width(stock)));
  if (stock.height_mm > 0 && free_height(stock) < k_least_free_mm)
    section.problem("height_mm",
                    fmt::format("The margins leave {:.1f} mm of the paper's height. Correct the height or the margins.",
                                free_height(stock)));
}

CarrierDesign read_carrier(SectionReader section, bool chosen_fields) {
  CarrierDesign design;
  design.width_mm = section.length_mm("width");
  design.height_mm = section.length_mm("height");
  design.number_pt = section.decimal("number_pt");
  design.text_pt = section.decimal("text_pt");
  design.module_mm = section.length_mm("module");
  if (chosen_fields) design.fields = section.texts("fields");
  return design;
}

void check_carrier(SectionReader section, const CarrierDesign& design) {
  if (pt_to_mm(design.number_pt) + pt_to_mm(design.text_pt) > design.height_mm)
    section.problem("number_pt", "The number and one line of text are taller than the label. Make the type smaller.");
  if (design.text_pt > design.number_pt)
    section.problem("text_pt",
                    "The text is larger than the number, which must stand out. Exchange or correct the two.");
  std::set<std::string> seen;
  for (const std::string& field : design.fields) {
    const std::vector<std::string>& known = carrier_field_names();
    if (std::find(known.begin(), known.end(), field) == known.end())
      section.problem("fields",
                      fmt::format("\"{}\" cannot be shown. The fields are: {}.", printable(field), join(known, ", ")));
    if (!seen.insert(field).second)
      section.problem("fields", fmt::format("\"{}\" stands twice. Keep one of them.", printable(field)));
  }
  if (section.has("fields") && !seen.contains("number"))
    section.problem("fields", "\"number\" is missing: a label without its number ties nothing together. Add it.");
}

void read_carriers(SectionReader& root, HouseStandard& standard) {
  struct Role {
    std::string_view section;
    CarrierDesign& design;
    bool chosen_fields;  // the others say what their role asks for
    double code_share;   // of the height: a code that is read from afar is larger
  };
  const Role roles[] = {
      {"bag_label", standard.bag, true, 0.42},       {"tag", standard.tag, true, 0.42},
      {"box_label", standard.box, false, 0.5},       {"shelf_label", standard.shelf, false, 0.9},
      {"field_tag", standard.field_tag, true, 0.36}, {"removal_slip", standard.removal_slip, false, 0.42},
      {"card", standard.card, false, 0.62}};
  for (const Role& role : roles) {
    role.design = read_carrier(root.section(role.section), role.chosen_fields);
    role.design.code_share = role.code_share;
    put_on_stock(root.section(role.section), role.design, standard);
    check_carrier(root.section(role.section), role.design);
  }
}

// Restricted values stay off what anyone passing the shelf can read.
void check_outside(SectionReader section, const HouseStandard& standard) {
  for (const std::string& field : standard.bag.fields) {
    for (const std::string& column : catalog_fields_shown_by(field)) {
      if (is_restricted(standard, column))
        section.problem(
            "fields",
            fmt::format("\"{}\" would show the restricted column \"{}\" on the outside of a bag. Leave it out, or "
                        "change its class.",
                        field, column));
    }
  }
}

void read_artifact(SectionReader section, HouseStandard& standard) {
  ArtifactLabelDesign& design = standard.artifact;
  design.font = section.text("font");
  design.size_pt = section.decimal("size_pt");
  design.smallest_pt = section.decimal("smallest_pt");
  design.most_of_object = section.decimal("most_of_object_percent") / 100.0;
  design.reading_distance_mm = section.length_mm("reading_distance");
  design.rule_mm = section.length_mm("rule");
  design.trim_tolerance_mm = section.length_mm("trim_tolerance");
  design.widest_mm = section.length_mm("widest");
  design.check_character = section.boolean("check_character");
  design.micro_code = static_cast<MicroCode>(section.choice("micro_code"));
  design.micro_module_mm = section.length_mm("micro_module");
  if (section.has("smallest_pt") && design.smallest_pt > design.size_pt)
    section.problem("smallest_pt", "The smallest type is larger than the usual one. Exchange or correct the two.");
  if (section.has("micro_module_mm") && design.micro_code == MicroCode::none)
    section.problem("micro_module_mm",
                    "There is no micro-code to have this module. Choose a micro_code, or take the module out.");
  if (standard.artifact_stock.width_mm > 0 && design.widest_mm > free_width(standard.artifact_stock))
    section.problem("widest_mm", "A line may be wider than the artifact paper. Correct one of the two.");
}

}  // namespace

const std::vector<std::string>& carrier_field_names() {
  static const std::vector<std::string> k_names{"number", "bag",          "site",    "accession",  "lot",
                                                "unit",   "stratum",      "level",   "feature",    "depth",
                                                "date",   "excavators",   "object",  "material",   "count",
                                                "weight", "field_number", "remarks", "repository", "cautions"};
  return k_names;
}

std::vector<std::string> catalog_fields_shown_by(std::string_view carrier_field) {
  if (carrier_field == "depth") return {"depth_top_cm", "depth_bottom_cm"};
  if (carrier_field == "weight") return {"weight_g"};
  for (const std::string_view own : {"bag", "lot", "repository", "cautions"})
    if (carrier_field == own) return {};
  return {std::string{carrier_field}};
}

void read_designs(SectionReader& root, HouseStandard& standard, StandardNotes&) {
  standard.artifact_stock = read_stock(root.section("artifact_paper"));
  standard.carrier_stock = read_stock(root.section("carrier_paper"));
  check_stock(root.section("artifact_paper"), standard.artifact_stock);
  check_stock(root.section("carrier_paper"), standard.carrier_stock);
  SectionReader printer = root.section("printer");
  standard.printer.dpi = static_cast<int>(printer.whole("dpi"));
  standard.printer.scale_x = printer.decimal("scale_x");
  standard.printer.scale_y = printer.decimal("scale_y");
  standard.printer.skew_deg = printer.decimal("skew_deg");
  standard.printer.toner_spread_mm = printer.length_mm("toner_spread");
  standard.printer.least_module_dots = static_cast<int>(printer.whole("least_module_dots"));
  standard.trimmer = read_trimmer(root.section("trimmer"));
  read_artifact(root.section("artifact_label"), standard);
  standard.carrier_font = root.section("carrier_label").text("font");
  read_stocks(root, standard);
  read_carriers(root, standard);
  read_field_numbers(root.section("field_numbers"), standard);
  const PrinterDescription own_printer = standard.printer;
  standard = for_printer(std::move(standard), own_printer);
  check_outside(root.section("bag_label"), standard);
  SectionReader agreement = root.section("agreement");
  standard.agreement.bag = agreement.boolean("bag");
  standard.agreement.tag = agreement.boolean("tag");
  standard.agreement.artifacts = agreement.boolean("artifacts");
  standard.read_margin = agreement.decimal("read_margin");
  if (!standard.agreement.bag && !standard.agreement.tag && !standard.agreement.artifacts)
    agreement.problem("bag", "Nothing need be seen for a set to agree. Ask for at least one role.");
}

}  // namespace sherdmark
