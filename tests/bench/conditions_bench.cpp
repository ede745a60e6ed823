// How small, blurred, tilted, glaring, scratched or folded a bag label's or tag's symbol may be and still read: read
// rate against pixels per module. Usage: conditions_bench [TRIALS [SVG_FILE]]. Everything is seeded. Exit 1 when a text
// was read wrongly.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <numbers>
#include <string>
#include <vector>

#include "sherdmark/base/random.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/code/symbol.h"
#include "sherdmark/scan/codes.h"

namespace {

using namespace sherdmark;

constexpr std::array k_module_px = {1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0};
constexpr int k_budget_ms = 3000;

struct Condition {
  std::string name;
  double blur_px = 0.4;  // standard deviation
  double noise = 2;      // levels
  double tilt_deg = 5;
  bool glare = false;
  int scratches = 0;
  double fold_modules = 0;  // how far the crease pulls the paper
};

const std::vector<Condition>& conditions() {
  static const std::vector<Condition> k_conditions = {
      {.name = "clear"},
      {.name = "blur 1 px", .blur_px = 1.0},
      {.name = "blur 1.5 px", .blur_px = 1.5},
      {.name = "tilt 35°", .tilt_deg = 35},
      {.name = "tilt 50°", .tilt_deg = 50},
      {.name = "glare over a fifth", .glare = true},
      {.name = "40 scratches", .scratches = 40},
      {.name = "a fold, 2.5 modules", .fold_modules = 2.5},
  };
  return k_conditions;
}

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : random_(seed) {}
  double between(double least, double most) {
    return least + (most - least) * (static_cast<double>(random_.next() >> 11U) * 0x1p-53);
  }
  double normal() {
    return std::sqrt(-2 * std::log(between(1e-12, 1))) * std::cos(2 * std::numbers::pi * between(0, 1));
  }

 private:
  SeededRandom random_;
};

std::string a_text(Dice& dice, bool tag) {
  const auto digits = [&dice](int count) {
    std::string text;
    for (int i = 0; i < count; ++i) text.push_back(static_cast<char>('0' + static_cast<int>(dice.between(0, 10))));
    return text;
  };
  LinkCode link;
  link.collection_key = "7KMQ";
  link.role = tag ? LabelRole::tag : LabelRole::bag;
  link.subject = "B7KM" + digits(5);
  link.number = "16WC5-" + digits(3);
  link.serial = "7KM" + digits(5);
  return write_link_code(link);
}

struct Line {
  double x, y, dx, dy, half_width;
};

// One picture of a symbol, and what lies over it.
class Scene {
 public:
  Scene(const SymbolMatrix& symbol, const Condition& condition, double module_px, Dice& dice)
      : symbol_(symbol), condition_(condition), module_px_(module_px), dice_(dice) {
    turn_ = dice.between(0, 2 * std::numbers::pi);
    tilt_ = condition.tilt_deg * std::numbers::pi / 180;
    tilt_direction_ = dice.between(0, 2 * std::numbers::pi);
    fold_at_ = dice.between(0.25, 0.75) * symbol.width_modules;
    fold_turn_ = dice.between(0, std::numbers::pi);
    const double side = symbol.width_modules;
    glare_ = {dice.between(0.2, 0.8) * side, dice.between(0.2, 0.8) * side};
    for (int i = 0; i < condition.scratches; ++i) {
      const double along = dice.between(0, std::numbers::pi);
      scratches_.push_back(
          {dice.between(0, side), dice.between(0, side), std::cos(along), std::sin(along), dice.between(0.05, 0.2)});
    }
  }

  [[nodiscard]] GreyPicture take() {
    const int size = static_cast<int>((symbol_.width_modules + 12) * module_px_ * 1.45) + 8;
    std::vector<double> light(static_cast<std::size_t>(size) * static_cast<std::size_t>(size));
    constexpr int k_fine = 3;
    for (int y = 0; y < size; ++y) {
      for (int x = 0; x < size; ++x) {
        double sum = 0;
        for (int i = 0; i < k_fine * k_fine; ++i)
          sum += level_at(
              on_paper(x + (i % k_fine + 0.5) / k_fine - size / 2.0, y + (i / k_fine + 0.5) / k_fine - size / 2.0));
        light[static_cast<std::size_t>(y * size + x)] = sum / (k_fine * k_fine);
      }
    }
    blur(light, size);
    GreyPicture picture{size, size};
    for (int y = 0; y < size; ++y)
      for (int x = 0; x < size; ++x)
        picture.row(y)[x] = static_cast<std::uint8_t>(
            std::clamp(light[static_cast<std::size_t>(y * size + x)] + condition_.noise * dice_.normal(), 0.0, 255.0));
    return picture;
  }

