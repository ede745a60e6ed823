// The repository's house standard: one TOML file that says how it numbers, labels, prints and checks.
// Every key is documented in docs/house-standard.md. Values here are already validated.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/standard/bench_advice.h"
#include "sherdmark/standard/label_role.h"
#include "sherdmark/standard/scheme.h"
#include "sherdmark/standard/stocks.h"

namespace sherdmark {

enum class ColumnClass { public_, internal, location_restricted, care_restricted };

enum class ItemKind { artifact, bulk, sample, assembly, record };

// What a rule looks at. Lengths in mm; absent means not recorded.
struct RuleSubject {
  ItemKind kind = ItemKind::artifact;
  std::string material;
  std::string object;
  std::string surface;
  std::optional<double> largest_mm;
  std::vector<std::string> flags;
  std::optional<std::int64_t> count;
};

enum class LabelDecision { direct, tag_only, never };
enum class Numbering { shared, sub_numbered };

struct LabelRule {
  std::string name;
  std::vector<ItemKind> kinds;         // empty: any
  std::vector<std::string> materials;  // whole words, case-insensitive; empty: any
  std::vector<std::string> surfaces;   // likewise
  std::vector<std::string> any_flag;
  std::optional<double> at_least_mm;  // largest dimension
  std::optional<double> under_mm;
  bool size_unknown = false;  // matches only when the largest dimension was not recorded
  LabelDecision decision = LabelDecision::tag_only;
  Numbering numbering = Numbering::shared;
  double sample_share = 1.0;      // of the count, rounded up
  std::int64_t sample_least = 1;  // never fewer than this (nor more than the count)
  std::string reason;             // in words, shown to people
  std::string caution;            // shown where the act happens; may be empty
};

struct RuleOutcome {
  LabelDecision decision = LabelDecision::tag_only;
  Numbering numbering = Numbering::shared;
  std::int64_t labels = 0;  // artifact labels to make
  std::string rule;
  std::string reason;
  std::string caution;
};

struct PrinterDescription {
  int dpi = 600;
  double scale_x = 1.0;  // measured length / nominal length, by calibrate
  double scale_y = 1.0;
  double skew_deg = 0.0;
  double toner_spread_mm = 0.02;  // how far ink grows over the edge of a dot
  int least_module_dots = 4;      // no code has a smaller module; more where fine lines run together
};

// The paper trimmer and what time and paper are worth at it. A stroke is one pull of the blade.
struct Trimmer {
  int gang = 8;                    // sheets or strips that are squared up and cut together
  double smallest_held_mm = 10.0;  // what must be left for the trimmer to hold while it cuts
  double most_slack_mm = 4.0;      // a label may be this much longer than its text, to share a cut with others
  double stroke_seconds = 6.0;
  double snip_seconds = 3.0;        // one cut with scissors
  double square_up_seconds = 10.0;  // strips put together for one gang
  double sheet_seconds = 60.0;      // what a sheet of paper is worth, in working time
  bool keep_order = false;          // every strip cut on its own, labels strictly in bench order, at whatever cost
};

enum class MicroCode { none, micro_qr, data_matrix };

struct ArtifactLabelDesign {
  std::string font = "";               // family name; must resolve exactly (no substitution)
  double size_pt = 5.0;                // 4 … 6: the size wanted; large enough objects get it
  double smallest_pt = 4.0;            // small objects may get smaller type, down to this
  double most_of_object = 0.5;         // the label's longer side is at most this share of the largest dimension
  double reading_distance_mm = 350.0;  // from the eye of who reads the labels
  double rule_mm = 0.15;               // thickness of the rule under each line
  double trim_tolerance_mm = 0.5;      // clear paper kept round the text on each side
  double widest_mm = 25.0;             // longest line before it breaks
  bool check_character = false;        // print ISO/IEC 7064 MOD 37,36 after the number
  MicroCode micro_code = MicroCode::none;
  double micro_module_mm = 0.17;
};

// A field that a bag label or tag can show, in print order: "number", "bag", "site", "accession", "lot", "unit",
// "stratum", "level", "feature", "depth", "date", "excavators", "object", "material", "count", "weight",
// "field_number", "remarks", "repository", "cautions".
struct CarrierDesign {  // bag label, tag, box label, shelf label
  double width_mm = 100.0;
  double height_mm = 60.0;
  double number_pt = 24.0;
  double text_pt = 9.0;
  double module_mm = 0.42;  // smallest module; the next whole number of dots is taken
  std::vector<std::string> fields;
  double code_share = 0.42;  // of the height that may be printed on; the role's, no key
  std::string stock;         // name in HouseStandard::stocks; empty: carrier_stock
  bool needs_wet_safe = false;
  double inset_left_mm = 0;  // edges on which nothing is printed: holes, folds, the stock's tolerance
  double inset_right_mm = 0;
  double inset_top_mm = 0;
  double inset_bottom_mm = 0;
};

// How field numbers are built: a text and a running number, "FS 101".
struct FieldNumbering {
  std::string prefix = "F-";
  int digits = 0;  // padded with zeros to so many digits; 0: none
  std::int64_t smallest = 1;
  std::int64_t largest = 99999;
  int block = 50;  // numbers in a block when nobody says how many
  [[nodiscard]] std::string number(std::int64_t running) const;
  // The running number of a field number of this form; std::nullopt: of another form, or out of range.
  [[nodiscard]] std::optional<std::int64_t> running(std::string_view number) const;
};

enum class Bagging { one_bag_per_item, one_bag_per_lot, by_column };

struct AgreementRule {  // what one set must show to agree
  bool bag = true;
  bool tag = true;
  bool artifacts = true;  // every labelled piece the contents expect
};

struct HouseStandard {
  std::string name;
  std::string version;
  std::string repository;
  std::vector<Scheme> schemes;
  std::string default_scheme;
  std::map<std::string, std::string> accession_scheme;  // accession → scheme name
  std::map<std::string, std::string> columns;           // catalog header → field name (catalog/rows.h)
  std::map<std::string, ColumnClass> column_classes;    // field or extra header → class; others are internal
  std::vector<std::string> required_columns;
  std::string date_order;               // "ymd", "mdy", "dmy": how slashed dates read
  std::vector<LabelRule> rules;         // first that matches decides
  std::vector<std::string> care_flags;  // flags that restrict: never a label, picture or draw
  Bagging bagging = Bagging::one_bag_per_item;
  SheetStock artifact_stock;
  SheetStock carrier_stock;  // bag labels and tags
  PrinterDescription printer;
  Trimmer trimmer;
  ArtifactLabelDesign artifact;
  CarrierDesign bag;
  CarrierDesign tag;
  CarrierDesign box;
  CarrierDesign shelf;
  CarrierDesign field_tag;
  CarrierDesign removal_slip;
  CarrierDesign card;              // dividers and action cards
  std::vector<SheetStock> stocks;  // those that a design names
  FieldNumbering field_numbers;
  std::string carrier_font;
  AgreementRule agreement;
  double read_margin = 0.0;  // least margin for an artifact text; 0: the reader's own
  int drying_hours = 12;
  std::optional<double> box_weight_limit_kg;  // absent: the repository sets none
  int soak_test_days = 365;                   // so long a soak test of printer, toner, paper and adhesive holds
  std::vector<BenchAdvice> bench_advice;      // first that matches; bench_advice.h
  std::vector<std::string> cautions;          // printed on sheets and bench lists
  std::string source;                         // the TOML text, kept in the ledger

