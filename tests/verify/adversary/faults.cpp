// What can go wrong with a set, planted one by one or several at once.
#include <algorithm>
#include <array>

#include "verify/adversary/scene.h"

namespace sherdmark::adversary {
namespace {

// clang-format off
// clang-format off
constexpr std::array<const char*, k_faults> k_names{
    "foreign artifact", "assembly mate", "swapped artifact", "other bag's share", "extra copy", "cut number",
    "upside down", "wrong tag", "extra tag", "second bag", "swapped carriers", "photocopy", "stale label",
    "two in force", "older revision", "forged code", "reused serial", "another collection", "no such print",
    "unknown number", "unsure reading", "unsure foreign", "hidden label", "wrong place", "wrong box", "lent",
    "retired", "ambiguous former", "newer code", "text against code", "text apart from code",
    "conflicting pictures", "artifact not in force", "never label", "other field tag", "moved in ledger",
    "lot number", "not recorded", "keyed in part", "old beside new"};
// clang-format on
// clang-format on

std::vector<SeenPaper*> seen_of(Scene& scene, LabelRole role) {
  std::vector<SeenPaper*> found;
  for (SeenPaper& seen : scene.seen)
    if (seen.paper.role == role) found.push_back(&seen);
  return found;
}

const Bag* other_bag(const Scene& scene, RandomSource& random) {
  std::vector<const Bag*> others;
  for (const Bag& bag : scene.world->bags)
    if (bag.id != scene.bag.id) others.push_back(&bag);
  return others.empty() ? nullptr : pick(random, others);
}

// An artifact label of another bag whose number this bag does not expect.
const Paper* foreign_paper(const Scene& scene, RandomSource& random) {
  std::vector<const Paper*> foreign;
  for (const Bag& bag : scene.world->bags)
    for (const Paper& paper : bag.artifacts)
      if (bag.id != scene.bag.id && scene.bag.quota.count(paper.number) == 0) foreign.push_back(&paper);
  return foreign.empty() ? nullptr : pick(random, foreign);
}

// A label on an object that nobody knows of.
Paper artifact_paper(Scene& scene, const std::string& number) {
  Paper paper;
  paper.number = number;
  paper.object = scene.world->next_object++;
  return paper;
}

bool plant_artifact(Scene& scene, Fault fault, RandomSource& random) {
  auto ours = seen_of(scene, LabelRole::artifact);
  const Paper* foreign = foreign_paper(scene, random);
  switch (fault) {
    case Fault::foreign_artifact:
      if (foreign == nullptr) return false;
      scene.seen.push_back({*foreign});
      return true;
    case Fault::swapped_artifact:
      if (foreign == nullptr || ours.empty()) return false;
      pick(random, ours)->paper = *foreign;
      return true;
    case Fault::assembly_mate: {
      const std::string mate = pick(random, scene.world->assembly);
      if (scene.bag.quota.count(mate) > 0) return false;
      scene.seen.push_back({artifact_paper(scene, mate)});
      return true;
    }
    case Fault::other_bags_share:
      for (const Bag& bag : scene.world->bags)
        for (const Paper& paper : bag.artifacts)
          if (bag.id != scene.bag.id && scene.bag.quota.count(paper.number) > 0) {
            scene.seen.push_back({paper});
            return true;
          }
      return false;
    case Fault::extra_copy:
      if (ours.empty()) return false;
      {
        SeenPaper copy = *pick(random, ours);
        copy.paper.object = scene.world->next_object++;
        scene.seen.push_back(copy);
      }
      return true;
    case Fault::unknown_number:
      if (!ours.empty() && chance(random, 0.5)) {
        pick(random, ours)->paper = artifact_paper(scene, "78-4");
      } else {
        scene.seen.push_back({artifact_paper(scene, "78-4")});
      }
      return true;
    case Fault::never_label:
      if (scene.world->never_labelled.empty()) return false;
      scene.seen.push_back({artifact_paper(scene, pick(random, scene.world->never_labelled))});
      return true;
    case Fault::ambiguous_former:
      for (const auto& [former, items] : scene.world->items_of_former)
        if (items.size() > 1) {
          if (!ours.empty() && chance(random, 0.5)) {
            pick(random, ours)->paper = artifact_paper(scene, former);
          } else {
            scene.seen.push_back({artifact_paper(scene, former)});
          }
          return true;
        }
      return false;
    case Fault::old_beside_new:
      for (const auto& [former, items] : scene.world->items_of_former) {
        if (items.size() != 1 || scene.bag.quota.count(items.front()) == 0) continue;
        SeenPaper old{artifact_paper(scene, former)};
        for (const SeenPaper* seen : ours)  // on the same object, or on a stray one
          if (seen->paper.number == items.front() && chance(random, 0.5)) old.paper.object = seen->paper.object;
        scene.seen.push_back(old);
        return true;
      }
      return false;
    case Fault::lot_number:
      if (ours.empty()) return false;
      pick(random, ours)->paper = artifact_paper(scene, pick(random, scene.bag.lots));
      return true;
    default:
      return false;
  }
}

std::string upside_down(std::string text) {
  for (char& c : text) c = c == '6' ? '9' : c == '9' ? '6' : c;
  return text;
}

// The camera misreads. A foreign label that reads, surely, as one of ours cannot be told from ours by any judge: that
// is the reader's to prevent (by rule, grammar and margin), so here such a reading is never sure.
bool plant_misreading(Scene& scene, Fault fault, RandomSource& random) {
  auto ours = seen_of(scene, LabelRole::artifact);
  const Paper* foreign = foreign_paper(scene, random);
  switch (fault) {
    case Fault::cut_number:
    case Fault::upside_down: {
      if (ours.empty()) return false;
      SeenPaper& seen = *pick(random, ours);
      const std::string& number = seen.paper.number;
      const std::string read =
          fault == Fault::upside_down ? upside_down(number) : number.substr(0, number.size() - 1 - random.below(2));
      if (read == number || read.empty()) return false;
      seen.reads = read;
      const bool truly_ours = scene.bag.quota.count(number) > 0;
      seen.sure = truly_ours && chance(random, 0.7);
      return true;
    }
    case Fault::unsure_reading: {
      if (scene.seen.empty()) return false;
      scene.seen[random.below(scene.seen.size())].sure = false;
      return true;
    }
    case Fault::unsure_foreign: {
      if (foreign == nullptr || ours.empty()) return false;
      SeenPaper& seen = *pick(random, ours);
      seen.reads = seen.paper.number;
      seen.paper = *foreign;
      seen.sure = false;
      return true;
    }
    case Fault::text_against_code: {
      if (foreign == nullptr || ours.empty()) return false;
      SeenPaper& seen = *pick(random, ours);
      if (scene.bag.quota.count(seen.paper.number) == 0) return false;
      seen.reads = seen.paper.number;
      seen.small_code_reads = foreign->number;
      seen.paper = *foreign;
      return true;
    }
    case Fault::text_apart_from_code: {
      std::vector<SeenPaper*> coded;
      for (SeenPaper* seen : ours)
        if (seen->paper.small_code && seen->sure && !seen->reads && !seen->hidden) coded.push_back(seen);
      if (coded.empty()) return false;
      coded.front()->code_apart = true;
      for (SeenPaper* seen : coded)
        if (seen != coded.front() && seen->paper.number == coded.front()->paper.number) {
          seen->hidden = true;
          return true;
        }
      return true;
    }
    case Fault::hidden_label:
      scene.seen[random.below(scene.seen.size())].hidden = true;
      return true;
    case Fault::newer_code:
      scene.seen[random.below(scene.seen.size())].newer = true;
      return true;
    case Fault::keyed_in_part: {
      auto tags = seen_of(scene, LabelRole::tag);
      if (tags.empty()) return false;
      pick(random, tags)->keyed_without_serial = true;
      return true;
    }
    default:
      return false;
  }
}

bool plant_other_bag(Scene& scene, Fault fault, RandomSource& random) {
  const Bag* other = other_bag(scene, random);
  if (other == nullptr) return false;
  auto tags = seen_of(scene, LabelRole::tag);
  switch (fault) {
    case Fault::wrong_tag:
      if (tags.empty()) return false;
      pick(random, tags)->paper = other->tags.front();
      return true;
    case Fault::extra_tag:
      scene.seen.push_back({other->tags.front()});
      return true;
    case Fault::second_bag:
      for (const auto* papers : {&other->bag_labels, &other->tags, &other->artifacts})
        for (const Paper& paper : *papers) scene.seen.push_back({paper});
      return true;
    case Fault::swapped_carriers:
      for (SeenPaper* seen : seen_of(scene, LabelRole::bag)) seen->paper = other->bag_labels.front();
      if (chance(random, 0.3))
        for (SeenPaper* seen : tags) seen->paper = other->tags.front();
      return true;
    case Fault::conflicting_pictures:
      if (tags.empty()) return false;
      {
        SeenPaper& seen = *pick(random, tags);
        seen.paper = other->tags.front();
        seen.second_picture_bag = scene.bag.id;
      }
      return true;
    case Fault::reused_serial:
      if (tags.empty()) return false;
      {
        Paper& paper = pick(random, tags)->paper;
        if (paper.serial == other->tags.front().serial) return false;  // carriers were swapped: it is that very tag
        paper.serial = other->tags.front().serial;
        paper.genuine = false;
      }
      return true;
    case Fault::other_field_tag:
      for (const Paper& tag : scene.world->field_tags) {
        const std::string& lot = scene.world->lot_of_field_number.at(tag.number);
        if (std::find(scene.bag.lots.begin(), scene.bag.lots.end(), lot) != scene.bag.lots.end()) continue;
        scene.seen.push_back({tag});
        return true;
      }
      return false;
    default:
      return false;
  }
}

void forge(Paper& paper, const Scene& scene, RandomSource& random) {
  paper.genuine = false;
  switch (random.below(4)) {
    case 0:
      paper.revision += 1;
      return;
    case 1:
      paper.sheet += 1;
      return;
    case 2:
      paper.number = "12-4711";
      paper.opaque = false;
      return;
    default:
      paper.serial = paper.role == LabelRole::bag ? scene.bag.tags.front().serial : scene.bag.bag_labels.front().serial;
  }
}

bool plant_print(Scene& scene, Fault fault, RandomSource& random) {
  auto carriers = seen_of(scene, chance(random, 0.5) ? LabelRole::bag : LabelRole::tag);
  if (carriers.empty()) return false;
  SeenPaper& seen = *pick(random, carriers);
  switch (fault) {
    case Fault::photocopy:
      scene.seen.push_back(seen);
      return true;
    case Fault::stale_label: {
      std::vector<Paper> stale;
      for (const Paper& paper : scene.bag.stale)
        if (paper.role == seen.paper.role) stale.push_back(paper);
      if (chance(random, 0.7)) {
        seen.paper = pick(random, stale);
      } else {
        scene.seen.push_back({pick(random, stale)});
      }
      return true;
    }
    case Fault::two_in_force:
    case Fault::older_revision: {
      Paper extra = seen.paper;
      extra.genuine = true;
      extra.serial = "EXTRA" + std::to_string(random.below(1000000));
      extra.revision += fault == Fault::older_revision ? 1 : 0;
      scene.collection.prints[extra.serial] = {extra.serial,   extra.role,  extra.subject,       extra.number,
                                               extra.revision, extra.sheet, PrintState::printed, "R2"};
      if (fault == Fault::older_revision) seen.paper.in_force = false;  // replaced, though nobody marked it
      // A new copy of a stale label is in force itself, unless its revision was overtaken.
      extra.in_force = std::none_of(scene.world->bags.begin(), scene.world->bags.end(), [&](const Bag& bag) {
        return bag.id == extra.subject && bag.bag_labels.front().revision > extra.revision;
      });
      if (fault == Fault::two_in_force) scene.seen.push_back({extra});
      return true;
    }
    case Fault::forged_code:
      forge(seen.paper, scene, random);
      return true;
    case Fault::another_collection: {
      Paper foreign = seen.paper;
      foreign.key = "ZZZZ";
      if (chance(random, 0.7)) {
        seen.paper = foreign;
      } else {
        scene.seen.push_back({foreign});
      }
      return true;
    }
    case Fault::no_such_print:
      seen.paper.serial = "NOSUCHPR";
      seen.paper.genuine = false;
      return true;
    default:
      return false;
  }
}

// One piece was moved in the ledger, but lies where it always lay.
bool move_in_ledger(Scene& scene, RandomSource& random) {
  std::vector<std::string> numbers;
  for (const auto& [number, quota] : scene.bag.quota)
    if (quota > 0) numbers.push_back(number);
  const Bag* other = other_bag(scene, random);
  if (numbers.empty() || other == nullptr) return false;
  const std::string number = pick(random, numbers);
  std::string item = number;
  auto& here = scene.collection.expected.at(scene.bag.id);
  for (ExpectedArtifact& artifact : here)
    if (artifact.number == number) {
      item = artifact.item;
      --artifact.copies;
    }
  std::erase_if(here, [](const ExpectedArtifact& artifact) { return artifact.copies == 0; });
  scene.collection.expected[other->id].push_back({number, item, 1});
  scene.collection.bags.at(other->id).contents.push_back({item, 1, 1, 0});
  scene.moved_in.emplace_back(other->id, number);
  if (--scene.bag.quota.at(number) == 0) {
    scene.bag.quota.erase(number);
    if (item == number)
      std::erase_if(scene.collection.bags.at(scene.bag.id).contents,
                    [&](const BagContent& content) { return content.item == item; });
  }
  return true;
}

bool plant_record(Scene& scene, Fault fault, RandomSource& random) {
  BagRecord& record = scene.collection.bags.at(scene.bag.id);
  switch (fault) {
    case Fault::wrong_place: {
      const Paper& shelf = pick(random, scene.world->shelves);
      if (record.now_place.empty() || shelf.number == record.now_place) return false;
      if (chance(random, 0.5)) {
        scene.place_given = shelf.number;
      } else {
        scene.seen.push_back({shelf});
      }
      return true;
    }
    case Fault::wrong_box: {
      const Paper& box = pick(random, scene.world->boxes);
      if (box.subject == record.box_id) return false;
      scene.seen.push_back({box});
      return true;
    }
    case Fault::lent:
      record.lent = true;
      if (chance(random, 0.5)) record.now_place = "Lab/Bench 1";  // moved before it was lent
      if (chance(random, 0.5) && !record.now_place.empty()) scene.place_given = record.now_place;
      return true;
    case Fault::retired:
      record.state = BagState::retired;
      return true;
    case Fault::not_recorded:
      record.contents.clear();
      scene.collection.expected.erase(scene.bag.id);
      scene.bag.quota.clear();
      return true;
    case Fault::moved_in_ledger:
      return move_in_ledger(scene, random);
    case Fault::artifact_not_in_force: {
      auto ours = seen_of(scene, LabelRole::artifact);
      if (ours.empty()) return false;
      const std::string number = pick(random, ours)->paper.number;
      if (scene.collection.labels.count(number) == 0) return false;
      ArtifactLabelRecord& label = scene.collection.labels.at(number);
      const std::int64_t copies = label.printed + label.applied;
      label = {};
      std::array<std::int64_t*, 3> states{&label.generated, &label.superseded, &label.voided};
      *states[random.below(3)] = copies;
      for (SeenPaper* seen : ours)
        if (seen->paper.number == number) seen->paper.in_force = false;
      return true;
    }
    default:
      return false;
  }
}

}  // namespace

const char* to_text(Fault fault) { return k_names[static_cast<std::size_t>(fault)]; }

bool plant(Scene& scene, Fault fault, RandomSource& random) {
  const bool planted = plant_artifact(scene, fault, random) || plant_misreading(scene, fault, random) ||
                       plant_other_bag(scene, fault, random) || plant_print(scene, fault, random) ||
                       plant_record(scene, fault, random);
  if (planted) scene.faults.push_back(fault);
  return planted;
}

}  // namespace sherdmark::adversary