 private:
  // From pixels about the middle of the picture to modules from the symbol's corner: a plane that is turned, tilted
  // about an axis through its middle, and seen from twelve of its sides away; then the fold.
  [[nodiscard]] PointF on_paper(double x, double y) const {
    const double distance = 12 * symbol_.width_modules * module_px_;
    const double u = x * std::cos(tilt_direction_) + y * std::sin(tilt_direction_);
    const double v = -x * std::sin(tilt_direction_) + y * std::cos(tilt_direction_);
    const double flat_u = u / (std::cos(tilt_) - u * std::sin(tilt_) / distance);
    const double flat_v = v * (1 + flat_u * std::sin(tilt_) / distance);
    const double px = flat_u * std::cos(tilt_direction_) - flat_v * std::sin(tilt_direction_);
    const double py = flat_u * std::sin(tilt_direction_) + flat_v * std::cos(tilt_direction_);
    PointF p{(px * std::cos(turn_) + py * std::sin(turn_)) / module_px_ + symbol_.width_modules / 2.0,
             (-px * std::sin(turn_) + py * std::cos(turn_)) / module_px_ + symbol_.width_modules / 2.0};
    if (condition_.fold_modules > 0) {
      const double across = p.x * std::cos(fold_turn_) + p.y * std::sin(fold_turn_) - fold_at_;
      const double pull = condition_.fold_modules * std::exp(-std::abs(across) / 4);
      p = {p.x + pull * std::cos(fold_turn_), p.y + pull * std::sin(fold_turn_)};
    }
    return p;
  }

  [[nodiscard]] double level_at(const PointF& p) const {
    const int column = static_cast<int>(std::floor(p.x));
    const int row = static_cast<int>(std::floor(p.y));
    const int side = symbol_.width_modules;
    const bool on_label = column >= -5 && row >= -5 && column < side + 5 && row < side + 5;
    double level = on_label ? 215 : 110;
    if (column >= 0 && row >= 0 && column < side && row < side && symbol_.is_dark(column, row)) level = 45;
    if (condition_.fold_modules > 0) {
      const double across = p.x * std::cos(fold_turn_) + p.y * std::sin(fold_turn_) - fold_at_;
      level *= 1 - 0.25 * std::exp(-across * across / 2);
    }
    for (const Line& scratch : scratches_) {
      const double off = std::abs((p.x - scratch.x) * scratch.dy - (p.y - scratch.y) * scratch.dx);
      if (off < scratch.half_width) level = std::max(level, 200.0);
    }
    if (condition_.glare) {
      const double reach = std::hypot(p.x - glare_.x, p.y - glare_.y) / (0.25 * side);
      level += (250 - level) * std::exp(-reach * reach * reach * reach);
    }
    return level;
  }

  void blur(std::vector<double>& light, int size) const {
    const int reach = static_cast<int>(std::ceil(3 * condition_.blur_px));
    std::vector<double> weights;
    double sum = 0;
    for (int i = -reach; i <= reach; ++i) {
      weights.push_back(std::exp(-i * i / (2 * condition_.blur_px * condition_.blur_px)));
      sum += weights.back();
    }
    for (const int step : {1, size}) {
      std::vector<double> blurred(light.size());
      for (int y = 0; y < size; ++y) {
        for (int x = 0; x < size; ++x) {
          double mean = 0;
          for (int i = -reach; i <= reach; ++i) {
            const int at = std::clamp((step == 1 ? x : y) + i, 0, size - 1);
            mean += weights[static_cast<std::size_t>(i + reach)] *
                    light[static_cast<std::size_t>(step == 1 ? y * size + at : at * size + x)];
          }
          blurred[static_cast<std::size_t>(y * size + x)] = mean / sum;
        }
      }
      light = std::move(blurred);
    }
  }

  const SymbolMatrix& symbol_;
  const Condition& condition_;
  double module_px_;
  Dice& dice_;
  double turn_ = 0, tilt_ = 0, tilt_direction_ = 0, fold_at_ = 0, fold_turn_ = 0;
  PointF glare_{};
  std::vector<Line> scratches_{};
};

struct Cell {
  int read = 0;
  int wrong = 0;
};
using Row = std::array<Cell, k_module_px.size()>;

Cell measure(const Condition& condition, double module_px, int trials) {
  Cell cell;
  for (int trial = 0; trial < trials; ++trial) {
    Dice dice{1000 + static_cast<std::uint64_t>(trial)};
    const std::string text = a_text(dice, trial % 2 == 1);
    const SymbolMatrix symbol = make_qr(text, ErrorLevel::q);
    const GreyPicture picture = Scene{symbol, condition, module_px, dice}.take();
    bool right = false;
    for (const CodeReading& reading : read_codes(picture.view(), {.all_formats = false, .budget_ms = k_budget_ms})) {
      right = right || reading.text == text;
      if (reading.text != text) ++cell.wrong;
    }
    if (right) ++cell.read;
  }
  return cell;
}

