// The label on its object: as usual where there is room, smaller where there is little, none where there is too little.
#include "sherdmark/sheet/label_fit.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "sheet/sheet_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

class LabelFit : public ::testing::Test {
 protected:
  [[nodiscard]] ArtifactLabelFit fit(const std::string& number, std::optional<double> largest_mm) const {
    return fit_artifact_label(standard_.parse_number(number)->number, largest_mm, standard_, face_);
  }
  HouseStandard standard_ = sample_standard("quillow_ferry");
  Typeface face_ = Typeface::find(standard_.artifact.font);
};

double longer_side(const LabelSize& size) { return std::max(size.w_mm, size.h_mm); }

TEST_F(LabelFit, object_with_room_gets_the_usual_label_and_so_does_one_that_nobody_measured) {
  const ArtifactLabelFit large = fit("16ZQ5/12.3-2", 80);
  EXPECT_TRUE(large.as_usual);
  EXPECT_EQ(large.size_pt, standard_.artifact.size_pt);
  EXPECT_EQ(large.lines, std::vector<std::string>{"16ZQ5/12.3-2"});
  const ArtifactLabelFit unknown = fit("16ZQ5/12.3-2", std::nullopt);
  EXPECT_EQ(unknown.lines, large.lines);
  EXPECT_EQ(unknown.allowed_mm, 0);
  EXPECT_NE(unknown.reason.find("not measured"), std::string::npos);
}

TEST_F(LabelFit, small_object_gets_more_lines_first_and_smaller_type_then_and_never_more_than_its_share) {
  double size_before = 100;
  std::size_t lines_before = 0;
  for (double largest = 60; largest >= 6; largest -= 0.5) {
    const ArtifactLabelFit one = fit("16ZQ5/12.3-2", largest);
    EXPECT_EQ(join(one.lines, ""), "16ZQ5/12.3-2");
    if (!one.fits) {
      EXPECT_GT(longer_side(one.size), largest / 2);
      continue;
    }
    EXPECT_LE(longer_side(one.size), largest / 2 + 1e-6) << largest;
    EXPECT_LE(one.size_pt, size_before);
    EXPECT_GE(one.size_pt, standard_.artifact.smallest_pt);
    if (one.size_pt < standard_.artifact.size_pt) {
      EXPECT_GE(lines_before, 2U) << "smaller type before the lines were broken";
    }
    size_before = one.size_pt;
    lines_before = std::max(lines_before, one.lines.size());
  }
  EXPECT_LT(size_before, standard_.artifact.size_pt);
}

TEST_F(LabelFit, nine_millimetre_bead_is_refused_with_the_smallest_label_that_would_do) {
  const ArtifactLabelFit bead = fit("16ZQ5/12.3-2", 9);
  EXPECT_FALSE(bead.fits);
  EXPECT_EQ(bead.size_pt, standard_.artifact.smallest_pt);
  EXPECT_NE(bead.reason.find("50 % of 9 mm is 4.5 mm"), std::string::npos) << bead.reason;
  EXPECT_NE(bead.reason.find("the smallest that would do is"), std::string::npos) << bead.reason;
  // Nothing smaller would do: just under twice its longer side it is refused, and at that it fits.
  const double needed = 2 * longer_side(bead.size);
  EXPECT_FALSE(fit("16ZQ5/12.3-2", needed - 0.01).fits);
  EXPECT_TRUE(fit("16ZQ5/12.3-2", needed + 0.01).fits);
  ArtifactLabelRequest request{standard_.parse_number("16ZQ5/12.3-2")->number, "16ZQ5/12", 1, 1, 9.0};
  EXPECT_THROW((void)lay_out_artifact_labels({request}, standard_, "R1"), Error);
}

TEST_F(LabelFit, micro_code_counts_with_the_text) {
  const double needed = 2 * longer_side(fit("16ZQ5/12.3-2", 9).size) + 0.01;
  standard_.artifact.micro_code = MicroCode::data_matrix;
  EXPECT_FALSE(fit("16ZQ5/12.3-2", needed).fits);
}

TEST_F(LabelFit, labels_as_cut_stay_within_the_share_although_they_share_cells) {
  std::vector<ArtifactLabelRequest> requests;
  for (int i = 1; i <= 60; ++i) {
    const auto number = standard_.parse_number("16ZQ5/12." + std::to_string(i * 7));
    requests.push_back({number->number, "16ZQ5/12", 1, 1, 13.5 + i % 9});
  }
  for (const bool keep_order : {false, true}) {
    standard_.trimmer.keep_order = keep_order;
    const Placements placements = lay_out_artifact_labels(requests, standard_, "R1");
    ASSERT_EQ(placements.labels.size(), requests.size());
    for (const PlacedLabel& label : placements.labels) {
      const auto request = std::ranges::find_if(
          requests, [&](const ArtifactLabelRequest& one) { return one.number.text() == label.number; });
      EXPECT_LE(std::max(label.w_mm, label.h_mm), *request->largest_mm / 2 + 1e-6) << label.number;
      EXPECT_LE(label.font_pt, standard_.artifact.size_pt);
    }
  }
}

}  // namespace
}  // namespace sherdmark
