// The finished PDF seen by poppler: page size, fonts, text with its size and place, and the raster's rules.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <regex>
#include <sstream>

#include "sheet/raster.h"
#include "sheet/sheet_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/label_geometry.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

struct Word {
  double x_mm = 0;
  double y_mm = 0;
  double w_mm = 0;
  double h_mm = 0;
  std::string text;
};

std::vector<Word> words_of(const std::filesystem::path& pdf) {
  const std::string html = run({"pdftotext", "-bbox", pdf.string(), "-"}).out;
  static const std::regex k_word{
      R"re(<word xMin="([-0-9.]+)" yMin="([-0-9.]+)" xMax="([-0-9.]+)" yMax="([-0-9.]+)">([^<]*)</word>)re"};
  std::vector<Word> words;
  for (std::sregex_iterator it{html.begin(), html.end(), k_word}, end; it != end; ++it) {
    const auto mm = [&](int group) {
      return pt_to_mm(std::strtod((*it)[static_cast<std::size_t>(group)].str().c_str(), nullptr));
    };
    words.push_back({mm(1), mm(2), mm(3) - mm(1), mm(4) - mm(2), (*it)[5].str()});
  }
  return words;
}

double ends_at(const std::string& info, const std::string& key, int index) {
  const std::size_t at = info.find(key);
  std::istringstream in{info.substr(at + key.size())};
  double a = 0;
  double b = 0;
  std::string x;
  in >> a >> x >> b;
  return index == 0 ? a : b;
}

TEST(Pdf, pages_have_the_true_size_of_the_paper) {
  const ScratchFolder scratch;
  for (const std::string& name : sample_standard_names()) {
    const HouseStandard standard = sample_standard(name);
    const auto sheets = make_artifact_sheets(standard, sample_artifacts(standard), scratch / (name + ".pdf"));
    const std::string info = run({"pdfinfo", sheets.pdf.string()}).out;
    EXPECT_NEAR(pt_to_mm(ends_at(info, "Page size:", 0)), standard.artifact_stock.width_mm, 0.05) << info;
    EXPECT_NEAR(pt_to_mm(ends_at(info, "Page size:", 1)), standard.artifact_stock.height_mm, 0.05) << info;
    EXPECT_NE(info.find(name == "ostervane" ? "(A4)" : "(letter)"), std::string::npos) << info;
  }
}

TEST(Pdf, every_font_is_embedded_and_is_the_one_the_standard_names) {
  const ScratchFolder scratch;
  const HouseStandard standard = sample_standard("ostervane");
  for (const bool artifact : {true, false}) {
    const auto sheets =
        artifact ? make_artifact_sheets(standard, sample_artifacts(standard), scratch / "a.pdf")
                 : make_carrier_sheets(standard, sample_carriers(standard, LabelRole::bag, 3), scratch / "b.pdf");
    const auto lines = split(run({"pdffonts", sheets.pdf.string()}).out, '\n');
    ASSERT_GE(lines.size(), 4U);
    int hack = 0;
    for (std::size_t i = 2; i < lines.size(); ++i) {
      if (trim(lines[i]).empty()) continue;
      EXPECT_TRUE(lines[i].find("DejaVuSans") != std::string::npos || lines[i].find("Hack-") != std::string::npos)
          << lines[i];
      EXPECT_TRUE(std::regex_search(lines[i], std::regex{" yes (yes|no ) yes "})) << lines[i];  // emb, sub, uni
      if (lines[i].find("Hack-") != std::string::npos) ++hack;
    }
    EXPECT_EQ(hack, artifact ? 1 : 0);
  }
}

