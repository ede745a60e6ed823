// Sets with planted faults, photographed (rendered) and judged as `check` does it: read_labels, build_set, judge. The
// labels are those that the sheets print. Prints how often each fault gave which verdict; a wrong "agree" ends with 1.
//
//   planted_sets STANDARD.toml SETS SEED [PX_PER_MM] [--from SET] [--only FAULT] [--keep FOLDER]
//
// An extra label counts as planted only where it is in the picture: 1 em of the rule under its last line at the least,
// neither beyond the border nor under a cover. Of the others the run says how many there were and how many "agree".
// --from begins with that set instead of set 0: `1 201 --from 128` is set 128 of seed 201 alone. --only also plants
// what is not planted otherwise: "code beyond the border", "large print".
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <fstream>
#include <iterator>
#include <map>
#include <mutex>
#include <string>
#include <vector>

#include "scenes/close_scene.h"
#include "scenes/trial.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/units.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/sheet/sheets.h"
#include "sherdmark/verify/judge.h"
#include "sherdmark/verify/read_labels.h"
#include "verify/memory_collection.h"

namespace {

using namespace sherdmark;
using namespace sherdmark::scenes;
using sherdmark::testing::MemoryCollection;

constexpr double k_sheet_dpi = 400;
constexpr double k_bag_x_mm = 52, k_tag_x_mm = 40, k_finds_x_mm = 122;

// What is wrong. An extra label names another bag's artifact; the set's own labels all lie there, whole.
enum class Fault {
  none,
  own_on_bag_label,
  own_on_tag,
  swapped,
  missing_tag,
  wrong_tag,
  own_spoilt,
  extra,
  second_bag_label,
  second_tag
};
enum class Spot { find, bag_label, tag, bag_label_edge, tag_edge, own_label, beside_own, bag_number, tag_number };
constexpr int k_usual_spots = 7;
enum class Spoil { none, right_end, left_end, upper_half, middle, white_end, gloss };

constexpr std::array k_spot_names{"on a find",
                                  "on the bag label",
                                  "on the tag",
                                  "over the bag label's edge",
                                  "over the tag's edge",
                                  "over the label's margin",
                                  "against the label",
                                  "on the bag label's large print",
                                  "on the tag's large print"};
constexpr std::array k_spoil_names{
    "readable", "right end hidden", "left end hidden", "upper half hidden", "middle hidden", "end hidden in white",
    "gloss"};

struct Case {
  Fault fault = Fault::none;
  Spot spot = Spot::find;
  Spoil spoil = Spoil::none;

  [[nodiscard]] std::string name() const {
    const std::string spoilt = k_spoil_names[static_cast<std::size_t>(spoil)];
    switch (fault) {
      case Fault::none:
        return "none";
      case Fault::own_on_bag_label:
        return "none, label on the bag label";
      case Fault::own_on_tag:
        return "none, label on the tag";
      case Fault::swapped:
        return "another bag's label instead";
      case Fault::missing_tag:
        return "tag missing";
      case Fault::wrong_tag:
        return "another bag's tag";
      case Fault::own_spoilt:
        return "own label, " + spoilt;
      case Fault::second_bag_label:
        return "another bag's label, its code beyond the border";
      case Fault::second_tag:
        return "another bag's tag, its code beyond the border";
      case Fault::extra:
        break;
    }
    return fmt::format("extra {}, {}", k_spot_names[static_cast<std::size_t>(spot)], spoilt);
  }
  [[nodiscard]] bool may_agree() const {
    return fault == Fault::none || fault == Fault::own_on_bag_label || fault == Fault::own_on_tag;
  }
};

std::vector<Case> all_cases() {
  std::vector<Case> cases;
  for (int i = 0; i < 12; ++i) cases.push_back({});
  for (const Fault fault :
       {Fault::own_on_bag_label, Fault::own_on_tag, Fault::swapped, Fault::missing_tag, Fault::wrong_tag})
    cases.push_back({fault});
  for (int spoil = 1; spoil < static_cast<int>(k_spoil_names.size()); ++spoil)
    cases.push_back({Fault::own_spoilt, Spot::find, static_cast<Spoil>(spoil)});
  for (int spot = 0; spot < k_usual_spots; ++spot)
    for (int spoil = 0; spoil < static_cast<int>(k_spoil_names.size()); ++spoil)
      cases.push_back({Fault::extra, static_cast<Spot>(spot), static_cast<Spoil>(spoil)});
  return cases;
}

// Run only where --only asks for them, so that a set's number means the same in every run.
std::vector<Case> further_cases() {
  std::vector<Case> cases = {{Fault::second_bag_label}, {Fault::second_tag}};
  for (const Spot spot : {Spot::bag_number, Spot::tag_number})
    for (int spoil = 0; spoil < static_cast<int>(k_spoil_names.size()); ++spoil)
      cases.push_back({Fault::extra, spot, static_cast<Spoil>(spoil)});
  return cases;
}

// One bag in the records and its three papers.
struct PaperedBag {
  std::string id;
  PrintedNumber number;
  std::optional<Paper> bag_label, tag, artifact;
};

class Collection {
 public:
  Collection(const HouseStandard& standard, RandomSource& random) : standard_(standard), random_(random) {}

