// Labels in → pages out. Layout is pure; drawing writes PDF or PNG bytes to a sink.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/base/picture.h"
#include "sherdmark/sheet/placement.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark {

// An artifact label to be made: one number, so many copies.
struct ArtifactLabelRequest {
  Number number;
  std::string lot;  // number of its lot, for grouping and strip headers
  int revision = 1;
  int copies = 1;
  std::optional<double> largest_mm{};  // of the object; the label stays within the standard's share of it
};

// One line of what a bag label or tag says: the field's name (CarrierDesign::fields) and its text, in print order.
struct CarrierField {
  std::string name;
  std::string text;
};

struct CarrierLabelRequest {  // bag label, tag, box or shelf label
  LabelRole role = LabelRole::bag;
  std::string bag;     // bag id (place id for a shelf)
  std::string number;  // shown large: lot or item number, or the bag id when it holds several
  std::string shown;   // what stands large in the number's stead, "B-7KM-00042" for an id; empty: the number
  std::string serial;
  int revision = 1;
  std::string code_text;  // from write_link_code
  std::vector<CarrierField> fields;
  int sheet = 1;  // of a continued label: which of how many
  int sheets = 1;
};

// The label as it is, or, when its fields do not fit the design, as several: fields in their order, long ones cut
// between words, each sheet marked "label n of m". All have the request's code; the caller gives each its own. Throws
// data_error when it would be more than k_largest_ordinal sheets, or something other than the fields does not fit.
[[nodiscard]] std::vector<CarrierLabelRequest> continue_label(const CarrierLabelRequest& whole,
                                                              const HouseStandard& standard);

struct SheetHeader {
  std::string run;
  std::string title;  // "Artifact labels", "Bag labels", "Interior tags"
  std::string repository;
  std::string date;  // printed text; passed in so that output is repeatable
  std::vector<std::string> instructions;
  std::vector<std::string> cautions;
  std::vector<std::string> made{};  // who, where, from which state of which ledger; stands behind the repository
  std::string cutting_note{};       // a sentence for the head of the cutting list: what the other order would cost
  std::string printer{};            // which calibrated printer it is made for, in words; beside the date
};

// The lines an artifact label would have: breaks only between parts, no line wider than the design allows if it can.
[[nodiscard]] std::vector<std::string> break_artifact_text(const Scheme& scheme, const Number& number,
                                                           const ArtifactLabelDesign& design, const Typeface& face);

// Artifact labels one number after the other, so that a long run need not be in memory: all of a lot together, all of
// a number together.
class ArtifactLabelSource {
 public:
  virtual ~ArtifactLabelSource() = default;
  virtual void rewind() = 0;                                           // the first is next
  [[nodiscard]] virtual bool next(ArtifactLabelRequest& request) = 0;  // false: there is none left
};

struct LabelSize {
  double w_mm = 0;
  double h_mm = 0;
};
[[nodiscard]] LabelSize artifact_label_size(const std::vector<std::string>& lines, const ArtifactLabelDesign& design,
                                            const Typeface& face, const std::optional<SymbolMatrix>& micro_code,
                                            int dpi);

// Throws data_error when a label cannot fit (says which and by how much), environment_error for a missing font. A run
// of more than 20,000 labels is planned in blocks of some thousand, whole lots if they are shorter than that.
[[nodiscard]] Placements lay_out_artifact_labels(ArtifactLabelSource& labels, const HouseStandard& standard,
                                                 const std::string& run);
// The same from a list in any order: lots come in the order of their first labels, in each the numbers likewise.
[[nodiscard]] Placements lay_out_artifact_labels(const std::vector<ArtifactLabelRequest>& labels,
                                                 const HouseStandard& standard, const std::string& run);
[[nodiscard]] Placements lay_out_carrier_labels(const std::vector<CarrierLabelRequest>& labels,
                                                const HouseStandard& standard, const std::string& run);

// Whole PDF, true size, fonts embedded, no metadata that changes; byte-identical for identical input.
// `carriers`: the requests in the order of placements.labels; empty for artifact sheets.
void draw_pdf(const Placements& placements, const std::vector<CarrierLabelRequest>& carriers, const SheetHeader& header,
              const HouseStandard& standard, const ByteSink& sink);

// One page as grey pixels, the same drawing as the PDF.
[[nodiscard]] GreyPicture draw_page(const Placements& placements, const std::vector<CarrierLabelRequest>& carriers,
                                    const SheetHeader& header, const HouseStandard& standard, int page, double dpi);
void write_png(const GreyView& picture, const ByteSink& sink);
void write_png(const ColourPicture& picture, const ByteSink& sink);

}  // namespace sherdmark
