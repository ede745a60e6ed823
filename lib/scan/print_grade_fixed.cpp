// Fixed pattern damage: each part of the fixed patterns graded by the share of its modules that are damaged, under the
// same overlay as modulation. Segments and thresholds after ISO/IEC 15415 annexes, from memory.
#include <algorithm>
#include <array>
#include <numeric>

#include "scan/print_grade_parameters.h"

namespace sherdmark {
namespace {

struct Spot {
  int column, row;
  bool dark;  // as printed
};
using Segment = std::vector<Spot>;

// Share of damaged modules → grade; by number where that is smaller than a share can say.
enum class Rule { finder, line, alignment, leg };

int damage_grade(Rule rule, int damaged, std::size_t modules) {
  if (rule == Rule::finder) return std::max(0, 4 - damaged);
  constexpr std::array k_line = {0.0, 0.07, 0.11, 0.14};
  constexpr std::array k_alignment = {0.0, 0.10, 0.20, 0.30};
  constexpr std::array k_leg = {0.0, 0.09, 0.13, 0.17};
  const auto& limits = rule == Rule::line ? k_line : rule == Rule::alignment ? k_alignment : k_leg;
  const double share = modules == 0 ? 0 : static_cast<double>(damaged) / static_cast<double>(modules);
  for (std::size_t i = 0; i < limits.size(); ++i)
    if (share <= limits[i] + 1e-9) return 4 - static_cast<int>(i);
  return 0;
}

// More than two of five neighbours on a line that are damaged.
bool crowded(const std::vector<bool>& damaged) {
  for (std::size_t i = 0; i + 5 <= damaged.size(); ++i) {
    const auto begin = damaged.begin() + static_cast<std::ptrdiff_t>(i);
    if (std::count(begin, begin + 5, true) > 2) return true;
  }
  return false;
}

class FixedPatterns {
 public:
  explicit FixedPatterns(const GradedSymbol& symbol) : symbol_(symbol), side_(symbol.frame.side_modules) {}

  [[nodiscard]] ParameterGrade grade() {
    switch (symbol_.frame.format) {
      case SymbolFormat::qr:
        grade_qr();
        break;
      case SymbolFormat::micro_qr:
        grade_micro_qr();
        break;
      default:
        grade_data_matrix();
        break;
    }
    int lowest = *std::ranges::min_element(grades_);
    if (symbol_.frame.format == SymbolFormat::data_matrix) lowest = std::min(lowest, grade_of_the_mean());
    const double share = seen_ == 0 ? 0 : static_cast<double>(wrong_) / static_cast<double>(seen_);
    return {GradeParameter::fixed_pattern_damage, lowest, share};
  }

 private:
  void grade_qr() {
    add(block(-4, -4), Rule::finder);
    add(block(side_ - 8, -4), Rule::finder);
    add(block(-4, side_ - 8), Rule::finder);
    add(line(8, 6, 1, 0, side_ - 16), Rule::line);
    add(line(6, 8, 0, 1, side_ - 16), Rule::line);
    const Segment alignment = all_of(ModulePart::alignment);
    if (!alignment.empty()) add(alignment, Rule::alignment);
    add_format();
    const Segment version = all_of(ModulePart::version);
    if (!version.empty()) add(version, Rule::alignment);
  }

  void grade_micro_qr() {
    Segment corner;
    for (int y = -2; y < 8; ++y)
      for (int x = -2; x < 8; ++x) corner.push_back(spot(x, y));
    add(corner, Rule::finder);
    add(line(8, 0, 1, 0, side_ - 8), Rule::line);
    add(line(0, 8, 0, 1, side_ - 8), Rule::line);
    add_format();
  }

  void grade_data_matrix() {
    add(line(0, 0, 0, 1, side_), Rule::leg);
    add(line(0, side_ - 1, 1, 0, side_), Rule::leg);
    add(line(-1, -1, 0, 1, side_ + 2), Rule::leg);
    add(line(-1, side_, 1, 0, side_ + 2), Rule::leg);
    add_clock_track(line(0, 0, 1, 0, side_), line(0, -1, 1, 0, side_));
    add_clock_track(line(side_ - 1, 0, 0, 1, side_), line(side_, 0, 0, 1, side_));
    Segment inner;
    for (int y = 1; y < side_ - 1; ++y)
      for (int x = 1; x < side_ - 1; ++x)
        if (part(x, y) != ModulePart::data) inner.push_back(spot(x, y));
    if (!inner.empty()) add(inner, Rule::line);
  }

