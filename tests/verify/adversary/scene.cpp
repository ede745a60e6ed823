#include "verify/adversary/scene.h"

#include <algorithm>

namespace sherdmark::adversary {
namespace {

// An object may show its old label alone.
void add_old_labels(Scene& scene, RandomSource& random) {
  for (const auto& [former, items] : scene.world->items_of_former) {
    if (items.size() != 1 || scene.bag.quota.count(items.front()) == 0 || !chance(random, 0.3)) continue;
    const bool never = std::find(scene.world->never_labelled.begin(), scene.world->never_labelled.end(),
                                 items.front()) != scene.world->never_labelled.end();
    if (never) continue;
    if (scene.bag.quota.at(items.front()) == 1) {
      for (SeenPaper& seen : scene.seen)
        if (seen.paper.role == LabelRole::artifact && seen.paper.number == items.front()) {
          seen.paper.number = former;
          seen.paper.small_code = false;
        }
    }
    return;
  }
}

void add_surroundings(Scene& scene, RandomSource& random) {
  BagRecord& record = scene.collection.bags.at(scene.bag.id);
  if (chance(random, 0.3))
    for (const Paper& tag : scene.world->field_tags)
      if (scene.world->lot_of_field_number.at(tag.number) == pick(random, scene.bag.lots)) {
        scene.seen.push_back({tag});
        break;
      }
  if (!record.box.empty() && chance(random, 0.3))
    for (const Paper& box : scene.world->boxes)
      if (box.subject == record.box_id) scene.seen.push_back({box});
  if (record.now_place.empty() || chance(random, 0.4)) return;
  if (chance(random, 0.5)) {
    for (const Paper& shelf : scene.world->shelves)
      if (shelf.number == record.now_place) scene.seen.push_back({shelf});
  } else {
    const auto slash = record.now_place.find('/');
    scene.place_given = chance(random, 0.3) ? record.now_place.substr(0, slash) : record.now_place;
  }
}

Corners square(std::size_t place) {
  const double x = 120.0 * static_cast<double>(place);
  return {PointF{x, 10}, PointF{x + 80, 10}, PointF{x + 80, 60}, PointF{x, 60}};
}

struct Camera {
  const Scene& scene;
  RandomSource& random;
  bool knows_places;
  std::map<std::string, bool> read_by_code{};  // shared numbers are read all by text or all by small code
  ReadingSet set{};

  Reading start(const SeenPaper& seen, int picture, std::size_t place) const {
    Reading reading;
    reading.role = seen.paper.role;
    reading.sure = seen.sure;
    reading.image = "picture " + std::to_string(picture + 1);
    if (knows_places) reading.corners = square(place);
    if (seen.newer) {
      reading.role = LabelRole::artifact;
      reading.newer_format = true;
      reading.sure = false;
    }
    return reading;
  }

  void read_carrier(const SeenPaper& seen, int picture, std::size_t place) {
    Reading reading = start(seen, picture, place);
    const Paper& paper = seen.paper;
    reading.source = ReadingSource::qr;
    if (!seen.newer) {
      reading.collection_key = paper.key;
      reading.number = paper.opaque ? "K" + paper.subject : paper.number;
      reading.number_is_opaque = paper.opaque;
      reading.serial = paper.serial;
      reading.revision = paper.revision;
      reading.ordinal = paper.sheet;
      if (paper.role == LabelRole::bag || paper.role == LabelRole::tag) reading.bag = paper.subject;
      if (paper.role == LabelRole::box || paper.role == LabelRole::shelf) reading.place = paper.subject;
      if (picture == 1 && seen.second_picture_bag) reading.bag = seen.second_picture_bag;
    }
    if (seen.keyed_without_serial || (reading.sure && paper.key == scene.collection.key && chance(random, 0.02))) {
      reading.source = ReadingSource::keyed;
      reading.collection_key.reset();
      if (paper.opaque) {
        reading.number.reset();
        reading.number_is_opaque = false;
      }
      if (seen.keyed_without_serial) reading.serial.reset();
    }
    set.readings.push_back(reading);
    if (knows_places && chance(random, 0.05)) set.readings.push_back(reading);  // the reader found it twice
  }

