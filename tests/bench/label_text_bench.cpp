// How often the text of an artifact label is read rightly, wrongly, or not at all, for each resolution, size of type
// and condition. Seeded: the same table on every machine.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

#include "scenes/trial.h"
#include "sherdmark/base/text.h"
#include "sherdmark/scan/label_text.h"
#include "sherdmark/sheet/sheets.h"

namespace {

using namespace sherdmark;
using namespace sherdmark::scenes;

struct Condition {
  std::string name;
  TrialConditions conditions;
  bool mixed = false;  // drawn anew for each trial from the ranges of a bench camera
};

std::vector<Condition> conditions_at(double px_per_mm, double size_pt) {
  TrialConditions mild;
  mild.px_per_mm = px_per_mm;
  mild.size_pt = size_pt;
  mild.most_tilt_deg = 8;
  std::vector<Condition> all{{"mild", mild, false}, {"mixture", mild, true}};
  const auto add = [&](const std::string& name, auto change) {
    TrialConditions one = mild;
    change(one);
    all.push_back({name, one, false});
  };
  add("blur 1 px", [](TrialConditions& c) { c.blur_px = 1.0; });
  add("blur 1.5 px", [](TrialConditions& c) { c.blur_px = 1.5; });
  add("shake 2 px", [](TrialConditions& c) { c.shake_px = 2; });
  add("noise 6", [](TrialConditions& c) { c.noise_levels = 6; });
  add("tilt to 25", [](TrialConditions& c) { c.most_tilt_deg = 25; });
  add("light falls 60 %", [](TrialConditions& c) { c.uneven_light = 0.6; });
  add("JPEG 70", [](TrialConditions& c) { c.jpeg_quality = 70; });
  add("bent, 20 mm", [](TrialConditions& c) { c.bend_radius_mm = 20; });
  add("light body", [](TrialConditions& c) { c.body_light = 0.75; });
  add("toner +0.02 mm", [](TrialConditions& c) { c.toner_spread_mm = 0.02; });
  add("grey ink", [](TrialConditions& c) { c.ink_light = 0.35; });
  add("gloss", [](TrialConditions& c) { c.gloss = 0.7; });
  add("right end covered", [](TrialConditions& c) { c.cover = Cover::right_end; });
  add("light cover", [](TrialConditions& c) {
    c.cover = Cover::right_end;
    c.cover_light = 0.8;
  });
  add("left end covered", [](TrialConditions& c) { c.cover = Cover::left_end; });
  add("upper half covered", [](TrialConditions& c) { c.cover = Cover::upper_half; });
  add("middle covered", [](TrialConditions& c) { c.cover = Cover::middle; });
  add("everything", [](TrialConditions& c) {
    c.blur_px = 0.9;
    c.noise_levels = 4;
    c.most_tilt_deg = 25;
    c.jpeg_quality = 75;
    c.uneven_light = 0.4;
    c.gloss = 0.3;
    c.bend_radius_mm = 40;
  });
  return all;
}

HouseStandard load(const std::string& file) {
  std::ifstream in{file, std::ios::binary};
  const std::string text{std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}};
  return parse_house_standard(text, file);
}

struct Tally {
  int right = 0, wrong = 0, unreadable = 0, unseen = 0;
  double ms = 0;
  std::map<std::string, int> why;
};

struct Options {
  int trials = 100;
  std::uint64_t seed = 1;
  std::vector<double> resolutions;
  double pt = 5;
  std::string only;        // one condition, every failure listed
  std::string keep;        // folder for the pictures that failed
  bool any_scale = false;  // no code says how large a millimetre is
};

// Margins of texts that nothing but the margin speaks against, in tenths from below 0 to 1 and more.
struct Margins {
  std::array<int, 12> right{}, wrong{};
  void add(const TextReading& reading, bool is_right) {
    if (!reading.sure && reading.why_not != "another text is nearly as likely") return;
    const int bin = std::clamp(static_cast<int>(std::floor(reading.margin * 10)) + 1, 0, 11);
    ++(is_right ? right : wrong)[static_cast<std::size_t>(bin)];
  }
};

