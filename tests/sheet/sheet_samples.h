// Sheets that the tests of this folder look at: both sample standards, invented numbers.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "sherdmark/sheet/sheets.h"

namespace sherdmark::testing {

[[nodiscard]] HouseStandard sample_standard(const std::string& name);  // "quillow_ferry", "ostervane"
[[nodiscard]] const std::vector<std::string>& sample_standard_names();

[[nodiscard]] ArtifactLabelRequest artifact_request(const HouseStandard& standard, const std::string& number,
                                                    int copies = 1);
// About 150 labels in nine lots: shared numbers with many copies, pieces, traps such as 66 and 99.
[[nodiscard]] std::vector<ArtifactLabelRequest> sample_artifacts(const HouseStandard& standard);

// The labels that the standard's rules give to its catalog in samples/.
[[nodiscard]] std::vector<ArtifactLabelRequest> sample_collection(const HouseStandard& standard,
                                                                  const std::string& name);

[[nodiscard]] CarrierLabelRequest carrier_request(const HouseStandard& standard, LabelRole role,
                                                  const std::string& number, int ordinal);
[[nodiscard]] std::vector<CarrierLabelRequest> sample_carriers(const HouseStandard& standard, LabelRole role,
                                                               int count);

[[nodiscard]] SheetHeader sample_header(const HouseStandard& standard, LabelRole role);

// A run of sheets on disk as PDF.
struct MadeSheets {
  Placements placements;
  std::vector<CarrierLabelRequest> carriers;
  SheetHeader header;
  std::filesystem::path pdf;
};
[[nodiscard]] MadeSheets make_artifact_sheets(const HouseStandard& standard,
                                              const std::vector<ArtifactLabelRequest>& labels,
                                              const std::filesystem::path& pdf);
[[nodiscard]] MadeSheets make_carrier_sheets(const HouseStandard& standard,
                                             const std::vector<CarrierLabelRequest>& labels,
                                             const std::filesystem::path& pdf);

[[nodiscard]] std::string pdf_bytes(const MadeSheets& sheets, const HouseStandard& standard);

// Pages as pictures through poppler: PATH-1.pgm … in page order.
[[nodiscard]] std::vector<std::filesystem::path> rasterise(const std::filesystem::path& pdf, int dpi);

}  // namespace sherdmark::testing