  MemoryCollection records;

  PaperedBag add(int index) {
    PaperedBag bag;
    do bag.number = random_number(standard_, random_);
    while (records.numbers.count(bag.number.number) != 0);
    bag.id = fmt::format("BTST{:05}", index);
    const std::string& number = bag.number.number;
    records.bags[bag.id] = {bag.id, BagState::active, {{number, 1, 1, 0}}, {}, {}, {}, false, false, {}};
    records.expected[bag.id] = {{number, number, 1}};
    records.numbers[number] = {NumberMeaning::item, {number}, {}, false, LabelDecision::direct, {}};
    records.labels[number].applied = 1;
    bag.bag_label = carrier(bag, LabelRole::bag, fmt::format("TSTB{:04}", index));
    bag.tag = carrier(bag, LabelRole::tag, fmt::format("TSTT{:04}", index));
    const Typeface face = Typeface::find(standard_.artifact.font);
    bag.artifact = draw_label(bag.number.lines, standard_.artifact, face, {});
    return bag;
  }

 private:
  Paper carrier(const PaperedBag& bag, LabelRole role, const std::string& serial) {
    records.prints[serial] = {serial, role, bag.id, bag.number.number, 1, 1, PrintState::applied, "RUN1"};
    CarrierLabelRequest request;
    request.role = role;
    request.bag = bag.id;
    request.number = bag.number.number;
    request.serial = serial;
    request.code_text =
        write_link_code({records.key, role, bag.id, bag.number.number, false, 1, serial, request.revision});
    request.fields = {{"bag", bag.id},         {"unit", "N10E20"},      {"level", "2"}, {"date", "2031-05-04"},
                      {"object", "bowl, rim"}, {"material", "ceramic"}, {"count", "1"}};
    const Placements placed = lay_out_carrier_labels({request}, standard_, "RUN1");
    const GreyPicture page = draw_page(placed, {request}, {}, standard_, 1, k_sheet_dpi);
    const PlacedLabel& label = placed.labels.front();
    const auto px = [](double mm) { return static_cast<int>(mm_to_dots(mm, k_sheet_dpi) + 0.5); };
    const GreyView part = page.view().crop(px(label.x_mm), px(label.y_mm), px(label.w_mm), px(label.h_mm));
    GreyPicture copy{part.width_px, part.height_px};
    for (int y = 0; y < part.height_px; ++y) std::copy_n(part.row(y), part.width_px, copy.row(y));
    return Paper{std::move(copy), mm_to_dots(1, k_sheet_dpi)};
  }

