// The text of artifact labels: what is printed must be read, what is not sure must stay unread.
#include "sherdmark/scan/label_text.h"
#include "sherdmark/base/units.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <map>
#include <set>
#include <utility>

#include "scan/photo_benchmark.h"
#include "scenes/hard_pictures.h"
#include "scenes/trial.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/scan/image.h"
#include "sherdmark/sheet/sheets.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using scenes::Cover;
using scenes::PrintedNumber;
using scenes::Trial;
using scenes::TrialConditions;

HouseStandard standard_of(const std::string& name) {
  const auto file = testing::sample("standards/" + name + ".toml");
  return parse_house_standard(read_text(real_file_system(), file), file.string());
}

PrintedNumber printed(const HouseStandard& standard, const std::string& text) {
  const std::optional<ParsedNumber> parsed = standard.parse_number(text);
  if (!parsed || parsed->number.text() != text) throw std::runtime_error(text + " is not a number of the standard");
  return {text, scenes::lines_of(standard, parsed->number)};
}

// With time enough for a slow machine, or one with sanitizers, to read as much.
constexpr int k_ample_ms = 120000;

std::vector<std::string> sure_numbers(const LabelTextReader& reader, const GreyView& picture) {
  std::vector<std::string> numbers;
  for (const TextReading& reading : reader.read(picture, {}, k_ample_ms))
    if (reading.sure) numbers.push_back(reading.number);
  return numbers;
}

// --- Sheets ---------------------------------------------------------------------------------------------------------

struct SheetCase {
  std::string standard;
  double dpi;
};

void PrintTo(const SheetCase& sheet, std::ostream* out) { *out << sheet.standard << " at " << sheet.dpi << " dpi"; }

class CleanSheet : public ::testing::TestWithParam<SheetCase> {};

TEST_P(CleanSheet, every_label_is_read_and_nothing_else) {
  const HouseStandard standard = standard_of(GetParam().standard);
  SeededRandom random{20310504};
  std::set<std::string> drawn;
  std::vector<ArtifactLabelRequest> requests;
  while (requests.size() < 150) {
    const PrintedNumber number = scenes::random_number(standard, random);
    if (drawn.insert(number.number).second)
      requests.push_back({standard.parse_number(number.number)->number, "lot", 1, 1});
  }
  const Placements placements = lay_out_artifact_labels(requests, standard, "R1");
  const SheetHeader header{.run = "R1",
                           .title = "Artifact labels",
                           .repository = standard.repository,
                           .date = "2031-05-04",
                           .instructions = {"Print at 100 %."},
                           .cautions = standard.cautions};
  const LabelTextReader reader{standard};
  for (int page = 1; page <= placements.pages; ++page) {
    const GreyPicture picture = draw_page(placements, {}, header, standard, page, GetParam().dpi);
    std::multiset<std::string> expected;
    for (const PlacedLabel& label : placements.labels)
      if (label.page == page) expected.insert(label.number);
    const std::vector<std::string> numbers = sure_numbers(reader, picture.view());
    EXPECT_EQ(std::multiset<std::string>(numbers.begin(), numbers.end()), expected) << "page " << page;
  }
}

INSTANTIATE_TEST_SUITE_P(LabelText, CleanSheet,
                         ::testing::Values(SheetCase{"ostervane", 300}, SheetCase{"ostervane", 600},
                                           SheetCase{"quillow_ferry", 300}, SheetCase{"quillow_ferry", 600}),
                         [](const auto& row) { return row.param.standard + (row.param.dpi > 400 ? "_600" : "_300"); });

// --- Photographs ----------------------------------------------------------------------------------------------------

struct Tally {
  int right = 0;
  int wrong = 0;
  std::string mistakes;
};

Tally read_trials(const std::string& name, const TrialConditions& conditions, int trials, std::uint64_t seed) {
  HouseStandard standard = standard_of(name);
  standard.artifact.size_pt = conditions.size_pt;
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  Tally tally;
  for (int i = 0; i < trials; ++i) {
    SeededRandom random{seed + static_cast<std::uint64_t>(i) * 7919};
    const PrintedNumber number = scenes::random_number(standard, random);
    const Trial trial = scenes::make_trial(standard, face, number, conditions, random);
    const std::vector<std::string> numbers = sure_numbers(reader, trial.picture.view());
    for (const std::string& read : numbers) {
      if (read == trial.number) continue;
      ++tally.wrong;
      tally.mistakes += read + " for " + trial.number + "; ";
    }
    if (numbers == std::vector<std::string>{trial.number}) ++tally.right;
  }
  return tally;
}

