// A collection in plain memory: what a test says, and nothing it works out by the judge's rules.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "sherdmark/ledger/records.h"

namespace sherdmark::testing {

class MemoryCollection final : public CollectionView {
 public:
  std::string key = "KV7Q";
  std::map<std::string, BagRecord> bags;
  std::map<std::string, PrintRecord> prints;
  std::map<std::string, std::vector<ExpectedArtifact>> expected;
  std::map<std::string, NumberRecord> numbers;
  std::map<std::string, ArtifactLabelRecord> labels;

  [[nodiscard]] std::string collection_key() const override { return key; }
  [[nodiscard]] std::optional<BagRecord> find_bag(const std::string& bag_id) const override;
  [[nodiscard]] std::optional<PrintRecord> find_print(const std::string& serial) const override;
  [[nodiscard]] std::vector<PrintRecord> live_prints(const std::string& bag_id, LabelRole role) const override;
  [[nodiscard]] std::vector<int> current_sheets(const std::string& bag_id, LabelRole role) const override;
  [[nodiscard]] std::vector<ExpectedArtifact> expected_artifacts(const std::string& bag_id) const override;
  [[nodiscard]] NumberRecord find_number(const std::string& canonical) const override;
  [[nodiscard]] std::optional<ArtifactLabelRecord> artifact_label(const std::string& canonical) const override;
  [[nodiscard]] std::vector<std::string> bags_of_item(const std::string& item) const override;
};

}  // namespace sherdmark::testing