  const HouseStandard& standard_;
  RandomSource& random_;
};

void spoil(LaidPaper& laid, const Paper& paper, Spoil how, RandomSource& random) {
  const double w = paper.width_mm() / 2, h = paper.height_mm() / 2;
  const double x = between(random, -0.5 * w, 0.5 * w);
  const auto tone = static_cast<float>(between(random, 0.1, 0.7));
  const Colour cover{tone, tone * 0.92F, tone * 0.85F};
  switch (how) {
    case Spoil::none:
      break;
    case Spoil::right_end:
      laid.patch = Patch{x, -h, w, h, cover};
      break;
    case Spoil::left_end:
      laid.patch = Patch{-w, -h, x, h, cover};
      break;
    case Spoil::upper_half:
      laid.patch = Patch{-w, -h, w, -0.1 * h, cover};
      break;
    case Spoil::middle:
      laid.patch = Patch{x - 0.9, -h, x + 0.9, h, cover};
      break;
    case Spoil::white_end:
      laid.patch = Patch{x, -h, w, h, {0.93F, 0.925F, 0.90F}};
      break;
    case Spoil::gloss:
      laid.gloss = between(random, 0.85, 1.0);
      break;
  }
}

// The middle of an extra label, and whether it lies on other paper there.
LaidPaper place_extra(Spot spot, const PaperedBag& own, const Paper& extra, const LaidPaper& own_label,
                      const LaidPaper& bag_label, const LaidPaper& tag, RandomSource& random) {
  LaidPaper laid;
  laid.turn_deg = between(random, -180, 180);
  laid.tilt_deg = between(random, 0, 6);
  laid.shadow = between(random, 0.8, 1.0);
  const auto on = [&](const Paper& paper, const LaidPaper& carrier) {
    laid.x_mm = carrier.x_mm + between(random, -0.38, 0.38) * paper.width_mm();
    laid.y_mm = carrier.y_mm + between(random, -0.36, 0.36) * paper.height_mm();
  };
  const auto over_edge = [&](const Paper& paper, const LaidPaper& carrier) {
    laid.x_mm = carrier.x_mm + between(random, -0.4, 0.4) * paper.width_mm();
    laid.y_mm = carrier.y_mm + (random.below(2) == 0 ? 0.5 : -0.5) * paper.height_mm();
  };
  const auto on_number = [&](const Paper& paper, const LaidPaper& carrier) {
    laid.x_mm = carrier.x_mm + between(random, -0.4, 0.1) * paper.width_mm();
    laid.y_mm = carrier.y_mm + between(random, -0.36, -0.24) * paper.height_mm();
  };
  switch (spot) {
    case Spot::find:
      laid.on_a_find = true;
      laid.x_mm = k_finds_x_mm;
      laid.y_mm = 80;
      break;
    case Spot::bag_label:
      on(*own.bag_label, bag_label);
      break;
    case Spot::tag:
      on(*own.tag, tag);
      break;
    case Spot::bag_label_edge:
      over_edge(*own.bag_label, bag_label);
      break;
    case Spot::tag_edge:
      over_edge(*own.tag, tag);
      break;
    case Spot::bag_number:
      on_number(*own.bag_label, bag_label);
      break;
    case Spot::tag_number:
      on_number(*own.tag, tag);
      break;
    case Spot::own_label:
    case Spot::beside_own: {
      // Along the own label, above or below it: over its margin, or edge against edge.
      const double overlap = spot == Spot::own_label ? between(random, 0.1, 0.4) : between(random, -0.4, 0);
      const double off = (own.artifact->height_mm() + extra.height_mm()) / 2 - overlap;
      const double side = random.below(2) == 0 ? 1 : -1;
      const double turn = own_label.turn_deg * 3.14159265358979323846 / 180;
      laid.x_mm = own_label.x_mm - side * off * std::sin(turn);
      laid.y_mm = own_label.y_mm + side * off * std::cos(turn);
      laid.turn_deg = own_label.turn_deg + between(random, -2, 2);
      break;
    }
  }
  return laid;
}

// A bag label or tag of which the right border of the picture shows no more than what stands left of the code.
LaidPaper place_beyond_border(const Paper& paper, const CloseCamera& camera, RandomSource& random) {
  const double shown_mm = paper.width_mm() * between(random, 0.35, 0.66);
  return {camera.width_mm + paper.width_mm() / 2 - shown_mm, camera.height_mm - between(random, 20, 30),
          between(random, -4, 4)};
}

// How much of the rule under a label's last line is in the picture and not under the patch.
double rule_shown_mm(const LaidPaper& laid, const Paper& paper, const ArtifactLabelDesign& design,
                     const CloseCamera& camera) {
  constexpr double k_step_mm = 0.05;
  const double turn = laid.turn_deg * 3.14159265358979323846 / 180;
  const double end = paper.width_mm() / 2 - design.trim_tolerance_mm;
  const double y = paper.height_mm() / 2 - design.trim_tolerance_mm - design.rule_mm / 2;
  double shown = 0;
  for (double x = -end; x < end; x += k_step_mm) {
    const double at_x = laid.x_mm + x * std::cos(turn) - y * std::sin(turn);
    const double at_y = laid.y_mm + x * std::sin(turn) + y * std::cos(turn);
    const bool inside = at_x >= 0 && at_y >= 0 && at_x < camera.width_mm && at_y < camera.height_mm;
    const bool covered = laid.patch && x >= laid.patch->left_mm && x <= laid.patch->right_mm &&
                         y >= laid.patch->top_mm && y <= laid.patch->bottom_mm;
    if (inside && !covered) shown += k_step_mm;
  }
  return shown;
}

struct Photograph {
  Bytes jpeg;
  bool fault_is_in_it = true;
};

Photograph photograph(const Case& what, const PaperedBag& own, const PaperedBag& other, const HouseStandard& standard,
                      double px_per_mm, RandomSource& random) {
  bool in_it = true;
  CloseCamera camera;
  camera.px_per_mm = px_per_mm;
  camera.blur_px = between(random, 0.3, 0.7);
  camera.noise_levels = between(random, 1, 3);
  camera.jpeg_quality = static_cast<int>(between(random, 82, 95));
  CloseScene scene{camera, random};
  LaidPaper bag_label{k_bag_x_mm, 36, between(random, -3, 3)};
  LaidPaper tag{k_tag_x_mm, 88, between(random, -6, 6)};
  scene.lay(*own.bag_label, bag_label);
  if (what.fault == Fault::second_bag_label || what.fault == Fault::second_tag) {
    const Paper& second = what.fault == Fault::second_tag ? *other.tag : *other.bag_label;
    scene.lay(second, place_beyond_border(second, camera, random));
  }
  if (what.fault != Fault::missing_tag) scene.lay(what.fault == Fault::wrong_tag ? *other.tag : *own.tag, tag);
  LaidPaper label{k_finds_x_mm, 35, between(random, -180, 180), between(random, 0, 8), true};
  if (what.fault == Fault::own_on_bag_label || what.fault == Fault::own_on_tag) {
    const bool on_bag = what.fault == Fault::own_on_bag_label;
    label = place_extra(on_bag ? Spot::bag_label : Spot::tag, own, *own.artifact, label, bag_label, tag, random);
  }
  if (what.fault == Fault::own_spoilt) spoil(label, *own.artifact, what.spoil, random);
  scene.lay(what.fault == Fault::swapped ? *other.artifact : *own.artifact, label);
  if (what.fault == Fault::extra) {
    LaidPaper extra = place_extra(what.spot, own, *other.artifact, label, bag_label, tag, random);
    spoil(extra, *other.artifact, what.spoil, random);
    scene.lay(*other.artifact, extra);
    in_it = rule_shown_mm(extra, *other.artifact, standard.artifact, camera) >= pt_to_mm(standard.artifact.size_pt);
  }
  return {scene.shoot(), in_it};
}

struct Options {
  std::string standard;
  std::size_t sets = 100;
  std::uint64_t seed = 1;
  double px_per_mm = 12;
  std::size_t from = 0;  // the first set
  std::string only;
  std::string keep;
};

struct Tally {
  std::size_t sets = 0, clean = 0, clean_agree = 0, planted = 0, wrong_agree = 0;
  std::size_t not_in_picture = 0, not_in_picture_agree = 0;
  double reading_s = 0;
  std::map<std::string, std::map<std::string, int>> verdicts;  // case, verdict
};

class Run {
 public:
  Run(const HouseStandard& standard, const Options& options)
      : standard_(standard), options_(options), reader_(standard), cases_(all_cases()) {
    if (options.only.empty()) return;
    const std::vector<Case> further = further_cases();
    cases_.insert(cases_.end(), further.begin(), further.end());
    std::erase_if(cases_, [&](const Case& one) { return one.name().find(options.only) == std::string::npos; });
  }

