// Where labels lie: no two overlap, all lie within the margins, identical numbers lie together, quiet zones are clear.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "sheet/sheet_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/random.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/label_geometry.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

constexpr double k_hair_mm = 1e-6;

bool overlap(const PlacedLabel& a, const PlacedLabel& b) {
  return a.page == b.page && a.x_mm < b.x_mm + b.w_mm - k_hair_mm && b.x_mm < a.x_mm + a.w_mm - k_hair_mm &&
         a.y_mm < b.y_mm + b.h_mm - k_hair_mm && b.y_mm < a.y_mm + a.h_mm - k_hair_mm;
}

void expect_no_overlap(const Placements& placements) {
  for (std::size_t i = 0; i < placements.labels.size(); ++i)
    for (std::size_t j = i + 1; j < placements.labels.size(); ++j)
      ASSERT_FALSE(overlap(placements.labels[i], placements.labels[j])) << i << " and " << j;
}

void expect_inside(const Placements& placements, const SheetStock& stock) {
  for (const PlacedLabel& label : placements.labels) {
    EXPECT_GE(label.x_mm, stock.margin_left_mm);
    EXPECT_GE(label.y_mm, stock.margin_top_mm);
    EXPECT_LE(label.x_mm + label.w_mm, stock.width_mm - stock.margin_right_mm);
    EXPECT_LE(label.y_mm + label.h_mm, stock.height_mm - stock.margin_bottom_mm);
    EXPECT_GE(label.page, 1);
    EXPECT_LE(label.page, placements.pages);
  }
}

// The code with its quiet zone lies on its label, at least `clear_mm` from every cut, on the printer's dots.
void expect_code_inside(const PlacedLabel& label, double clear_mm, int dpi) {
  ASSERT_TRUE(label.code.has_value());
  const PlacedCode& code = *label.code;
  EXPECT_GE(code.x_mm, label.x_mm + clear_mm - k_hair_mm);
  EXPECT_GE(code.y_mm, label.y_mm + clear_mm - k_hair_mm);
  EXPECT_LE(code.x_mm + code.size_mm, label.x_mm + label.w_mm - clear_mm + k_hair_mm);
  EXPECT_LE(code.y_mm + code.size_mm, label.y_mm + label.h_mm - clear_mm + k_hair_mm);
  for (const double mm : {code.x_mm, code.y_mm, code.size_mm})
    EXPECT_NEAR(mm_to_dots(mm, dpi), std::round(mm_to_dots(mm, dpi)), 1e-6);
}

TEST(Layout, artifact_labels_never_overlap_and_stay_within_the_margins) {
  for (const std::string& name : sample_standard_names()) {
    const HouseStandard standard = sample_standard(name);
    const Placements placements = lay_out_artifact_labels(sample_artifacts(standard), standard, "R1");
    expect_no_overlap(placements);
    expect_inside(placements, standard.artifact_stock);
  }
}

TEST(Layout, the_text_keeps_the_trimming_tolerance_from_every_cut) {
  for (const std::string& name : sample_standard_names()) {
    const HouseStandard standard = sample_standard(name);
    const Typeface face = Typeface::find(standard.artifact.font);
    const double tolerance = standard.artifact.trim_tolerance_mm;
    for (const PlacedLabel& label : lay_out_artifact_labels(sample_artifacts(standard), standard, "R1").labels) {
      const LabelSize least = artifact_label_size(label.lines, standard.artifact, face, std::nullopt, 600);
      EXPECT_LE(least.w_mm, label.w_mm + k_hair_mm) << label.number;
      EXPECT_LE(least.h_mm, label.h_mm + k_hair_mm) << label.number;
      EXPECT_GE(label_text_top_mm(label.h_mm, label.lines.size(), label.font_pt, standard.artifact.rule_mm),
                tolerance - k_hair_mm);
    }
  }
}

