// The cutting plan, followed stroke by stroke on paper that knows only the placements.
#include "sherdmark/sheet/cutting.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <iostream>

#include "sheet/sheet_samples.h"
#include "sheet/trimming.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

TEST(Cutting, whoever_follows_the_list_holds_every_label_and_has_made_the_strokes_it_says) {
  for (const std::string& name : sample_standard_names())
    for (const bool keep_order : {false, true}) {
      HouseStandard standard = sample_standard(name);
      standard.trimmer.keep_order = keep_order;
      const Placements placements = lay_out_artifact_labels(sample_artifacts(standard), standard, "R1");
      const CuttingPlan plan = plan_cutting(placements, standard.trimmer);
      const Trimmed trimmed = follow(plan, placements, standard.trimmer);
      EXPECT_TRUE(trimmed.faults.empty()) << name << ": " << trimmed.faults.front();
      EXPECT_EQ(trimmed.strokes, plan.strokes);
      EXPECT_GE(plan.strokes, plan.strokes_bound);
      if (keep_order) {
        EXPECT_EQ(plan.strokes, plan.in_order_cuts);
      }
    }
}

TEST(Cutting, the_sample_collections_take_at_most_a_quarter_of_the_strokes_of_a_plain_grid) {
  for (const std::string& name : sample_standard_names()) {
    const HouseStandard standard = sample_standard(name);
    for (const auto& labels : {sample_collection(standard, name), sample_artifacts(standard)}) {
      const Placements placements = lay_out_artifact_labels(labels, standard, "R1");
      const Trimmed trimmed = follow(plan_cutting(placements, standard.trimmer), placements, standard.trimmer);
      EXPECT_TRUE(trimmed.faults.empty()) << trimmed.faults.front();
      const int plain = strokes_of_plain_grid(placements, standard.artifact_stock);
      std::cout << name << ": " << placements.labels.size() << " labels, " << trimmed.strokes << " strokes, plain grid "
                << plain << '\n';
      EXPECT_LE(trimmed.strokes * 4, plain) << name;
      EXPECT_GE(trimmed.strokes * 20, plain) << name << ": the bar has grown too loose";
    }
  }
}

TEST(Cutting, sheets_with_the_same_rows_are_stacked) {
  const HouseStandard standard = sample_standard("quillow_ferry");
  const auto full = lay_out_artifact_labels({artifact_request(standard, "16ZQ5/12.3", 2600)}, standard, "R1");
  ASSERT_GE(full.pages, 3);
  const CuttingPlan plan = plan_cutting(full, standard.trimmer);
  EXPECT_GE(plan.steps.front().pages.size(), 2U);
  EXPECT_TRUE(follow(plan, full, standard.trimmer).faults.empty());
}

TEST(Cutting, bag_labels_and_tags_are_cut_as_strips_too) {
  for (const std::string& name : sample_standard_names())
    for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
      HouseStandard standard = sample_standard(name);
      standard.trimmer.smallest_held_mm = 0;
      const auto placements = lay_out_carrier_labels(sample_carriers(standard, role, 11), standard, "R1");
      const CuttingPlan plan = plan_cutting(placements, standard.trimmer);
      const Trimmed trimmed = follow(plan, placements, standard.trimmer);
      EXPECT_TRUE(trimmed.faults.empty()) << trimmed.faults.front();
      EXPECT_EQ(trimmed.strokes, plan.strokes);
    }
}

TEST(Cutting, a_plan_with_one_wrong_fence_is_found_out) {
  const HouseStandard standard = sample_standard("ostervane");
  const Placements placements = lay_out_artifact_labels(sample_artifacts(standard), standard, "R1");
  CuttingPlan plan = plan_cutting(placements, standard.trimmer);
  plan.steps.back().fence_mm[1] += 0.5;
  EXPECT_FALSE(follow(plan, placements, standard.trimmer).faults.empty());
  plan = plan_cutting(placements, standard.trimmer);
  plan.steps.pop_back();
  EXPECT_FALSE(follow(plan, placements, standard.trimmer).faults.empty());
}

TEST(Cutting, placements_that_are_no_rows_are_refused) {
  const HouseStandard standard = sample_standard("ostervane");
  Placements placements = lay_out_artifact_labels(sample_artifacts(standard), standard, "R1");
  placements.labels[1].y_mm += 1.0;
  EXPECT_THROW((void)plan_cutting(placements, standard.trimmer), Error);
}

TEST(Cutting, the_pdf_ends_with_the_list_and_names_every_fence) {
  const ScratchFolder scratch;
  const HouseStandard standard = sample_standard("quillow_ferry");
  const auto sheets = make_artifact_sheets(standard, sample_artifacts(standard), scratch / "a.pdf");
  const CuttingPlan plan = plan_cutting(sheets.placements, standard.trimmer);
  const int list = cutting_pages(sheets.placements, standard);
  ASSERT_GE(list, 1);
  const std::string info = run({"pdfinfo", sheets.pdf.string()}).out;
  EXPECT_NE(info.find("Pages:           " + std::to_string(sheets.placements.pages + list)), std::string::npos);
  const std::string text =
      run({"pdftotext", "-f", std::to_string(sheets.placements.pages + 1), sheets.pdf.string(), "-"}).out;
  EXPECT_NE(text.find("Cutting list"), std::string::npos);
  for (const CutStep& step : plan.steps)
    for (const double mm : step.fence_mm) {
      const std::string shown = fmt::format("{:.1f}", mm);
      EXPECT_NE(text.find(shown), std::string::npos) << shown;
    }
}

TEST(Cutting, json_holds_every_stroke) {
  const HouseStandard standard = sample_standard("ostervane");
  const Placements placements = lay_out_artifact_labels({artifact_request(standard, "2031-114-12", 3)}, standard, "R9");
  const CuttingPlan plan = plan_cutting(placements, standard.trimmer);
  const std::string json = write_cutting_json(plan, standard.trimmer);
  EXPECT_TRUE(json.starts_with("{\n \"schema\": 1,\n \"run\": \"R9\",\n \"gang\": 8,\n \"strokes\": 6,")) << json;
  EXPECT_NE(json.find("\"act\": \"into-strips\""), std::string::npos);
  EXPECT_NE(json.find("\"fence_from\": \"right\""), std::string::npos);
}

}  // namespace
}  // namespace sherdmark