  Tally run() {
    constexpr int k_bags = 24;
    SeededRandom random{options_.seed};
    Collection collection{standard_, random};
    std::vector<PaperedBag> bags;
    for (int i = 0; i < k_bags; ++i) bags.push_back(collection.add(i + 1));
    for_each_index(options_.sets, 0, [&](std::size_t i) { one_set(options_.from + i, bags, collection.records); });
    return std::move(tally_);
  }

 private:
  void one_set(std::size_t i, const std::vector<PaperedBag>& bags, const MemoryCollection& records) {
    SeededRandom random{options_.seed * 1000003 + i};
    const Case what = cases_[i % cases_.size()];
    const auto own = static_cast<std::size_t>(random.below(bags.size()));
    const std::size_t other = (own + 1 + static_cast<std::size_t>(random.below(bags.size() - 1))) % bags.size();
    const auto [jpeg, in_it] = photograph(what, bags[own], bags[other], standard_, options_.px_per_mm, random);
    timespec before{}, after{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &before);
    const ReadingSet set = build_set("set", read_labels(jpeg, "set.jpg", reader_, standard_));
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &after);
    const SetVerdict verdict = judge(set, records, standard_);
    const std::lock_guard lock{mutex_};
    tally_.reading_s +=
        static_cast<double>(after.tv_sec - before.tv_sec) + static_cast<double>(after.tv_nsec - before.tv_nsec) / 1e9;
    ++tally_.sets;
    const bool agrees = verdict.verdict == Verdict::agree;
    ++tally_.verdicts[what.name() + (in_it ? "" : " (outside)")][std::string{to_text(verdict.verdict)}];
    if (!in_it) {
      ++tally_.not_in_picture;
      tally_.not_in_picture_agree += agrees ? 1 : 0;
      return;
    }
    if (what.may_agree()) {
      tally_.clean += what.fault == Fault::none ? 1 : 0;
      tally_.clean_agree += what.fault == Fault::none && agrees ? 1 : 0;
    } else {
      ++tally_.planted;
      tally_.wrong_agree += agrees ? 1 : 0;
    }
    if (agrees == what.may_agree()) return;
    fmt::print("{} set {} ({}): {}{}\n", agrees ? "WRONG AGREE" : "not agreed", i, what.name(),
               to_text(verdict.verdict), verdict.reasons.empty() ? "" : ": " + verdict.reasons.front().text);
    if (!options_.keep.empty())
      std::ofstream{fmt::format("{}/{}.jpg", options_.keep, i), std::ios::binary}.write(
          reinterpret_cast<const char*>(jpeg.data()), static_cast<std::streamsize>(jpeg.size()));
  }

