// How often the text of an artifact label is read rightly, wrongly, or not at all, for each resolution, size of type
// and condition. Seeded: the same table on every machine.
#include <fmt/format.h>

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
};

std::vector<Condition> conditions_at(double px_per_mm, double size_pt) {
  TrialConditions mild;
  mild.px_per_mm = px_per_mm;
  mild.size_pt = size_pt;
  mild.most_tilt_deg = 8;
  std::vector<Condition> all{{"mild", mild}};
  const auto add = [&](const std::string& name, auto change) {
    TrialConditions one = mild;
    change(one);
    all.push_back({name, one});
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
};

}  // namespace

// label_text_bench STANDARD TRIALS SEED [PX_PER_MM…] [--pt P] [--only NAME] [--keep DIR]
int main(int count, char** arguments) {
  const std::vector<std::string> words(arguments + 1, arguments + count);
  if (words.size() < 3) {
    fmt::print("label_text_bench STANDARD.toml TRIALS SEED [PX_PER_MM…] [--pt P] [--only NAME] [--keep DIR]\n");
    return 2;
  }
  HouseStandard standard = load(words[0]);
  const int trials = std::atoi(words[1].c_str());
  const auto seed = static_cast<std::uint64_t>(std::atoll(words[2].c_str()));
  std::vector<double> resolutions;
  std::string only, keep;
  double pt = 5;
  for (std::size_t i = 3; i < words.size(); ++i) {
    if (words[i] == "--pt")
      pt = std::atof(words[++i].c_str());
    else if (words[i] == "--only")
      only = words[++i];
    else if (words[i] == "--keep")
      keep = words[++i];
    else
      resolutions.push_back(std::atof(words[i].c_str()));
  }
  if (resolutions.empty()) resolutions = {6, 8, 10, 14, 20};
  standard.artifact.size_pt = pt;
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  fmt::print("{:>6} {:>4} {:20} {:>7} {:>7} {:>10} {:>7} {:>8}\n", "px/mm", "pt", "condition", "right", "wrong",
             "unreadable", "unseen", "ms");
  for (const double px_per_mm : resolutions) {
    for (const Condition& condition : conditions_at(px_per_mm, pt)) {
      if (!only.empty() && condition.name != only) continue;
      Tally tally;
      std::map<std::string, int> why;
      double ms = 0;
      for (int i = 0; i < trials; ++i) {
        SeededRandom random{seed * 1000003 + static_cast<std::uint64_t>(i)};
        const PrintedNumber number = random_number(standard, random);
        const Trial trial = make_trial(standard, face, number, condition.conditions, random);
        const std::clock_t before = std::clock();
        const std::vector<TextReading> readings = reader.read(trial.picture.view(), {});
        ms += 1000.0 * static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
        bool right = false;
        std::string wrong;
        for (const TextReading& reading : readings) {
          if (!reading.sure) continue;
          if (reading.number == trial.number)
            right = true;
          else
            wrong = reading.number;
        }
        const bool failed = !wrong.empty() || !right;
        if (!wrong.empty()) {
          ++tally.wrong;
          fmt::print("   WRONG {} for {} (trial {})\n", wrong, trial.number, i);
        } else if (right)
          ++tally.right;
        else if (readings.empty())
          ++tally.unseen;
        else {
          ++tally.unreadable;
          for (const TextReading& reading : readings) ++why[reading.why_not];
          if (!only.empty())
            for (const TextReading& reading : readings)
              fmt::print("   {} ({}): {} margin {:.2f} rival {} : {}\n", join(trial.lines, "|"), i,
                         reading.number.empty() ? join(reading.lines, "|") : reading.number, reading.margin,
                         reading.runner_up, reading.why_not);
        }
        if (failed && !keep.empty())
          sherdmark::real_file_system().write_atomic(
              fmt::format("{}/{}.png", keep, i), [&](const ByteSink& sink) { write_png(trial.picture.view(), sink); });
      }
      fmt::print("{:6} {:4} {:20} {:7} {:7} {:10} {:7} {:8.1f}\n", px_per_mm, pt, condition.name, tally.right,
                 tally.wrong, tally.unreadable, tally.unseen, ms / trials);
      for (const auto& [reason, times] : why) fmt::print("            {} x {}\n", times, reason);
    }
  }
  return 0;
}