TEST(LabelText, nearly_all_mild_photographs_are_read_and_none_wrongly) {
  TrialConditions mild;
  mild.px_per_mm = 12;
  mild.most_tilt_deg = 10;
  mild.blur_px = 0.7;
  mild.noise_levels = 3;
  for (const char* name : {"ostervane", "quillow_ferry"}) {
    const Tally tally = read_trials(name, mild, 40, 91);
    EXPECT_GE(tally.right, 38) << name;
    EXPECT_EQ(tally.wrong, 0) << name << ": " << tally.mistakes;
  }
}

TEST(LabelText, a_label_with_a_covered_end_is_never_read_as_a_shorter_number) {
  TrialConditions covered;
  covered.px_per_mm = 12;
  for (const Cover cover : {Cover::right_end, Cover::left_end, Cover::upper_half, Cover::middle})
    for (const double light : {0.15, 0.45, 0.85}) {
      covered.cover = cover;
      covered.cover_light = light;
      const Tally tally = read_trials("quillow_ferry", covered, 6, 17);
      EXPECT_EQ(tally.wrong, 0) << tally.mistakes;
      EXPECT_EQ(tally.right, 0);
    }
}

// The trap of the shorter number: 16LA3/34 is a beginning of 16LA3/347, and the cover ends just behind the 4.
TEST(LabelText, a_number_cut_between_two_characters_is_not_read) {
  const HouseStandard standard = standard_of("quillow_ferry");
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  for (const std::string text : {"16LA3/2.347", "22LD414/525.974-66"}) {
    const PrintedNumber number = printed(standard, text);
    TrialConditions conditions;
    conditions.px_per_mm = 14;
    conditions.trim_error_mm = 0;
    conditions.least_turn_deg = conditions.most_turn_deg = 0;
    SeededRandom random{3};
    const Trial whole = scenes::make_trial(standard, face, number, conditions, random);
    ASSERT_EQ(sure_numbers(reader, whole.picture.view()), std::vector<std::string>{text});
    const double advance = face.advance_em(U'0') * 5 * 25.4 / 72 * conditions.px_per_mm;
    for (const std::uint8_t light : {std::uint8_t{30}, std::uint8_t{90}, std::uint8_t{150}, std::uint8_t{190}}) {
      for (double at = -0.3; at <= 0.3; at += 0.1) {
        GreyPicture picture = whole.picture;
        const double right = whole.corners[1].x - 0.5 * conditions.px_per_mm;
        const int edge = static_cast<int>(right - (1 + at) * advance);
        for (int y = 0; y < picture.height_px(); ++y)
          for (int x = edge; x < picture.width_px(); ++x) picture.row(y)[x] = light;
        EXPECT_EQ(sure_numbers(reader, picture.view()), std::vector<std::string>{}) << text << " " << at;
      }
    }
  }
}