// Read rate against pixels a module, one line a condition, told apart by dashes and signs as well as by shade.
void write_svg(const std::string& file, const std::vector<Row>& rows, int trials) {
  constexpr double k_left = 60, k_top = 20, k_wide = 420, k_high = 260;
  const auto x_of = [](double px) { return k_left + (px - 1.5) / 4.5 * k_wide; };
  const auto y_of = [](double share) { return k_top + (1 - share) * k_high; };
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"720\" height=\"340\" font-family=\"sans-serif\" "
      "font-size=\"12\">\n"
      "<rect width=\"720\" height=\"340\" fill=\"white\"/>\n");
  for (const double share : {0.0, 0.25, 0.5, 0.75, 1.0})
    svg += fmt::format(
        "<line x1=\"{0}\" y1=\"{1}\" x2=\"{2}\" y2=\"{1}\" stroke=\"#ccc\"/><text x=\"{3}\" y=\"{4}\" "
        "text-anchor=\"end\">{5:.0f} %</text>\n",
        k_left, y_of(share), k_left + k_wide, k_left - 6, y_of(share) + 4, 100 * share);
  for (const double px : k_module_px)
    svg += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{:g}</text>\n", x_of(px),
                       k_top + k_high + 18, px);
  svg += fmt::format("<text x=\"{}\" y=\"{}\" text-anchor=\"middle\">pixels a module</text>\n", k_left + k_wide / 2,
                     k_top + k_high + 38);
  constexpr std::array k_dashes = {"none", "6 3", "2 3", "10 4", "10 3 2 3", "4 4", "1 4", "12 2 2 2"};
  constexpr std::array k_shades = {"#000000", "#0b4f8a", "#3c8dbc", "#7a3b00",
                                   "#c46a1b", "#5b2a86", "#1b7837", "#a50026"};
  constexpr std::array k_signs = {"●", "■", "□", "▲", "△", "◆", "✕", "○"};
  for (std::size_t r = 0; r < rows.size(); ++r) {
    std::string points;
    std::string signs;
    for (std::size_t i = 0; i < k_module_px.size(); ++i) {
      const double x = x_of(k_module_px[i]);
      const double y = y_of(static_cast<double>(rows[r][i].read) / trials);
      points += fmt::format("{:.1f},{:.1f} ", x, y);
      signs += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\" fill=\"{}\">{}</text>", x, y + 4,
                           k_shades[r % 8], k_signs[r % 8]);
    }
    svg += fmt::format(
        "<polyline points=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"1.6\" stroke-dasharray=\"{}\"/>{}\n",
        points, k_shades[r % 8], k_dashes[r % 8], signs);
    const double y = k_top + 10 + 24 * static_cast<double>(r);
    svg += fmt::format(
        "<line x1=\"500\" y1=\"{0}\" x2=\"540\" y2=\"{0}\" stroke=\"{1}\" stroke-width=\"1.6\" "
        "stroke-dasharray=\"{2}\"/>"
        "<text x=\"520\" y=\"{3}\" text-anchor=\"middle\" fill=\"{1}\">{4}</text><text x=\"550\" "
        "y=\"{3}\">{5}</text>\n",
        y, k_shades[r % 8], k_dashes[r % 8], y + 4, k_signs[r % 8], conditions()[r].name);
  }
  std::ofstream{file} << svg << "</svg>\n";
}

int run(int trials, const std::string& svg) {
  std::printf("read of %d; wrong after a slash where there was any\n%-22s", trials, "pixels a module");
  for (const double px : k_module_px) std::printf(" %7.1f", px);
  std::printf("\n");
  std::vector<Row> rows;
  int wrong = 0;
  for (const Condition& condition : conditions()) {
    std::printf("%-22s", condition.name.c_str());
    Row row{};
    for (std::size_t i = 0; i < k_module_px.size(); ++i) {
      row[i] = measure(condition, k_module_px[i], trials);
      wrong += row[i].wrong;
      std::printf(" %7s",
                  (std::to_string(row[i].read) + (row[i].wrong > 0 ? "/" + std::to_string(row[i].wrong) : "")).c_str());
      std::fflush(stdout);
    }
    std::printf("\n");
    rows.push_back(row);
  }
  if (!svg.empty()) write_svg(svg, rows, trials);
  return wrong == 0 ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  const int trials = argc > 1 ? std::max(1, std::atoi(argv[1])) : 20;
  return run(trials, argc > 2 ? argv[2] : "");
}