// Each line: its text stands where the placements say, is as wide as the sum of its advances, and has its size.
TEST(Pdf, artifact_text_stands_within_a_tenth_of_a_millimetre_of_its_place) {
  const ScratchFolder scratch;
  for (const std::string& name : sample_standard_names()) {
    const HouseStandard standard = sample_standard(name);
    const ArtifactLabelDesign& design = standard.artifact;
    const Typeface face = Typeface::find(design.font);
    const auto sheets = make_artifact_sheets(standard, sample_artifacts(standard), scratch / (name + ".pdf"));
    const std::vector<Word> words = words_of(sheets.pdf);
    double height = 0;
    for (const PlacedLabel& label : sheets.placements.labels)
      for (std::size_t i = 0; i < label.lines.size(); ++i) {
        const double x = label.x_mm + design.trim_tolerance_mm;
        const double baseline = label.y_mm +
                                label_text_top_mm(label.h_mm, label.lines.size(), label.font_pt, design.rule_mm) +
                                label_baseline_mm(i, label.font_pt);
        const auto found = std::find_if(words.begin(), words.end(), [&](const Word& word) {
          return word.text == label.lines[i] && std::abs(word.x_mm - x) < 0.1 && word.y_mm < baseline &&
                 word.y_mm + word.h_mm > baseline;
        });
        ASSERT_NE(found, words.end()) << label.lines[i] << " at " << x << ", " << baseline;
        const double width = face.width_em(decode_utf8(label.lines[i]).value()) * pt_to_mm(label.font_pt);
        EXPECT_NEAR(found->w_mm, width, 0.1) << label.lines[i];
        if (height == 0) height = found->h_mm;
        EXPECT_NEAR(found->h_mm, height, 0.01);
      }
    EXPECT_NEAR(height, 1.17 * pt_to_mm(design.size_pt),
                0.1 * pt_to_mm(design.size_pt));  // ascent + descent of the face
  }
}

// The rule is looked for in the raster at 600 dpi: dark from the pen's start to its end, light beyond.
TEST(Pdf, each_line_stands_on_a_rule_exactly_as_long_as_the_line) {
  constexpr double k_dpi = 600;
  const ScratchFolder scratch;
  for (const std::string& name : sample_standard_names()) {
    const HouseStandard standard = sample_standard(name);
    const ArtifactLabelDesign& design = standard.artifact;
    const Typeface face = Typeface::find(design.font);
    const auto sheets = make_artifact_sheets(standard, sample_artifacts(standard), scratch / (name + ".pdf"));
    const GreyPicture page = read_pgm(rasterise(sheets.pdf, 600).at(0));
    const auto dark = [&](double x_mm, double y_mm) {
      return page.view().at(static_cast<int>(mm_to_dots(x_mm, k_dpi)), static_cast<int>(mm_to_dots(y_mm, k_dpi))) < 128;
    };
    for (const PlacedLabel& label : sheets.placements.labels) {
      if (label.page != 1) break;
      for (std::size_t i = 0; i < label.lines.size(); ++i) {
        const double em = pt_to_mm(label.font_pt);
        const double x = label.x_mm + design.trim_tolerance_mm;
        const double width = face.width_em(decode_utf8(label.lines[i]).value()) * em;
        const double top = label.y_mm +
                           label_text_top_mm(label.h_mm, label.lines.size(), label.font_pt, design.rule_mm) +
                           label_baseline_mm(i, label.font_pt) + k_rule_gap_em * em;
        const double middle = top + design.rule_mm / 2;
        for (double at = 0.05; at < width - 0.05; at += 0.1) ASSERT_TRUE(dark(x + at, middle)) << label.lines[i];
        EXPECT_FALSE(dark(x - 0.1, middle)) << label.lines[i];
        EXPECT_FALSE(dark(x + width + 0.1, middle)) << label.lines[i];
        EXPECT_FALSE(dark(x + width / 2, top - 0.06)) << label.lines[i];
        EXPECT_FALSE(dark(x + width / 2, top + design.rule_mm + 0.06)) << label.lines[i];
      }
    }
  }
}

TEST(Pdf, a_person_can_search_a_bag_label_for_all_that_it_says) {
  const ScratchFolder scratch;
  const HouseStandard standard = sample_standard("ostervane");
  const auto sheets = make_carrier_sheets(standard, sample_carriers(standard, LabelRole::bag, 3), scratch / "b.pdf");
  std::string text = run({"pdftotext", "-raw", sheets.pdf.string(), "-"}).out;
  std::replace(text.begin(), text.end(), '\n', ' ');
  for (const CarrierLabelRequest& label : sheets.carriers) {
    EXPECT_NE(text.find(label.number), std::string::npos) << label.number;
    EXPECT_NE(text.find(label.serial), std::string::npos) << label.serial;
    EXPECT_NE(text.find("rev. " + std::to_string(label.revision)), std::string::npos);
    for (const CarrierField& field : label.fields)
      EXPECT_NE(text.find(field.text), std::string::npos) << field.name << " in " << text;
  }
  for (const std::string word : {"run R7KM00003", "page 1 of 1", "100 mm end to end", "Print at 100 %"})
    EXPECT_NE(text.find(word), std::string::npos) << word;
}