  // The finder of seven modules, its separator, and four modules of quiet zone on the outside.
  [[nodiscard]] Segment block(int left, int top) const {
    Segment segment;
    for (int y = top; y < top + 12; ++y)
      for (int x = left; x < left + 12; ++x) segment.push_back(spot(x, y));
    return segment;
  }

  [[nodiscard]] Segment line(int x, int y, int dx, int dy, int length) const {
    Segment segment;
    for (int i = 0; i < length; ++i) segment.push_back(spot(x + i * dx, y + i * dy));
    return segment;
  }

  [[nodiscard]] Segment all_of(ModulePart wanted) const {
    Segment segment;
    for (int y = 0; y < side_; ++y)
      for (int x = 0; x < side_; ++x)
        if (part(x, y) == wanted) segment.push_back(spot(x, y));
    return segment;
  }

  [[nodiscard]] bool inside(int x, int y) const { return x >= 0 && y >= 0 && x < side_ && y < side_; }
  [[nodiscard]] ModulePart part(int x, int y) const {
    return symbol_.frame.parts[static_cast<std::size_t>(y * side_ + x)];
  }
  [[nodiscard]] Spot spot(int x, int y) const { return {x, y, inside(x, y) && symbol_.decode.printed.is_dark(x, y)}; }

  void add(const Segment& segment, Rule rule) {
    std::vector<double> margins;
    for (const Spot& one : segment) {
      margins.push_back(symbol_.modules.margin(one.column, one.row, one.dark));
      ++seen_;
      if (margins.back() <= 0) ++wrong_;
    }
    int best = 0;
    for (int level = 4; level > best; --level) {
      std::vector<bool> damaged;
      for (const double margin : margins) damaged.push_back(margin_grade(margin) < level);
      const int count = static_cast<int>(std::count(damaged.begin(), damaged.end(), true));
      const bool hopeless = rule == Rule::line && crowded(damaged);
      best = std::max(best, hopeless ? 0 : std::min(level, damage_grade(rule, count, segment.size())));
    }
    grades_.push_back(best);
  }

  // The two copies count half each, rounded up.
  void add_format() {
    int sum = 0;
    for (const int errors : symbol_.decode.format_errors) sum += std::max(0, 4 - errors);
    const int copies = static_cast<int>(symbol_.decode.format_errors.size());
    if (copies > 0) grades_.push_back((sum + copies - 1) / copies);
  }

  // Changes of colour beside the track against those on it, and damage of the track itself.
  void add_clock_track(const Segment& track, const Segment& beside) {
    add(track, Rule::line);
    const auto changes = [this](const Segment& segment) {
      int count = 0;
      for (std::size_t i = 1; i < segment.size(); ++i)
        if (symbol_.modules.is_dark(segment[i].column, segment[i].row) !=
            symbol_.modules.is_dark(segment[i - 1].column, segment[i - 1].row))
          ++count;
      return count;
    };
    const int on = changes(track);
    const double ratio = on == 0 ? 1 : static_cast<double>(std::max(0, changes(beside) - 1)) / on;
    grades_.push_back(ratio < 0.06 ? 4 : ratio < 0.08 ? 3 : ratio < 0.10 ? 2 : ratio < 0.12 ? 1 : 0);
  }

  [[nodiscard]] int grade_of_the_mean() const {
    const double mean =
        static_cast<double>(std::accumulate(grades_.begin(), grades_.end(), 0)) / static_cast<double>(grades_.size());
    return mean >= 4 ? 4 : mean >= 3.5 ? 3 : mean >= 3.0 ? 2 : mean >= 2.5 ? 1 : 0;
  }

  const GradedSymbol& symbol_;
  int side_;
  std::vector<int> grades_{};
  std::size_t seen_ = 0;
  std::size_t wrong_ = 0;
};

}  // namespace

ParameterGrade fixed_pattern_grade(const GradedSymbol& symbol) { return FixedPatterns{symbol}.grade(); }

}  // namespace sherdmark