TEST(Layout, micro_codes_are_clear_of_the_text_and_of_every_cut) {
  for (const std::string& name : sample_standard_names())
    for (const MicroCode kind : {MicroCode::micro_qr, MicroCode::data_matrix}) {
      HouseStandard standard = sample_standard(name);
      standard.artifact.micro_code = kind;
      const Typeface face = Typeface::find(standard.artifact.font);
      std::vector<ArtifactLabelRequest> labels = sample_artifacts(standard);
      if (kind == MicroCode::micro_qr) {  // the longer numbers have no Micro QR
        std::erase_if(labels, [](const auto& label) { return label.number.text().size() > 11; });
        ASSERT_FALSE(labels.empty());
      }
      const Placements placements = lay_out_artifact_labels(labels, standard, "R1");
      expect_no_overlap(placements);
      for (const PlacedLabel& label : placements.labels) {
        expect_code_inside(label, standard.artifact.trim_tolerance_mm, placements.dpi);
        const LabelSize text = artifact_label_size(label.lines, standard.artifact, face, std::nullopt, 600);
        EXPECT_GE(label.code->x_mm, label.x_mm + text.w_mm - standard.artifact.trim_tolerance_mm);
      }
    }
}

TEST(Layout, carrier_labels_share_cut_lines_and_keep_their_codes_inside) {
  for (const std::string& name : sample_standard_names())
    for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
      const HouseStandard standard = sample_standard(name);
      const Placements placements = lay_out_carrier_labels(sample_carriers(standard, role, 30), standard, "R1");
      expect_no_overlap(placements);
      expect_inside(placements, standard.carrier_stock);
      std::set<long> columns;
      for (const PlacedLabel& label : placements.labels) {
        expect_code_inside(label, 0, placements.dpi);
        columns.insert(std::lround(label.x_mm * 100));
        columns.insert(std::lround((label.x_mm + label.w_mm) * 100));
      }
      EXPECT_LE(columns.size(), 4U) << "neighbours share a cut";
    }
}

TEST(Layout, modules_are_whole_dots_and_never_under_the_least_size) {
  for (const std::string& name : sample_standard_names())
    for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
      const HouseStandard standard = sample_standard(name);
      const double least = role == LabelRole::bag ? standard.bag.module_mm : standard.tag.module_mm;
      for (const PlacedLabel& label :
           lay_out_carrier_labels(sample_carriers(standard, role, 12), standard, "R1").labels) {
        EXPECT_GE(label.code->module_dots, 4);
        EXPECT_GE(dots_to_mm(label.code->module_dots, standard.printer.dpi), least - 0.005);
        EXPECT_NEAR(label.code->size_mm, dots_to_mm((label.code->modules + 8) * label.code->module_dots, 600), 1e-9);
      }
    }
}

TEST(Layout, every_copy_asked_for_is_there_and_identical_numbers_lie_together) {
  const HouseStandard standard = sample_standard("quillow_ferry");
  auto labels = sample_artifacts(standard);
  labels.push_back(artifact_request(standard, labels.front().number.text(), 4));  // asked for again at the end
  std::map<std::string, int> asked;
  for (const ArtifactLabelRequest& label : labels) asked[label.number.text()] += label.copies;
  std::map<std::string, int> found;
  std::set<std::string> finished;
  std::string last;
  const PlacedLabels laid_out = lay_out_artifact_labels(labels, standard, "R1").labels;
  std::vector<PlacedLabel> placed(laid_out.begin(), laid_out.end());
  std::ranges::stable_sort(placed, [](const PlacedLabel& a, const PlacedLabel& b) {  // as they come off the trimmer
    if (a.stack == 0 || b.stack == 0) return false;
    return std::tie(a.stack, a.x_mm, a.page, a.y_mm) < std::tie(b.stack, b.x_mm, b.page, b.y_mm);
  });
  for (const PlacedLabel& label : placed) {
    EXPECT_EQ(label.copy, ++found[label.number]);
    if (label.number != last) {
      EXPECT_TRUE(finished.insert(label.number).second) << label.number << " comes in two places";
    }
    last = label.number;
  }
  EXPECT_EQ(found, asked);
}