  const HouseStandard& standard_;
  const Options& options_;
  LabelTextReader reader_;
  std::vector<Case> cases_;
  std::mutex mutex_;
  Tally tally_;
};

void print(const Tally& tally) {
  for (const auto& [name, verdicts] : tally.verdicts) {
    std::string line = fmt::format("{:46}", name);
    for (const auto& [verdict, times] : verdicts) line += fmt::format("  {} {}", verdict, times);
    fmt::print("{}\n", line);
  }
  const double bound = tally.planted > 0 ? 3.0 / static_cast<double>(tally.planted) : 1;
  fmt::print("{} sets; {} with a planted fault, {} of them wrongly \"agree\"", tally.sets, tally.planted,
             tally.wrong_agree);
  if (tally.wrong_agree == 0) fmt::print(" (95 % bound: {:.2g})", bound);  // rule of three
  if (tally.not_in_picture > 0)
    fmt::print(
        "\nextra labels with less than 1 em of their rule in the picture, not counted: {}, of which {} \"agree\"",
        tally.not_in_picture, tally.not_in_picture_agree);
  fmt::print("\nfaultless: {} of {} agree; reading takes {:.0f} ms of CPU a picture\n", tally.clean_agree, tally.clean,
             1000 * tally.reading_s / static_cast<double>(std::max<std::size_t>(1, tally.sets)));
}

Options parse(const std::vector<std::string>& words) {
  Options options{words[0], static_cast<std::size_t>(std::stoul(words[1])), std::stoull(words[2]), 12, 0, {}, {}};
  for (std::size_t i = 3; i < words.size(); ++i) {
    const bool has_value = i + 1 < words.size();
    if (words[i] == "--from" && has_value)
      options.from = static_cast<std::size_t>(std::stoul(words[++i]));
    else if (words[i] == "--only" && has_value)
      options.only = words[++i];
    else if (words[i] == "--keep" && has_value)
      options.keep = words[++i];
    else
      options.px_per_mm = std::stod(words[i]);
  }
  return options;
}

}  // namespace

int main(int count, char** arguments) {
  const std::vector<std::string> words(arguments + 1, arguments + count);
  if (words.size() < 3) {
    fmt::print("planted_sets STANDARD.toml SETS SEED [PX_PER_MM] [--from SET] [--only FAULT] [--keep FOLDER]\n");
    return 2;
  }
  const Options options = parse(words);
  (void)std::setvbuf(stdout, nullptr, _IOLBF, BUFSIZ);  // a run that is ended early has said what it found
  std::ifstream in{options.standard, std::ios::binary};
  const std::string text{std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}};
  const HouseStandard standard = parse_house_standard(text, options.standard);
  const Tally tally = Run{standard, options}.run();
  print(tally);
  return tally.wrong_agree == 0 && tally.sets > 0 ? 0 : 1;
}
