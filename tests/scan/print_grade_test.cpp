// Symbols drawn with known contrast, stretch, bends, damage and wrong codewords: the parameters of ISO/IEC 15415 come
// back as they were put in. Thresholds: check values, section 3 (contrast, modulation, axial and grid non-uniformity,
// unused error correction found in published reproductions; fixed pattern damage from memory).
#include "sherdmark/scan/print_grade.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>

#include "sherdmark/code/reference_decode.h"

namespace sherdmark {
namespace {

constexpr double k_paper = 0.85;  // reflectance

// The 8-bit level of a reflectance (IEC 61966-2-1).
double level_of(double light) {
  return 255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * std::pow(light, 1 / 2.4) - 0.055);
}

// How a symbol is drawn. Places are in modules from its upper left corner.
struct Drawing {
  SymbolMatrix symbol;
  double ink = 0.05;  // reflectance
  double module_px = 7;
  double stretch = 1;                                       // of its width
  std::function<PointF(double, double)> bend{};             // where a place of the paper shows what it should
  std::function<std::optional<double>(int, int)> change{};  // reflectance of a module in place of the printed one
  int border_modules = 7;
};

double reflectance(const Drawing& drawing, double x, double y) {
  const int column = static_cast<int>(std::floor(x));
  const int row = static_cast<int>(std::floor(y));
  if (drawing.change)
    if (const auto changed = drawing.change(column, row)) return *changed;
  const int side = drawing.symbol.width_modules;
  const bool inside = column >= 0 && row >= 0 && column < side && row < side;
  return inside && drawing.symbol.is_dark(column, row) ? drawing.ink : k_paper;
}

struct Drawn {
  GreyPicture picture;
  CodeReading reading;
};

Drawn draw(const Drawing& drawing) {
  const double wide = drawing.module_px * drawing.stretch;
  const double high = drawing.module_px;
  const int side = drawing.symbol.width_modules;
  const int border = drawing.border_modules;
  Drawn drawn{GreyPicture{static_cast<int>((side + 2 * border) * wide), static_cast<int>((side + 2 * border) * high)},
              {drawing.symbol.format, "16WC5", {}}};
  constexpr int k_fine = 3;
  for (int y = 0; y < drawn.picture.height_px(); ++y) {
    for (int x = 0; x < drawn.picture.width_px(); ++x) {
      double sum = 0;
      for (int i = 0; i < k_fine * k_fine; ++i) {
        PointF p{(x + (i % k_fine + 0.5) / k_fine) / wide - border, (y + (i / k_fine + 0.5) / k_fine) / high - border};
        if (drawing.bend) p = drawing.bend(p.x, p.y);
        sum += reflectance(drawing, p.x, p.y);
      }
      drawn.picture.row(y)[x] = static_cast<std::uint8_t>(std::lround(level_of(sum / k_fine / k_fine)));
    }
  }
  // A reader's corners are whole pixels and not quite right.
  const double left = std::round(border * wide) + 2;
  const double top = std::round(border * high) - 1;
  drawn.reading.corners = {PointF{left, top},
                           {left + side * wide, top},
                           {left + side * wide - 2, top + side * high},
                           {left, top + side * high}};
  return drawn;
}

PrintGrade graded(const Drawing& drawing) {
  const Drawn drawn = draw(drawing);
  const auto grades = grade_codes(drawn.picture.view(), {drawn.reading});
  EXPECT_EQ(grades.size(), 1U);
  return grades.at(0);
}

double value_of(const PrintGrade& grade, GradeParameter parameter) {
  const ParameterGrade* one = grade.find(parameter);
  EXPECT_NE(one, nullptr) << to_text(parameter);
  return one == nullptr || !one->value ? -1 : *one->value;
}

int grade_of(const PrintGrade& grade, GradeParameter parameter) {
  const ParameterGrade* one = grade.find(parameter);
  EXPECT_NE(one, nullptr) << to_text(parameter);
  return one == nullptr ? -1 : one->grade;
}

std::vector<SymbolMatrix> kinds() {
  return {make_qr("SHERDMARK16WC5", ErrorLevel::q), make_qr("16WC5", ErrorLevel::q),
          make_micro_qr("16WC5", ErrorLevel::m), make_data_matrix("16WC5-347")};
}

TEST(PrintGrade, clean_symbols_of_every_kind_have_the_best_grade_in_everything) {
  for (const SymbolMatrix& symbol : kinds()) {
    const PrintGrade grade = graded({symbol});
    EXPECT_EQ(grade.grade, 4) << to_text(symbol.format);
    EXPECT_EQ(grade.side_modules, symbol.width_modules);
    EXPECT_NEAR(grade.module_px, 7, 0.15);
    ASSERT_EQ(grade.parameters.size(), 8U);
    for (const ParameterGrade& one : grade.parameters)
      EXPECT_EQ(one.grade, 4) << to_text(symbol.format) << " " << to_text(one.parameter) << " "
                              << one.value.value_or(-1);
    EXPECT_TRUE(held_down_by(grade).empty());
    ASSERT_TRUE(grade.print_growth);
    EXPECT_NEAR(*grade.print_growth, 0, 0.12);
  }
}

TEST(PrintGrade, what_a_reader_finds_in_a_picture_is_graded_where_it_stands) {
  for (const SymbolMatrix& symbol : kinds()) {
    const Drawn drawn = draw({symbol});
    const auto grades = grade_codes(drawn.picture.view(), read_codes(drawn.picture.view()));
    ASSERT_EQ(grades.size(), 1U) << to_text(symbol.format);
    EXPECT_EQ(grades[0].grade, 4) << to_text(symbol.format);
    EXPECT_NEAR(grades[0].corners[0].x, 49, 1.5);
    EXPECT_NEAR(grades[0].corners[0].y, 49, 1.5);
  }
}

TEST(PrintGrade, contrast_comes_back_and_falls_with_pale_ink) {
  struct Row {
    double ink;
    int grade;
  };
  for (const SymbolMatrix& symbol : {kinds()[1], kinds()[3]})
    for (const Row& row : {Row{0.05, 4}, Row{0.12, 4}, Row{0.20, 3}, Row{0.35, 2}, Row{0.55, 1}, Row{0.70, 0}}) {
      const PrintGrade grade = graded({symbol, row.ink});
      EXPECT_NEAR(value_of(grade, GradeParameter::symbol_contrast), k_paper - row.ink, 0.03);
      EXPECT_EQ(grade_of(grade, GradeParameter::symbol_contrast), row.grade) << row.ink;
      EXPECT_EQ(grade.grade, row.grade);
    }
}

TEST(PrintGrade, stretch_comes_back_as_axial_non_uniformity) {
  struct Row {
    double stretch;
    int grade;
  };
  for (const SymbolMatrix& symbol : {kinds()[2], kinds()[3]})
    for (const Row& row : {Row{1.03, 4}, Row{1.07, 3}, Row{1.094, 2}, Row{1.115, 1}, Row{1.16, 0}}) {
      const PrintGrade grade = graded({.symbol = symbol, .stretch = row.stretch});
      const double expected = (row.stretch - 1) / ((row.stretch + 1) / 2);
      EXPECT_NEAR(value_of(grade, GradeParameter::axial_nonuniformity), expected, 0.008) << row.stretch;
      EXPECT_EQ(grade_of(grade, GradeParameter::axial_nonuniformity), row.grade) << row.stretch;
    }
}

TEST(PrintGrade, bends_come_back_as_grid_non_uniformity) {
  const SymbolMatrix symbol = make_qr("SHERDMARK16WC5OSTERVANE", ErrorLevel::q);
  double before = -1;
  for (const double bend : {0.0, 0.15, 0.3, 0.45}) {
    const PrintGrade grade = graded({.symbol = symbol, .bend = [&](double x, double y) {
                                       const double turn = 2 * std::numbers::pi * y / symbol.height_modules;
                                       return PointF{x + bend * std::cos(turn), y};
                                     }});
    const double value = value_of(grade, GradeParameter::grid_nonuniformity);
    EXPECT_NEAR(value, bend, 0.15) << bend;
    EXPECT_GT(value, before);
    before = value;
  }
}

// Flips one module of so many codewords of block 0.
Drawing with_wrong_codewords(const SymbolMatrix& symbol, int wrong) {
  Drawing drawing{symbol};
  const auto decode = reference_decode(symbol);
  std::vector<int> flipped;
  for (const CodewordPlace& place : decode->codewords)
    if (place.block == 0 && static_cast<int>(flipped.size()) < wrong) flipped.push_back(place.modules.back());
  for (const int module : flipped) drawing.symbol.dark[static_cast<std::size_t>(module)] ^= 1U;
  return drawing;
}

TEST(PrintGrade, unused_error_correction_is_exact) {
  for (const SymbolMatrix& symbol : {kinds()[1], kinds()[3]}) {
    const BlockDecode block = reference_decode(symbol)->blocks.front();
    for (int wrong = 0; 2 * wrong <= block.capacity(); ++wrong) {
      const PrintGrade grade = graded(with_wrong_codewords(symbol, wrong));
      const double expected = 1 - 2.0 * wrong / block.capacity();
      EXPECT_NEAR(value_of(grade, GradeParameter::unused_error_correction), expected, 1e-9)
          << to_text(symbol.format) << " " << wrong;
      const int letter = expected >= 0.62 ? 4 : expected >= 0.5 ? 3 : expected >= 0.37 ? 2 : expected >= 0.25 ? 1 : 0;
      EXPECT_EQ(grade_of(grade, GradeParameter::unused_error_correction), letter);
      EXPECT_LE(grade.grade, letter);
    }
  }
}

TEST(PrintGrade, modulation_follows_the_overlay_rule) {
  const SymbolMatrix symbol = make_qr("SHERDMARK16WC5", ErrorLevel::q);
  const auto decode = reference_decode(symbol);
  const double middle = (k_paper + 0.05) / 2;
  const double contrast = k_paper - 0.05;
  for (const int weak : {0, 1, 2, 3, 4, 5}) {
    // One dark module of each is so pale that its modulation is 0.45: grade 3.
    std::vector<int> pale;
    for (const CodewordPlace& place : decode->codewords) {
      if (place.block != 0 || static_cast<int>(pale.size()) == weak) continue;
      for (const int module : place.modules)
        if (symbol.dark[static_cast<std::size_t>(module)] != 0) {
          pale.push_back(module);
          break;
        }
    }
    ASSERT_EQ(static_cast<int>(pale.size()), weak);
    const PrintGrade grade = graded({.symbol = symbol, .change = [&](int x, int y) -> std::optional<double> {
                                       if (x < 0 || y < 0 || x >= symbol.width_modules) return std::nullopt;
                                       for (const int module : pale)
                                         if (module == y * symbol.width_modules + x) return middle - 0.225 * contrast;
                                       return std::nullopt;
                                     }});
    const double left = 1 - 2.0 * weak / decode->blocks.front().capacity();
    const int notional = left >= 0.62 ? 4 : left >= 0.5 ? 3 : left >= 0.37 ? 2 : left >= 0.25 ? 1 : 0;
    EXPECT_EQ(grade_of(grade, GradeParameter::modulation), std::max(std::min(4, notional), 3)) << weak;
    EXPECT_EQ(grade_of(grade, GradeParameter::unused_error_correction), 4);
  }
}

TEST(PrintGrade, every_damaged_module_of_a_finder_costs_a_grade) {
  for (const SymbolMatrix& symbol : kinds()) {
    if (symbol.format == SymbolFormat::data_matrix) continue;
    for (int damaged = 0; damaged <= 4; ++damaged) {
      Drawing drawing{symbol};
      constexpr std::array<std::pair<int, int>, 4> k_ring = {{{2, 0}, {4, 0}, {0, 3}, {6, 4}}};
      for (int i = 0; i < damaged; ++i) {
        const auto [x, y] = k_ring.at(static_cast<std::size_t>(i));
        drawing.symbol.dark[static_cast<std::size_t>(y * symbol.width_modules + x)] = 0;
      }
      const PrintGrade grade = graded(drawing);
      EXPECT_EQ(grade_of(grade, GradeParameter::fixed_pattern_damage), 4 - damaged) << to_text(symbol.format);
      EXPECT_EQ(grade.grade, 4 - damaged);
    }
  }
}

TEST(PrintGrade, gaps_in_the_border_of_a_data_matrix_cost_grades) {
  const SymbolMatrix symbol = make_data_matrix("16WC5-347");
  int before = 5;
  for (int gaps = 0; gaps <= 4; ++gaps) {
    Drawing drawing{symbol};
    for (int i = 0; i < gaps; ++i)
      drawing.symbol.dark[static_cast<std::size_t>((2 + 3 * i) * symbol.width_modules)] = 0;
    const int now = grade_of(graded(drawing), GradeParameter::fixed_pattern_damage);
    EXPECT_LE(now, before);
    before = now;
  }
  EXPECT_EQ(before, 0);
}

TEST(PrintGrade, a_margin_that_is_cut_off_is_named) {
  const SymbolMatrix symbol = make_qr("16WC5", ErrorLevel::q);
  for (const int margin : {4, 3, 2, 1}) {
    const PrintGrade grade = graded({.symbol = symbol, .change = [&](int x, int) -> std::optional<double> {
                                       return x < -margin ? std::optional{0.1} : std::nullopt;
                                     }});
    EXPECT_EQ(grade_of(grade, GradeParameter::quiet_zone) < 4, margin < 4) << margin;
    if (margin == 1) {
      const auto low = held_down_by(grade);
      EXPECT_NE(std::find(low.begin(), low.end(), GradeParameter::quiet_zone), low.end());
    }
  }
}

TEST(PrintGrade, a_growing_scratch_never_raises_a_grade) {
  for (const SymbolMatrix& symbol : {kinds()[1], kinds()[2], kinds()[3]}) {
    int before = 4;
    for (int length = 0; length <= symbol.width_modules; length += 3) {
      const PrintGrade grade = graded({.symbol = symbol, .change = [&](int x, int y) -> std::optional<double> {
                                         const bool hit = x >= 0 && y >= 0 && x == y && x < length;
                                         return hit ? std::optional{k_paper} : std::nullopt;
                                       }});
      EXPECT_LE(grade.grade, before) << to_text(symbol.format) << " " << length;
      before = grade.grade;
    }
    EXPECT_LE(before, 1) << to_text(symbol.format);
  }
}

TEST(PrintGrade, spread_toner_is_reported_as_growth_and_not_graded) {
  const SymbolMatrix symbol = make_qr("16WC5", ErrorLevel::q);
  for (const double growth : {-0.2, 0.2}) {
    // Every dark edge is moved by half the growth: a place is dark when any dark module is that near.
    const Drawing drawing{.symbol = symbol, .bend = [&](double x, double y) {
                            const auto dark = [&](double px, double py) {
                              const int cx = static_cast<int>(std::floor(px));
                              const int cy = static_cast<int>(std::floor(py));
                              return cx >= 0 && cy >= 0 && cx < symbol.width_modules && cy < symbol.height_modules &&
                                     symbol.is_dark(cx, cy);
                            };
                            const double h = std::abs(growth) / 2;
                            for (const double dy : {-h, 0.0, h})
                              for (const double dx : {-h, 0.0, h})
                                if (dark(x + dx, y + dy) == (growth > 0)) return PointF{x + dx, y + dy};
                            return PointF{x, y};
                          }};
    const PrintGrade grade = graded(drawing);
    ASSERT_TRUE(grade.print_growth);
    EXPECT_NEAR(*grade.print_growth, growth, 0.12);
  }
}

TEST(PrintGrade, what_does_not_decode_fails_and_says_so) {
  Drawn drawn = draw({make_qr("16WC5", ErrorLevel::q)});
  for (int y = 0; y < drawn.picture.height_px(); ++y)
    for (int x = 0; x < drawn.picture.width_px(); ++x) drawn.picture.row(y)[x] = 200;
  const auto grades = grade_codes(drawn.picture.view(), {drawn.reading});
  ASSERT_EQ(grades.size(), 1U);
  EXPECT_EQ(grades[0].grade, 0);
  EXPECT_EQ(held_down_by(grades[0]), std::vector{GradeParameter::decode});
  drawn.reading.format = SymbolFormat::code_128;
  EXPECT_TRUE(grade_codes(drawn.picture.view(), {drawn.reading}).empty());
}

TEST(PrintGrade, letters_and_words_are_there_for_everything) {
  EXPECT_EQ(grade_letter(4), 'A');
  EXPECT_EQ(grade_letter(3), 'B');
  EXPECT_EQ(grade_letter(2), 'C');
  EXPECT_EQ(grade_letter(1), 'D');
  EXPECT_EQ(grade_letter(0), 'F');
  for (int i = 0; i <= static_cast<int>(GradeParameter::quiet_zone); ++i) {
    EXPECT_FALSE(name_of(static_cast<GradeParameter>(i)).empty());
    EXPECT_FALSE(what_to_do(static_cast<GradeParameter>(i)).empty());
  }
}

}  // namespace
}  // namespace sherdmark