// With a felt pen, right across or nearly: it says nothing, but a label is there.
TEST(LabelText, a_number_that_was_crossed_out_was_seen_but_not_read) {
  constexpr double k_px_per_mm = 14;
  const HouseStandard standard = standard_of("quillow_ferry");
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  for (const double inset_mm : {-0.3, 0.3, 0.8})
    for (const double thickness_mm : {0.3, 0.5}) {
      SeededRandom random{59};
      Trial trial = scenes::make_trial(
          standard, face, printed(standard, "16LA3/2.347"),
          {.px_per_mm = k_px_per_mm, .trim_error_mm = 0, .least_turn_deg = 0, .most_turn_deg = 0}, random);
      const double em_px = pt_to_mm(standard.artifact.size_pt) * k_px_per_mm;
      const double margin_px = standard.artifact.trim_tolerance_mm * k_px_per_mm;
      const double middle_y = trial.corners[0].y + margin_px + 0.36 * em_px;
      for (int y = static_cast<int>(middle_y - thickness_mm / 2 * k_px_per_mm);
           y < static_cast<int>(middle_y + thickness_mm / 2 * k_px_per_mm); ++y)
        for (int x = static_cast<int>(trial.corners[0].x + margin_px + inset_mm * k_px_per_mm);
             x < static_cast<int>(trial.corners[1].x - margin_px - inset_mm * k_px_per_mm); ++x)
          trial.picture.row(y)[x] = 20;
      const std::vector<TextReading> seen =
          reader.search(trial.picture.view(), {.shown = {.px_per_mm = {k_px_per_mm}}});
      EXPECT_TRUE(std::none_of(seen.begin(), seen.end(), [](const TextReading& one) { return one.sure; }));
      EXPECT_TRUE(
          std::any_of(seen.begin(), seen.end(),
                      [&](const TextReading& one) { return std::abs(one.px_per_mm_of_rule / k_px_per_mm - 1) < 0.3; }))
          << inset_mm << " " << thickness_mm;
    }
}

// It lies on a form, say, whose line begins where the label's paper ends; not one whose line is the label's own.
TEST(LabelText, a_covered_label_is_seen_although_another_line_carries_its_rule_on_behind_its_margin) {
  constexpr double k_px_per_mm = 14;
  const HouseStandard standard = standard_of("quillow_ferry");
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  for (const bool from_the_paper : {true, false}) {
    SeededRandom random{61};
    Trial trial = scenes::make_trial(standard, face, printed(standard, "16LA3/2.347"),
                                     {.px_per_mm = k_px_per_mm,
                                      .body_light = 0.85,
                                      .trim_error_mm = 0,
                                      .cover = Cover::upper_half,
                                      .least_turn_deg = 0,
                                      .most_turn_deg = 0},
                                     random);
    const double margin_px = standard.artifact.trim_tolerance_mm * k_px_per_mm;
    const int rule_y = static_cast<int>(trial.corners[3].y - margin_px - standard.artifact.rule_mm / 2 * k_px_per_mm);
    for (int x = 0; x < trial.picture.width_px(); ++x)
      if (!from_the_paper || x < trial.corners[0].x || x > trial.corners[1].x)
        for (const int y : {rule_y, rule_y + 1}) trial.picture.row(y)[x] = 25;
    const std::vector<TextReading> seen = reader.search(trial.picture.view(), {.shown = {.px_per_mm = {k_px_per_mm}}});
    EXPECT_EQ(from_the_paper, std::any_of(seen.begin(), seen.end(), [&](const TextReading& one) {
                return std::abs(one.px_per_mm_of_rule / k_px_per_mm - 1) < 0.15;
              }));
  }
}

// --- Labels that the picture's border cuts off
// ------------------------------------------------------------------------

// What the picture keeps when its border runs across a label, so many pixels behind the beginning of its paper.
GreyView cut_behind(const Trial& trial, double kept_px) {
  const GreyView whole = trial.picture.view();
  const PointF from = trial.corners[0], to = trial.corners[1];
  const auto w = whole.width_px, h = whole.height_px;
  if (std::abs(to.x - from.x) > std::abs(to.y - from.y)) {
    const int at = static_cast<int>(from.x + (to.x > from.x ? kept_px : -kept_px));
    return to.x > from.x ? whole.crop(0, 0, at, h) : whole.crop(at, 0, w - at, h);
  }
  const int at = static_cast<int>(from.y + (to.y > from.y ? kept_px : -kept_px));
  return to.y > from.y ? whole.crop(0, 0, w, at) : whole.crop(0, at, w, h - at);
}

