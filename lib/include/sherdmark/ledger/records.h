// Records: what the events of a ledger add up to, as plain values, and the narrow window through which `verify`
// looks at them. Enum values and their texts are stored; they are frozen (docs/formats/ledger.md).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/catalog/rows.h"
#include "sherdmark/standard/label_role.h"

namespace sherdmark {

// Life of one physical copy. "planned" has no print yet; "generated" has a serial and a PDF; "printed" was confirmed
// by a person; "applied" is glued, hung or laid in.
enum class PrintState { generated, printed, applied, superseded, void_, spoiled };

struct PrintRecord {
  std::string serial;
  LabelRole role = LabelRole::bag;
  std::string subject;  // bag id for bag and tag; item number for artifact; place id for shelf
  std::string number;   // the number printed on it, canonical
  int revision = 1;
  int ordinal = 1;  // of a continued label
  PrintState state = PrintState::generated;
  std::string run;
};

struct BagContent {
  std::string item;                        // canonical item number
  std::optional<std::int64_t> quantity;    // pieces of the item in this bag; absent: weighed or measured only
  std::int64_t labelled = 0;               // pieces that should carry an artifact label
  std::optional<std::int64_t> unlabelled;  // pieces that carry none; absent when quantity is
  std::string status{};                    // the item's in the catalog: "on loan", "missing" …; empty: in collection
};

enum class BagState { active, retired };

struct BagRecord {
  std::string id;
  BagState state = BagState::active;
  std::vector<BagContent> contents;
  std::string home_place;  // place path; empty: none given
  std::string now_place;
  std::string box;
  bool lent = false;
  bool sensitive = false;  // the code carries an opaque key, not the number
  std::string box_id;      // of `box`, as on the box's label
};

// What one artifact text can lawfully stand for in one bag.
struct ExpectedArtifact {
  std::string number;  // as printed: the item's number or a piece's
  std::string item;
  std::int64_t copies = 1;  // labelled pieces of this number in this bag
};

enum class NumberMeaning { item, piece, lot, field_number, former_number, unknown };

// Where a canonical number text leads. A former number may lead to several items.
struct NumberRecord {
  NumberMeaning meaning = NumberMeaning::unknown;
  std::vector<std::string> items;  // current item numbers it leads to
  std::string bound_to;            // field number: the lot it is bound to; empty when unbound
  bool never_label = false;        // care flags or rules: no artifact label may exist
  LabelDecision decision = LabelDecision::direct;
  std::vector<std::string> formerly;  // item, piece: other items that carried this very number before
};

// Revision and life of the artifact label of one printed number.
struct ArtifactLabelRecord {
  int revision = 1;
  std::int64_t generated = 0;  // live copies by state
  std::int64_t printed = 0;
  std::int64_t applied = 0;
  std::int64_t superseded = 0;
  std::int64_t voided = 0;
};

// Read-only look-ups; implemented by the ledger and by plain memory in tests. Look-ups that find nothing are empty.
class CollectionView {
 public:
  virtual ~CollectionView() = default;
  [[nodiscard]] virtual std::string collection_key() const = 0;
  [[nodiscard]] virtual std::optional<BagRecord> find_bag(const std::string& bag_id) const = 0;
  [[nodiscard]] virtual std::optional<PrintRecord> find_print(const std::string& serial) const = 0;
  // Prints of one bag and role that are printed or applied.
  [[nodiscard]] virtual std::vector<PrintRecord> live_prints(const std::string& bag_id, LabelRole role) const = 0;
  // Ordinals of all sheets that the current label of a bag and role has, also of those that are void, spoiled, not
  // confirmed as printed or not made yet; in order. Empty when no label is planned.
  [[nodiscard]] virtual std::vector<int> current_sheets(const std::string& bag_id, LabelRole role) const = 0;
  [[nodiscard]] virtual std::vector<ExpectedArtifact> expected_artifacts(const std::string& bag_id) const = 0;
  [[nodiscard]] virtual NumberRecord find_number(const std::string& canonical) const = 0;
  [[nodiscard]] virtual std::optional<ArtifactLabelRecord> artifact_label(const std::string& canonical) const = 0;
  // Ids of the active bags that hold the item, in a fixed order; none for a number that is unknown.
  [[nodiscard]] virtual std::vector<std::string> bags_of_item(const std::string& item) const = 0;
};

}  // namespace sherdmark