  void read_artifact(const SeenPaper& seen, int picture, std::size_t place) {
    Reading reading = start(seen, picture, place);
    const Paper& paper = seen.paper;
    if (seen.newer) {
      set.readings.push_back(reading);
      return;
    }
    reading.number = seen.reads.value_or(paper.number);
    // Of several copies, crops that are keyed are not certain to be different labels: the truth table's to test.
    const auto copies = std::count_if(scene.seen.begin(), scene.seen.end(), [&](const SeenPaper& other) {
      return other.paper.role == LabelRole::artifact && other.paper.number == paper.number;
    });
    reading.source = chance(random, 0.05) && copies == 1 ? ReadingSource::keyed : ReadingSource::text;
    const bool has_code = paper.small_code || seen.small_code_reads;
    if (!has_code || !seen.sure || (seen.reads && !seen.small_code_reads)) {
      set.readings.push_back(reading);
      return;
    }
    Reading code = reading;
    code.source = ReadingSource::micro_qr;
    code.number = seen.small_code_reads.value_or(paper.number);
    if (seen.code_apart) {
      code.corners.reset();
      if (knows_places) code.corners = square(place + 1000);
      set.readings.push_back(reading);
      set.readings.push_back(code);
      return;
    }
    const auto mode = random.below(3);
    if (mode == 0 && knows_places) {
      set.readings.push_back(reading);
      set.readings.push_back(code);
    } else if (mode == 1 || seen.small_code_reads) {
      reading.micro_number = code.number;
      set.readings.push_back(reading);
    } else {
      const auto [by_code, is_new] = read_by_code.try_emplace(paper.number, chance(random, 0.5));
      set.readings.push_back(by_code->second ? code : reading);
    }
  }

  void take(int pictures) {
    for (int picture = 0; picture < pictures; ++picture) set.images.push_back("picture " + std::to_string(picture + 1));
    for (std::size_t place = 0; place < scene.seen.size(); ++place) {
      const SeenPaper& seen = scene.seen[place];
      if (seen.hidden) continue;
      const bool artifact = seen.paper.role == LabelRole::artifact;
      const auto twins = std::count_if(scene.seen.begin(), scene.seen.end(),
                                       [&](const SeenPaper& other) { return other.paper.serial == seen.paper.serial; });
      // Everything that only counting in one picture can tell apart stands in the first picture.
      const bool always_first = artifact || twins > 1 || seen.second_picture_bag;
      bool shown = false;
      for (int picture = 0; picture < pictures; ++picture) {
        const bool last_chance = !shown && picture == pictures - 1;
        const bool here = (always_first && picture == 0) || (seen.second_picture_bag && picture == 1) || last_chance ||
                          chance(random, 0.6);
        if (!here) continue;
        shown = true;
        artifact ? read_artifact(seen, picture, place) : read_carrier(seen, picture, place);
      }
    }
  }
};

}  // namespace

Scene make_scene(World& world, RandomSource& random) {
  Scene scene;
  scene.world = &world;
  scene.collection = world.collection;
  scene.bag = pick(random, world.bags);
  for (const auto* papers : {&scene.bag.bag_labels, &scene.bag.tags, &scene.bag.artifacts})
    for (const Paper& paper : *papers) scene.seen.push_back({paper});
  add_old_labels(scene, random);
  add_surroundings(scene, random);
  return scene;
}

ReadingSet take_pictures(const Scene& scene, RandomSource& random) {
  const bool needs_two = std::any_of(scene.seen.begin(), scene.seen.end(),
                                     [](const SeenPaper& seen) { return seen.second_picture_bag.has_value(); });
  Camera camera{scene, random, chance(random, 0.8)};
  camera.set.name = "set";
  camera.set.place_given = scene.place_given;
  camera.take((needs_two ? 2 : 1) + static_cast<int>(random.below(2)));
  auto& readings = camera.set.readings;
  for (std::size_t i = readings.size(); i > 1; --i) std::swap(readings[i - 1], readings[random.below(i)]);
  return std::move(camera.set);
}

}  // namespace sherdmark::adversary
