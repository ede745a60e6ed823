// A general-purpose text reader, Tesseract, beside the reader of artifact labels, on the same labels. Tesseract gets
// each label as a straightened crop, cut by its true corners and enlarged, with the characters that the house
// standard's schemes know as its only ones; ours finds, straightens and reads it in the photograph by itself.
//
//   reference_text_bench STANDARD.toml TRIALS SEED [PX_PER_MM…]
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "scenes/trial.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/text.h"
#include "sherdmark/scan/label_text.h"
#include "sherdmark/sheet/sheets.h"
#include "support/test_support.h"

namespace {

using namespace sherdmark;
using namespace sherdmark::scenes;

constexpr double k_crop_px_per_mm = 40;  // capitals of 5 pt about 50 pixels high

double light_at(const GreyView& view, double x, double y) {
  const double fx = std::clamp(x - 0.5, 0.0, view.width_px - 1.001),
               fy = std::clamp(y - 0.5, 0.0, view.height_px - 1.001);
  const int ix = static_cast<int>(fx), iy = static_cast<int>(fy);
  const double dx = fx - ix, dy = fy - iy;
  const auto at = [&](int cx, int cy) { return static_cast<double>(view.row(cy)[cx]); };
  return (at(ix, iy) * (1 - dx) + at(ix + 1, iy) * dx) * (1 - dy) +
         (at(ix, iy + 1) * (1 - dx) + at(ix + 1, iy + 1) * dx) * dy;
}

GreyPicture straightened(const GreyView& picture, const Corners& c, double px_per_mm) {
  const auto length = [&](std::size_t a, std::size_t b) { return std::hypot(c[b].x - c[a].x, c[b].y - c[a].y); };
  const double enlarge = k_crop_px_per_mm / px_per_mm;
  GreyPicture crop{static_cast<int>(length(0, 1) * enlarge), static_cast<int>(length(0, 3) * enlarge)};
  for (int y = 0; y < crop.height_px(); ++y)
    for (int x = 0; x < crop.width_px(); ++x) {
      const double u = (x + 0.5) / crop.width_px(), v = (y + 0.5) / crop.height_px();
      const auto blend = [&](double PointF::*axis) {
        return (c[0].*axis * (1 - u) + c[1].*axis * u) * (1 - v) + (c[3].*axis * (1 - u) + c[2].*axis * u) * v;
      };
      crop.row(y)[x] = static_cast<std::uint8_t>(light_at(picture, blend(&PointF::x), blend(&PointF::y)) + 0.5);
    }
  return crop;
}

std::string characters_of(const HouseStandard& standard) {
  std::set<char32_t> all;
  for (const Scheme& scheme : standard.schemes)
    for (const NumberGrammar::State& state :
         scheme.grammar(NumberLevel::item, standard.artifact.check_character).states)
      for (const NumberGrammar::Arc& arc : state.arcs) all.insert(arc.character);
  return encode_utf8(std::u32string{all.begin(), all.end()});
}

std::string tesseract(const std::filesystem::path& crop, const std::string& characters, bool one_line) {
  const testing::RunResult result =
      testing::run({"tesseract", crop.string(), "stdout", "--psm", one_line ? "7" : "6", "-c",
                    "tessedit_char_whitelist=" + characters, "-c", "load_system_dawg=0", "-c", "load_freq_dawg=0"});
  if (result.exit_code != 0) throw std::runtime_error("tesseract failed: " + result.err);
  std::string text;
  for (const char c : result.out)
    if (static_cast<unsigned char>(c) > ' ') text.push_back(c);
  return text;
}

struct Tally {
  int right = 0, wrong = 0, unread = 0;
  void add(bool is_read, bool is_right) { ++(!is_read ? unread : is_right ? right : wrong); }
};

}  // namespace

int main(int count, char** arguments) {
  const std::vector<std::string> words(arguments + 1, arguments + count);
  if (words.size() < 3) {
    fmt::print("reference_text_bench STANDARD.toml TRIALS SEED [PX_PER_MM…]\n");
    return 2;
  }
  const HouseStandard standard = parse_house_standard(read_text(real_file_system(), words[0]), words[0]);
  const int trials = std::atoi(words[1].c_str());
  const auto seed = static_cast<std::uint64_t>(std::atoll(words[2].c_str()));
  std::vector<double> resolutions;
  for (std::size_t i = 3; i < words.size(); ++i) resolutions.push_back(std::atof(words[i].c_str()));
  if (resolutions.empty()) resolutions = {10, 14, 20};
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  const std::string characters = characters_of(standard);
  const testing::ScratchFolder folder;
  const std::filesystem::path file = folder.path() / "crop.png";
  fmt::print("{:>6}   {:>26}   {:>26}\n{:>6}   {:>8} {:>8} {:>8}   {:>8} {:>8} {:>8}\n", "", "labels' own reader",
             "tesseract", "px/mm", "right", "wrong", "unread", "right", "wrong", "unread");
  for (const double px_per_mm : resolutions) {
    Tally ours, theirs;
    for (int i = 0; i < trials; ++i) {
      SeededRandom random{seed * 1000003 + static_cast<std::uint64_t>(i)};
      const PrintedNumber number = random_number(standard, random);
      TrialConditions conditions;
      conditions.px_per_mm = px_per_mm;
      conditions.size_pt = standard.artifact.size_pt;
      const Trial trial = make_trial(standard, face, number, mixed(conditions, random), random);
      bool read = false, right = true;
      for (const TextReading& reading : reader.search(trial.picture.view(), {.shown = {.px_per_mm = {px_per_mm}}}))
        if (reading.sure) {
          read = true;
          right = right && reading.number == trial.number;
        }
      ours.add(read, right);
      const GreyPicture crop = straightened(trial.picture.view(), trial.corners, px_per_mm);
      real_file_system().write_atomic(file, [&](const ByteSink& sink) { write_png(crop.view(), sink); });
      const std::string text = tesseract(file, characters, trial.lines.size() == 1);
      theirs.add(!text.empty(), text == join(trial.lines, ""));
    }
    fmt::print("{:6}   {:8} {:8} {:8}   {:8} {:8} {:8}\n", px_per_mm, ours.right, ours.wrong, ours.unread, theirs.right,
               theirs.wrong, theirs.unread);
  }
  return 0;
}