TEST(LabelText, a_label_of_which_the_border_leaves_little_more_than_a_character_was_seen_but_not_read) {
  constexpr double k_px_per_mm = 12, k_advance_mm = 0.6 * 5 * 25.4 / 72;
  for (const auto& [name, text] :
       {std::pair{"quillow_ferry", "IF-2031-846"}, {"quillow_ferry", "16LA3/2.347"}, {"ostervane", "2063-663-3zf"}}) {
    const HouseStandard standard = standard_of(name);
    const Typeface face = Typeface::find(standard.artifact.font);
    const LabelTextReader reader{standard};
    for (const double turn : {0.0, 90.0, 180.0, -90.0}) {
      SeededRandom random{57};
      const Trial trial = scenes::make_trial(
          standard, face, printed(standard, text),
          {.px_per_mm = k_px_per_mm, .trim_error_mm = 0, .least_turn_deg = turn, .most_turn_deg = turn}, random);
      const auto seen_with = [&](double characters) {
        const double kept_mm = standard.artifact.trim_tolerance_mm + characters * k_advance_mm;
        return reader.search(cut_behind(trial, kept_mm * k_px_per_mm), {.shown = {.px_per_mm = {k_px_per_mm}}});
      };
      for (const double characters : {1.3, 1.6, 2.5}) {
        const std::vector<TextReading> seen = seen_with(characters);
        const auto of_a_rule = [&](const TextReading& one) {
          return !one.sure && std::abs(one.px_per_mm_of_rule / k_px_per_mm - 1) < 0.15;
        };
        EXPECT_TRUE(std::any_of(seen.begin(), seen.end(), of_a_rule)) << text << " " << turn << " " << characters;
        EXPECT_TRUE(std::none_of(seen.begin(), seen.end(), [](const TextReading& one) { return one.sure; }));
      }
      EXPECT_TRUE(seen_with(-0.3).empty()) << "blank paper at the border, " << text << " " << turn;
    }
  }
}

TEST(LabelText, the_rule_tells_which_way_is_up) {
  const HouseStandard standard = standard_of("quillow_ferry");
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  TrialConditions conditions;
  for (const std::string text : {"IF-1996-966", "IF-1999-696", "IF-1996-668", "16WO9/66.99", "16WO9/99.66"}) {
    for (const double turn : {0.0, 90.0, 180.0, 270.0, 37.0, 217.0}) {
      conditions.least_turn_deg = conditions.most_turn_deg = turn;
      SeededRandom random{11};
      const Trial trial = scenes::make_trial(standard, face, printed(standard, text), conditions, random);
      EXPECT_EQ(sure_numbers(reader, trial.picture.view()), std::vector<std::string>{text}) << turn;
    }
  }
}

TEST(LabelText, a_number_over_two_lines_is_read_as_one) {
  HouseStandard standard = standard_of("ostervane");
  standard.artifact.widest_mm = 10;
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  for (const std::string text : {"2031-114-12", "1999-66-1234b"}) {
    const PrintedNumber number = printed(standard, text);
    ASSERT_GE(number.lines.size(), 2U);
    for (const double turn : {5.0, 170.0, 265.0}) {
      TrialConditions conditions;
      conditions.least_turn_deg = conditions.most_turn_deg = turn;
      conditions.px_per_mm = 12;
      SeededRandom random{5};
      const Trial trial = scenes::make_trial(standard, face, number, conditions, random);
      EXPECT_EQ(sure_numbers(reader, trial.picture.view()), std::vector<std::string>{text}) << turn;
    }
  }
}

// --- What is not ours -----------------------------------------------------------------------------------------------

TEST(LabelText, a_wrong_check_character_is_not_believed) {
  const HouseStandard standard = standard_of("ostervane");
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  PrintedNumber number = printed(standard, "2031-114-12");
  number.lines.back().back() = number.lines.back().back() == 'A' ? 'B' : 'A';
  SeededRandom random{5};
  const Trial trial = scenes::make_trial(standard, face, number, {}, random);
  EXPECT_EQ(sure_numbers(reader, trial.picture.view()), std::vector<std::string>{});
}

// DejaVu Sans Mono is left out: the default house font is drawn after it and a person cannot tell them apart either.
TEST(LabelText, other_typefaces_are_not_ours_even_with_a_rule_under_them) {
  const HouseStandard standard = standard_of("quillow_ferry");
  const LabelTextReader reader{standard};
  for (const char* family :
       {"Liberation Mono", "Liberation Sans", "DejaVu Sans", "B612 Mono", "Noto Sans", "Open Sans"}) {
    const Typeface face = Typeface::find(family);
    for (const std::string text : {"16LA3/2.347", "IF-1996-966", "22LD414/525.974-66"}) {
      TrialConditions conditions;
      conditions.px_per_mm = 14;
      SeededRandom random{8};
      const Trial trial = scenes::make_trial(standard, face, printed(standard, text), conditions, random);
      EXPECT_EQ(sure_numbers(reader, trial.picture.view()), std::vector<std::string>{}) << family << " " << text;
    }
  }
}

