// Which labels lie together in a picture, and what was planted wrong: chosen from a ledger and its printed sheets.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/ledger/ledger.h"
#include "sherdmark/sheet/placement.h"

namespace sherdmark::scenes {

enum class Fault { none, swapped_artifact, wrong_tag, missing_tag, stale_label, unknown_number, two_bags };

[[nodiscard]] std::string_view to_text(Fault fault);           // "swapped artifact" …
[[nodiscard]] std::string_view expected_verdict(Fault fault);  // what check must say of it

// One label on a printed sheet: which placements file, which entry.
struct SheetLabel {
  std::filesystem::path placements_file;
  PlacedLabel label;
};

// All labels of the runs in some folders, by what they are.
class SheetLabels {
 public:
  // Reads every placements file (*.json) there. Throws data_error when there is none.
  SheetLabels(FileSystem& files, const std::vector<std::filesystem::path>& folders);
  [[nodiscard]] std::vector<SheetLabel> artifact(const std::string& number) const;
  // Carriers of a bag and role whose print has (or, with live = false, no longer has) force in the ledger.
  [[nodiscard]] std::optional<SheetLabel> carrier(const Ledger& ledger, const std::string& bag, LabelRole role,
                                                  bool live) const;

 private:
  std::vector<SheetLabel> labels_;
};

struct PlantedSet {
  std::string image;  // file name of the picture
  std::string bag;
  std::string number;
  Fault fault = Fault::none;
  std::vector<SheetLabel> bag_labels;
  std::vector<SheetLabel> tags;
  std::vector<SheetLabel> artifacts;
  std::vector<std::string> invented;  // numbers drawn by hand, on no sheet
};

// At least one set of each fault and `faultless` sets without one. Throws data_error when the collection has too few
// bags with few enough labels to fill them.
[[nodiscard]] std::vector<PlantedSet> plant_sets(const Ledger& ledger, const SheetLabels& labels,
                                                 std::size_t faultless);

}  // namespace sherdmark::scenes