void run_trial(const LabelTextReader& reader, const HouseStandard& standard, const Typeface& face,
               const Options& options, const Condition& condition, int index, Tally& tally, Margins& margins) {
  SeededRandom random{options.seed * 1000003 + static_cast<std::uint64_t>(index)};
  const PrintedNumber number = random_number(standard, random);
  const TrialConditions conditions = condition.mixed ? mixed(condition.conditions, random) : condition.conditions;
  const Trial trial = make_trial(standard, face, number, conditions, random);
  const std::clock_t before = std::clock();
  const TextSearch search{.shown = {options.any_scale ? std::vector<double>{} : std::vector{conditions.px_per_mm}, {}}};
  const std::vector<TextReading> readings = reader.search(trial.picture.view(), search);
  tally.ms += 1000.0 * static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
  bool right = false;
  std::string wrong;
  for (const TextReading& reading : readings) {
    margins.add(reading, reading.number == trial.number);
    if (reading.sure && reading.number == trial.number) right = true;
    if (reading.sure && reading.number != trial.number) wrong = reading.number;
  }
  if (!wrong.empty()) {
    ++tally.wrong;
    fmt::print("   WRONG {} for {} (trial {})\n", wrong, trial.number, index);
  } else if (right) {
    ++tally.right;
    return;
  } else if (readings.empty()) {
    ++tally.unseen;
  } else {
    ++tally.unreadable;
    for (const TextReading& reading : readings) ++tally.why[reading.why_not];
  }
  if (!options.only.empty())
    for (const TextReading& reading : readings)
      fmt::print("   {} ({}): {} margin {:.2f} rival {} : {}\n", join(trial.lines, "|"), index,
                 reading.number.empty() ? join(reading.lines, "|") : reading.number, reading.margin, reading.runner_up,
                 reading.why_not);
  if (!options.keep.empty())
    real_file_system().write_atomic(fmt::format("{}/{}.png", options.keep, index),
                                    [&](const ByteSink& sink) { write_png(trial.picture.view(), sink); });
}

Options parse(const std::vector<std::string>& words) {
  Options options;
  options.trials = std::atoi(words[1].c_str());
  options.seed = static_cast<std::uint64_t>(std::atoll(words[2].c_str()));
  for (std::size_t i = 3; i < words.size(); ++i) {
    const bool has_value = i + 1 < words.size();
    if (words[i] == "--pt" && has_value)
      options.pt = std::atof(words[++i].c_str());
    else if (words[i] == "--only" && has_value)
      options.only = words[++i];
    else if (words[i] == "--keep" && has_value)
      options.keep = words[++i];
    else if (words[i] == "--any-scale")
      options.any_scale = true;
    else
      options.resolutions.push_back(std::atof(words[i].c_str()));
  }
  if (options.resolutions.empty()) options.resolutions = {6, 8, 10, 14, 20};
  return options;
}

}  // namespace

int main(int count, char** arguments) {
  const std::vector<std::string> words(arguments + 1, arguments + count);
  if (words.size() < 3) {
    fmt::print(
        "label_text_bench STANDARD.toml TRIALS SEED [PX_PER_MM…] [--pt P] [--only CONDITION] [--any-scale] "
        "[--keep FOLDER]\n");
    return 2;
  }
  const Options options = parse(words);
  HouseStandard standard = load(words[0]);
  standard.artifact.size_pt = options.pt;
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  Margins margins;
  int wrong = 0;
  fmt::print("{:>6} {:>4} {:20} {:>7} {:>7} {:>10} {:>7} {:>8}\n", "px/mm", "pt", "condition", "right", "wrong",
             "unreadable", "unseen", "ms");
  for (const double px_per_mm : options.resolutions) {
    for (const Condition& condition : conditions_at(px_per_mm, options.pt)) {
      if (!options.only.empty() && condition.name != options.only) continue;
      Tally tally;
      for (int i = 0; i < options.trials; ++i) run_trial(reader, standard, face, options, condition, i, tally, margins);
      fmt::print("{:6} {:4} {:20} {:7} {:7} {:10} {:7} {:8.1f}\n", px_per_mm, options.pt, condition.name, tally.right,
                 tally.wrong, tally.unreadable, tally.unseen, tally.ms / options.trials);
      for (const auto& [reason, times] : tally.why) fmt::print("            {} x {}\n", times, reason);
      wrong += tally.wrong;
    }
  }
  fmt::print("margins, from under 0 by tenths:\n   right {}\n   wrong {}\n", fmt::join(margins.right, " "),
             fmt::join(margins.wrong, " "));
  return wrong == 0 ? 0 : 1;
}