TEST(Layout, random_runs_never_overlap_whatever_the_numbers) {
  SeededRandom random{20310520};
  const HouseStandard base = sample_standard("quillow_ferry");
  for (int round = 0; round < 25; ++round) {
    HouseStandard standard = base;
    standard.artifact.size_pt = 4.0 + static_cast<double>(random.below(9)) / 4;
    standard.artifact.widest_mm = 6.0 + static_cast<double>(random.below(20));
    standard.artifact.micro_code = random.below(2) == 1 ? MicroCode::data_matrix : MicroCode::none;
    standard.artifact.check_character = random.below(2) == 1;
    std::vector<ArtifactLabelRequest> labels;
    const std::uint64_t count = 1 + random.below(60);
    for (std::uint64_t i = 0; i < count; ++i)
      labels.push_back(artifact_request(standard,
                                        "16ZQ" + std::to_string(1 + random.below(999)) + "/" +
                                            std::to_string(1 + random.below(99)) + "." +
                                            std::to_string(1 + random.below(999)),
                                        static_cast<int>(1 + random.below(7))));
    const Placements placements = lay_out_artifact_labels(labels, standard, "R1");
    expect_no_overlap(placements);
    expect_inside(placements, standard.artifact_stock);
    if (standard.artifact.micro_code != MicroCode::none)
      for (const PlacedLabel& label : placements.labels)
        expect_code_inside(label, standard.artifact.trim_tolerance_mm, placements.dpi);
  }
}

struct BreakCase {
  std::string number;
  double widest_mm;
  std::vector<std::string> lines;
};

TEST(Layout, lines_break_only_between_parts) {
  const HouseStandard standard = sample_standard("quillow_ferry");
  const Typeface face = Typeface::find(standard.artifact.font);
  // Hack's advance is 0.602 em: 1.062 mm at 5 pt.
  const std::vector<BreakCase> cases{
      {"16ZQ5/12.3-2", 25, {"16ZQ5/12.3-2"}},
      {"16ZQ5/12.3-2", 10, {"16ZQ5/", "12.3-2"}},            // two lines, the shorter widest line
      {"16ZQ5/12.3-2", 6, {"16ZQ5/", "12.", "3-2"}},         // 6 characters are 6.37 mm: the site alone is wider
      {"16ZQ1066/999.9999", 12, {"16ZQ1066/", "999.9999"}},  // never within the site number
  };
  for (const BreakCase& one : cases) {
    ArtifactLabelDesign design = standard.artifact;
    design.widest_mm = one.widest_mm;
    const Number number = artifact_request(standard, one.number).number;
    EXPECT_EQ(break_artifact_text(standard.scheme(number.scheme()), number, design, face), one.lines)
        << one.number << " in " << one.widest_mm << " mm";
  }
}

// The picture at 600 dpi has level lines at least a quarter as wide as the label, and at least 7 mm apart.
TEST(Layout, a_field_tag_has_lines_to_write_on_where_nothing_is_known_yet) {
  HouseStandard standard = sample_standard("ostervane");
  CarrierLabelRequest tag = carrier_request(standard, LabelRole::field_tag, "2031-114", 12);
  tag.fields = {{"bag", ""}, {"unit", ""}, {"level", ""}, {"date", ""}, {"excavators", ""}};
  tag.code_text = "SM1";
  const Placements placements = lay_out_carrier_labels({tag}, standard, "R1");
  const PlacedLabel& label = placements.labels.at(0);
  const GreyPicture page =
      draw_page(placements, {tag}, sample_header(standard, LabelRole::field_tag), standard, 1, 600);
  std::vector<double> lines_mm;
  for (double y = label.y_mm + label.h_mm * 0.3; y < label.y_mm + label.h_mm; y += dots_to_mm(1, 600)) {
    int dark = 0;
    for (double x = label.x_mm; x < label.x_mm + label.w_mm * 0.5; x += dots_to_mm(1, 600))
      if (page.view().at(static_cast<int>(mm_to_dots(x, 600)), static_cast<int>(mm_to_dots(y, 600))) < 128) ++dark;
    if (dark > mm_to_dots(label.w_mm * 0.25, 600) && (lines_mm.empty() || y - lines_mm.back() > 1))
      lines_mm.push_back(y);
  }
  ASSERT_GE(lines_mm.size(), 2U);
  for (std::size_t i = 1; i < lines_mm.size(); ++i) EXPECT_GE(lines_mm[i] - lines_mm[i - 1], 7.0);
}

