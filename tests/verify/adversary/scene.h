// One set: papers that really lie in the picture, what the camera made of each, and the faults that were planted.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "sherdmark/verify/judge.h"
#include "verify/adversary/world.h"

namespace sherdmark::adversary {

enum class Fault {
  foreign_artifact,
  assembly_mate,
  swapped_artifact,
  other_bags_share,
  extra_copy,
  cut_number,
  upside_down,
  wrong_tag,
  extra_tag,
  second_bag,
  swapped_carriers,
  photocopy,
  stale_label,
  two_in_force,
  older_revision,
  forged_code,
  reused_serial,
  another_collection,
  no_such_print,
  unknown_number,
  unsure_reading,
  unsure_foreign,
  hidden_label,
  wrong_place,
  wrong_box,
  lent,
  retired,
  ambiguous_former,
  newer_code,
  text_against_code,
  text_apart_from_code,
  conflicting_pictures,
  artifact_not_in_force,
  never_label,
  other_field_tag,
  moved_in_ledger,
  lot_number,
  not_recorded,
  keyed_in_part,
  old_beside_new
};
inline constexpr int k_faults = static_cast<int>(Fault::old_beside_new) + 1;
[[nodiscard]] const char* to_text(Fault fault);

// A paper in the picture and how it was read.
struct SeenPaper {
  Paper paper;
  bool sure = true;
  bool hidden = false;  // gives no reading at all
  bool newer = false;
  std::optional<std::string> reads{};  // text as read, when that is not what is printed
  std::optional<std::string> small_code_reads{};
  bool code_apart = false;                          // text and small code found as two readings at different places
  std::optional<std::string> second_picture_bag{};  // the second picture reads another bag
  bool keyed_without_serial = false;
};

struct Scene {
  World* world = nullptr;
  testing::MemoryCollection collection;  // the ledger, with the changes that a fault made to it
  Bag bag;                               // the bag this set is taken for, as it is true
  std::vector<SeenPaper> seen;
  std::optional<std::string> place_given;
  std::vector<std::pair<std::string, std::string>> moved_in;  // bag, number: one piece moved there in the ledger
  std::vector<Fault> faults;
};

// A faultless set of a random bag: it must agree.
[[nodiscard]] Scene make_scene(World& world, RandomSource& random);
// False when the fault cannot be planted here (no second bag …): nothing was changed.
bool plant(Scene& scene, Fault fault, RandomSource& random);
[[nodiscard]] ReadingSet take_pictures(const Scene& scene, RandomSource& random);

}  // namespace sherdmark::adversary