TEST(LabelText, the_house_font_without_a_rule_is_not_a_label) {
  HouseStandard standard = standard_of("quillow_ferry");
  const LabelTextReader reader{standard};
  const Typeface face = Typeface::find(standard.artifact.font);
  standard.artifact.rule_mm = 0;
  for (const std::string text : {"16LA3/2.347", "IF-1996-966"}) {
    TrialConditions conditions;
    conditions.px_per_mm = 14;
    SeededRandom random{8};
    const Trial trial = scenes::make_trial(standard, face, printed(standard, text), conditions, random);
    EXPECT_EQ(sure_numbers(reader, trial.picture.view()), std::vector<std::string>{}) << text;
  }
}

TEST(LabelText, nothing_is_read_in_photographs_without_labels) {
  const auto photos = testing::photo_folder();
  if (!photos) GTEST_SKIP() << "the folder of photographs is absent: set SHERDMARK_PHOTOS to it";
  const LabelTextReader reader{standard_of("quillow_ferry")};  // no check character: the easier to deceive
  int images = 0;
  for (const auto& entry : std::filesystem::directory_iterator{*photos / "no-code"}) {
    const Bytes bytes = real_file_system().read(entry.path(), std::size_t{64} << 20U);
    for (const ImagePage& page : read_image(bytes, entry.path().string())) {
      EXPECT_EQ(sure_numbers(reader, page.grey.view()), std::vector<std::string>{}) << entry.path();
    }
    ++images;
  }
  EXPECT_EQ(images, 18);
}

TEST(LabelText, an_empty_a_tiny_and_a_plain_picture_hold_nothing) {
  const LabelTextReader reader{standard_of("ostervane")};
  EXPECT_TRUE(reader.read(GreyView{}, {}).empty());
  for (const int side : {1, 2, 7, 33, 300}) {
    const GreyPicture plain{side, side, 200};
    EXPECT_TRUE(reader.read(plain.view(), {}).empty()) << side;
    GreyPicture grid{side, side, 200};
    for (int y = 0; y < side; ++y)
      for (int x = 0; x < side; ++x)
        if (x % 5 == 0 || y % 9 == 0) grid.row(y)[x] = 10;
    EXPECT_EQ(sure_numbers(reader, grid.view()), std::vector<std::string>{}) << side;
  }
}

TEST(LabelText, masked_places_are_not_searched) {
  const HouseStandard standard = standard_of("ostervane");
  const Typeface face = Typeface::find(standard.artifact.font);
  const LabelTextReader reader{standard};
  SeededRandom random{5};
  const Trial trial = scenes::make_trial(standard, face, printed(standard, "2031-114-12"), {}, random);
  ASSERT_EQ(sure_numbers(reader, trial.picture.view()).size(), 1U);
  const double w = trial.picture.width_px(), h = trial.picture.height_px();
  EXPECT_TRUE(reader.read(trial.picture.view(), {Corners{PointF{0, 0}, {w, 0}, {w, h}, {0, h}}}).empty());
}

TEST(LabelText, the_search_of_the_hardest_picture_ends_when_its_time_is_up_and_says_so) {
  const LabelTextReader reader{standard_of("ostervane")};
  const GreyPicture picture = scenes::full_of_rules(3000, 2000);
  for (const unsigned threads : {1U, 2U}) {
    const std::clock_t start = std::clock();
    const std::vector<TextReading> texts = reader.search(picture.view(), {.budget_ms = 400, .threads = threads});
    const double spent_ms = 1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    ASSERT_FALSE(texts.empty());
    EXPECT_EQ(texts.back().why_not, "gave up after 0.4 s");
    EXPECT_FALSE(texts.back().sure);
    EXPECT_GT(spent_ms, 350) << "it gave up too early";
    EXPECT_LT(spent_ms, 1500) << "what was begun is finished, and no more";
  }
}

}  // namespace
}  // namespace sherdmark