TEST(Layout, a_number_too_long_for_a_micro_qr_is_named) {
  HouseStandard standard = sample_standard("quillow_ferry");
  standard.artifact.micro_code = MicroCode::micro_qr;
  try {
    (void)lay_out_artifact_labels({artifact_request(standard, "16ZQ1066/347.99-12")}, standard, "R1");
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.exit_code(), 3);
    EXPECT_EQ(error.problem(), "16ZQ1066/347.99-12 does not fit the artifact's micro-code.");
  }
}

TEST(Layout, what_cannot_be_made_is_said_in_words) {
  const HouseStandard standard = sample_standard("quillow_ferry");
  const auto problem = [](const auto& act) {
    try {
      act();
    } catch (const Error& error) {
      return std::pair{error.exit_code(), std::string{error.what()}};
    }
    return std::pair{0, std::string{"no error"}};
  };
  const auto none = problem([&] { (void)lay_out_artifact_labels({}, standard, "R1"); });
  EXPECT_EQ(none.first, 3);
  EXPECT_NE(none.second.find("no artifact label to make"), std::string::npos) << none.second;
  EXPECT_EQ(problem([&] { (void)lay_out_carrier_labels({}, standard, "R1"); }).first, 3);

  HouseStandard no_font = standard;
  no_font.artifact.font = "Nonesuch Grotesk";
  const auto missing = problem([&] { (void)lay_out_artifact_labels(sample_artifacts(no_font), no_font, "R1"); });
  EXPECT_EQ(missing.first, 4);
  EXPECT_NE(missing.second.find("Nonesuch Grotesk"), std::string::npos) << missing.second;

  HouseStandard large = standard;
  large.bag.width_mm = 300;
  const auto too_large =
      problem([&] { (void)lay_out_carrier_labels(sample_carriers(standard, LabelRole::bag, 1), large, "R1"); });
  EXPECT_EQ(too_large.first, 3);
  EXPECT_NE(too_large.second.find("larger than the page"), std::string::npos) << too_large.second;

  HouseStandard tiny_paper = standard;
  tiny_paper.artifact_stock.width_mm = 26;
  const auto no_room = problem([&] { (void)lay_out_artifact_labels(sample_artifacts(standard), tiny_paper, "R1"); });
  EXPECT_EQ(no_room.first, 3) << no_room.second;

  auto long_text = sample_carriers(standard, LabelRole::bag, 1);
  for (CarrierField& field : long_text[0].fields)
    if (field.name == "object")
      for (int i = 0; i < 40; ++i) field.text += " and another sherd of the very same bowl";
  const auto overflow = problem([&] { (void)lay_out_carrier_labels(long_text, standard, "R1"); });
  EXPECT_EQ(overflow.first, 3);
  EXPECT_NE(overflow.second.find("7KM00001"), std::string::npos) << overflow.second;
  EXPECT_NE(overflow.second.find("\"object\""), std::string::npos) << overflow.second;
  EXPECT_NE(overflow.second.find("mm too high"), std::string::npos) << overflow.second;

  auto endless = sample_carriers(standard, LabelRole::bag, 1);
  for (CarrierField& field : endless[0].fields)
    if (field.name == "object")
      for (int i = 0; i < 100'000; ++i) field.text += " sherd";
  const auto no_end = problem([&] { (void)lay_out_carrier_labels(endless, standard, "R1"); });
  EXPECT_NE(no_end.second.find("\"object\""), std::string::npos) << no_end.second;
  EXPECT_NE(no_end.second.find("mm too high"), std::string::npos) << no_end.second;

  auto strange = sample_carriers(standard, LabelRole::bag, 1);
  strange[0].fields[1].text = "\U00013080";  // a hieroglyph that the label's font has not
  const auto glyph = problem([&] { (void)lay_out_carrier_labels(strange, standard, "R1"); });
  EXPECT_EQ(glyph.first, 3);
  EXPECT_NE(glyph.second.find("lacks a character"), std::string::npos) << glyph.second;
}

}  // namespace
}  // namespace sherdmark