  [[nodiscard]] const Scheme& scheme(std::string_view scheme_name) const;  // throws internal_error
  // Tries every scheme, default first; the first that parses. std::nullopt if none does.
  [[nodiscard]] std::optional<ParsedNumber> parse_number(std::string_view text) const;
  [[nodiscard]] ColumnClass column_class(std::string_view field) const;
  // Of every role but artifact, for which both throw internal_error.
  [[nodiscard]] const CarrierDesign& carrier_design(LabelRole role) const;
  [[nodiscard]] const SheetStock& stock_of(LabelRole role) const;
};

// The fields of a catalog row that a [columns] table, a class or required_columns may name (catalog/rows.h).
[[nodiscard]] const std::vector<std::string>& catalog_field_names();
// The catalog fields whose values a field of a bag label or tag shows: "depth" shows depth_top_cm and depth_bottom_cm.
// For the caller to leave out what column_class restricts.
[[nodiscard]] std::vector<std::string> catalog_fields_shown_by(std::string_view carrier_field);

// Parses and validates. Every unknown key, wrong unit and contradiction is reported: data_error with file, row
// (line) and column of the first, and the rest listed in the same text. `file_name` is only for messages.
[[nodiscard]] HouseStandard parse_house_standard(std::string_view toml_text, const std::string& file_name);

// Materials and surfaces match as whole words without regard to case ("iron" in "Iron, wrought", not in "ironstone").
// An item of one piece (or without a count) is never sub-numbered: its number is its own.
// First rule that matches; care flags decide before any rule; "tag only, no rule says otherwise" if none does.
[[nodiscard]] RuleOutcome decide_label(const HouseStandard& standard, const RuleSubject& subject);

[[nodiscard]] std::string_view to_text(ItemKind kind);
[[nodiscard]] std::optional<ItemKind> parse_item_kind(std::string_view text);
[[nodiscard]] std::string_view to_text(LabelDecision decision);  // "direct", "tag only", "never"

}  // namespace sherdmark
