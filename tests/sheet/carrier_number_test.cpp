// The large number of bag labels, tags, boxes: smaller type, then lines, then words.
#include "sheet/carrier_number.h"

#include <gtest/gtest.h>

#include "sheet/role_samples.h"
#include "sheet/sheet_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

const Typeface& bold() {
  static const Typeface k_face = Typeface::find("DejaVu Sans", true);
  return k_face;
}

double width_mm(const std::string& line, double size_pt) {
  return bold().width_em(*decode_utf8(line)) * pt_to_mm(size_pt);
}

TEST(CarrierNumber, one_line_then_smaller_type_then_more_lines_then_nothing) {
  const std::vector<std::string> pieces{"16ZQ9999/", "999.", "9999-", "9999"};
  const std::string whole = join(pieces, "");
  const double wide = width_mm(whole, 24) + 0.1;
  const CarrierNumber roomy = fit_carrier_number(pieces, bold(), 24, wide);
  EXPECT_EQ(roomy.size_pt, 24);
  EXPECT_EQ(roomy.lines, std::vector{whole});
  const CarrierNumber smaller = fit_carrier_number(pieces, bold(), 24, wide * 0.75);
  EXPECT_GE(smaller.size_pt, 17.75);
  EXPECT_LE(smaller.size_pt, 18);
  EXPECT_EQ(smaller.lines.size(), 1U);
  const CarrierNumber broken = fit_carrier_number(pieces, bold(), 24, wide * 0.5);
  EXPECT_EQ(broken.lines, (std::vector<std::string>{"16ZQ9999/", "999.9999-9999"}));
  EXPECT_GT(broken.size_pt, 18);
  EXPECT_EQ(fit_carrier_number(pieces, bold(), 24, wide * 0.26).lines.size(), 3U);
  const CarrierNumber refused = fit_carrier_number(pieces, bold(), 24, 12);
  EXPECT_GT(refused.too_wide_mm, 0);
  EXPECT_EQ(refused.size_pt, k_least_number_pt);
}

TEST(CarrierNumber, whatever_the_room_the_lines_fit_it_hold_the_whole_number_and_are_never_under_the_least_size) {
  const std::vector<std::string> pieces{"2031-", "114-", "99999zz"};
  int fitting = 0, last_refused_at = 0;
  for (int tenths = 50; tenths < 1500; ++tenths) {
    const double room = tenths / 10.0;
    const CarrierNumber number = fit_carrier_number(pieces, bold(), 20, room);
    if (number.too_wide_mm > 0) {
      last_refused_at = tenths;
      EXPECT_EQ(fitting, 0) << "more room, and it no longer fits: " << room;
      continue;
    }
    ++fitting;
    EXPECT_EQ(join(number.lines, ""), "2031-114-99999zz");
    EXPECT_GE(number.size_pt, k_least_number_pt);
    EXPECT_LE(number.size_pt, 20);
    for (const std::string& line : number.lines) EXPECT_LE(width_mm(line, number.size_pt), room + 1e-6);
  }
  EXPECT_NEAR(last_refused_at / 10.0, width_mm("99999zz", k_least_number_pt), 0.11);
}

TEST(CarrierNumber, breaks_between_the_parts_of_a_number_and_between_the_words_of_a_name) {
  const HouseStandard standard = sample_standard("quillow_ferry");
  EXPECT_EQ(number_pieces("16ZQ5/12.3-2", standard), (std::vector<std::string>{"16ZQ5/", "12.", "3-", "2"}));
  EXPECT_EQ(number_pieces("Oversize shelf, Box 12", standard),
            (std::vector<std::string>{"Oversize ", "shelf, ", "Box ", "12"}));
  EXPECT_EQ(number_pieces("B-7KM-00001", standard), (std::vector<std::string>{"B-", "7KM-", "00001"}));
}

class LongestNumbers : public ::testing::TestWithParam<std::string> {};
INSTANTIATE_TEST_SUITE_P(Samples, LongestNumbers, ::testing::ValuesIn(sample_standard_names()),
                         [](const auto& row) { return row.param; });

TEST_P(LongestNumbers, of_every_scheme_stand_whole_on_bag_label_tag_and_slip_as_poppler_reads_them) {
  const HouseStandard standard = sample_standard(GetParam());
  const ScratchFolder scratch;
  for (const LabelRole role : {LabelRole::bag, LabelRole::tag, LabelRole::removal_slip}) {
    std::vector<CarrierLabelRequest> labels;
    for (const Scheme& scheme : standard.schemes) {
      labels.push_back(role_samples(standard, role, 1).front());
      labels.back().number = scheme.longest_number();
    }
    const MadeSheets sheets = make_carrier_sheets(standard, labels, scratch / "sheet.pdf");
    std::string text = run({"pdftotext", "-layout", sheets.pdf.string(), "-"}).out;
    for (const PlacedLabel& label : sheets.placements.labels) {
      EXPECT_EQ(join(label.lines, ""), label.number);
      EXPECT_GE(label.font_pt, k_least_number_pt);
      for (const std::string& line : label.lines) EXPECT_NE(text.find(line), std::string::npos) << line << '\n' << text;
    }
  }
}

TEST(CarrierNumber, a_name_that_has_no_place_to_break_is_refused_in_words_that_say_by_how_much) {
  const HouseStandard standard = sample_standard("ostervane");
  CarrierLabelRequest box = role_samples(standard, LabelRole::box, 1).front();
  box.number = std::string(60, 'W');
  try {
    (void)lay_out_carrier_labels({box}, standard, "RUN1");
    FAIL() << "not refused";
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::data);
    EXPECT_NE(std::string{error.what()}.find("the field \"number\" is"), std::string::npos) << error.what();
    EXPECT_NE(std::string{error.what()}.find("mm too wide"), std::string::npos) << error.what();
  }
}

}  // namespace
}  // namespace sherdmark