TEST(Pdf, the_scale_bar_measures_what_it_says) {
  const ScratchFolder scratch;
  for (const std::string& name : sample_standard_names()) {
    const HouseStandard standard = sample_standard(name);
    const auto sheets = make_artifact_sheets(standard, sample_artifacts(standard), scratch / (name + ".pdf"));
    const GreyPicture page = read_pgm(rasterise(sheets.pdf, 600).at(0));
    int longest = 0;
    for (int y = page.height_px() - 600; y < page.height_px(); ++y) {
      int run_px = 0;
      for (int x = 0; x < page.width_px(); ++x) {
        run_px = page.row(y)[x] < 128 ? run_px + 1 : 0;
        longest = std::max(longest, run_px);
      }
    }
    EXPECT_NEAR(dots_to_mm(longest, 600), name == "ostervane" ? 100.0 : 101.6, 0.05) << name;
  }
}

TEST(Pdf, the_same_input_gives_the_same_bytes) {
  const ScratchFolder scratch;
  const HouseStandard standard = sample_standard("quillow_ferry");
  const auto artifacts = make_artifact_sheets(standard, sample_artifacts(standard), scratch / "a.pdf");
  EXPECT_EQ(pdf_bytes(artifacts, standard), pdf_bytes(artifacts, standard));
  const auto bags = make_carrier_sheets(standard, sample_carriers(standard, LabelRole::bag, 9), scratch / "b.pdf");
  EXPECT_EQ(pdf_bytes(bags, standard), pdf_bytes(bags, standard));
}

TEST(Pdf, a_full_disk_is_passed_on_and_nothing_more_is_written) {
  const ScratchFolder scratch;
  const HouseStandard standard = sample_standard("quillow_ferry");
  const auto sheets = make_artifact_sheets(standard, sample_artifacts(standard), scratch / "a.pdf");
  int calls_after = 0;
  bool thrown = false;
  EXPECT_THROW(draw_pdf(sheets.placements, sheets.carriers, sheets.header, standard,
                        [&](std::span<const std::byte>) {
                          if (thrown) ++calls_after;
                          thrown = true;
                          throw environment_error("the disk is full.", {}, "Free some space.");
                        }),
               Error);
  EXPECT_EQ(calls_after, 0);
}

// Sum of the differences between two pictures in a window, as a share of the ink there.
double difference(const GreyPicture& a, const GreyPicture& b, int left, int top, int width, int height) {
  double sum = 0;
  double ink = 0;
  for (int y = top; y < top + height; ++y)
    for (int x = left; x < left + width; ++x) {
      sum += std::abs(a.row(y)[x] - b.row(y)[x]);
      ink += 255 - a.row(y)[x];
    }
  return sum / ink;
}

// draw_page is the same drawing as the PDF. Poppler sets glyphs on whole or quarter pixels, so text differs by half a
// pixel's edge (0.23 of the ink; two pixels aside it would be 0.6); codes do not.
TEST(Pdf, a_page_drawn_as_a_picture_is_the_page_of_the_pdf) {
  const ScratchFolder scratch;
  const HouseStandard standard = sample_standard("quillow_ferry");
  const auto sheets = make_carrier_sheets(standard, sample_carriers(standard, LabelRole::bag, 3), scratch / "b.pdf");
  const GreyPicture by_poppler = read_pgm(rasterise(sheets.pdf, 300).at(0));
  const GreyPicture ours = draw_page(sheets.placements, sheets.carriers, sheets.header, standard, 1, 300);
  ASSERT_EQ(ours.width_px(), by_poppler.width_px());
  ASSERT_EQ(ours.height_px(), by_poppler.height_px());
  EXPECT_LT(difference(by_poppler, ours, 0, 0, ours.width_px(), ours.height_px()), 0.3);
  for (const PlacedLabel& label : sheets.placements.labels) {
    const auto px = [](double mm) { return static_cast<int>(mm_to_dots(mm, 300)); };
    EXPECT_LT(difference(by_poppler, ours, px(label.code->x_mm), px(label.code->y_mm), px(label.code->size_mm),
                         px(label.code->size_mm)),
              0.05);
  }
  std::string png;
  write_png(ours.view(), [&png](std::span<const std::byte> part) {
    png.append(reinterpret_cast<const char*>(part.data()), part.size());
  });
  EXPECT_EQ(png.substr(1, 3), "PNG");
}

}  // namespace
}  // namespace sherdmark
