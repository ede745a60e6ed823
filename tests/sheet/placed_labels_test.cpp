// Placed labels are kept small and given back whole; a long run from a source is laid out as from a list.
#include "sherdmark/sheet/placed_labels.h"

#include <gtest/gtest.h>

#include <fmt/format.h>

#include <map>
#include <set>

#include "sheet/sheet_samples.h"
#include "sherdmark/sheet/cutting.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {
namespace {

using testing::sample_standard;

PlacedLabel with_everything() {
  PlacedLabel label{.page = 3,
                    .role = LabelRole::bag,
                    .number = "16ZQ5/12",
                    .bag = "B7KM00042",
                    .serial = "7KM00001",
                    .revision = 4,
                    .copy = 2,
                    .x_mm = 11.25,
                    .y_mm = 22.5,
                    .w_mm = 99,
                    .h_mm = 63.5,
                    .lines = {"16ZQ5/", "12"},
                    .font_pt = 24,
                    .code = PlacedCode{SymbolFormat::qr, "SM1P468BB", 80.5, 25.25, 14.5, 29, 10},
                    .stack = 7};
  return label;
}

void expect_same(const PlacedLabel& a, const PlacedLabel& b) {
  EXPECT_EQ(std::tie(a.page, a.role, a.number, a.bag, a.serial, a.revision, a.copy, a.lines, a.font_pt, a.stack),
            std::tie(b.page, b.role, b.number, b.bag, b.serial, b.revision, b.copy, b.lines, b.font_pt, b.stack));
  EXPECT_EQ(std::tie(a.x_mm, a.y_mm, a.w_mm, a.h_mm), std::tie(b.x_mm, b.y_mm, b.w_mm, b.h_mm));
  ASSERT_EQ(a.code.has_value(), b.code.has_value());
  if (!a.code) return;
  EXPECT_EQ(std::tie(a.code->format, a.code->text, a.code->x_mm, a.code->y_mm, a.code->size_mm, a.code->modules,
                     a.code->module_dots),
            std::tie(b.code->format, b.code->text, b.code->x_mm, b.code->y_mm, b.code->size_mm, b.code->modules,
                     b.code->module_dots));
}

TEST(PlacedLabels, come_back_as_they_were_put_in) {
  std::vector<PlacedLabel> all{with_everything()};
  PlacedLabel with_check;
  with_check.number = "2031-114-66";
  with_check.lines = {"2031-", "114-66=X"};
  with_check.font_pt = 5;
  all.push_back(with_check);
  PlacedLabel bare;
  bare.bag = "";
  all.push_back(bare);
  PlacedLabel odd;
  odd.number = std::string("a\0b", 3);
  odd.lines = {"", std::string(70'000, 'x'), ""};
  all.push_back(odd);
  all.push_back(with_everything());
  for (int i = 0; i < 3000; ++i) {
    PlacedLabel label = with_everything();
    label.number = fmt::format("16ZQ5/{}.{}", i % 7, i);
    label.lines = {label.number};
    label.font_pt = 4 + 0.01 * (i % 40);
    label.y_mm = i / 10;
    if (i % 3 == 0) label.code.reset();
    all.push_back(label);
  }
  PlacedLabels labels;
  for (const PlacedLabel& label : all) labels.push_back(label);
  ASSERT_EQ(labels.size(), all.size());
  std::size_t i = 0;
  for (const PlacedLabel& label : labels) expect_same(label, all[i++]);
  expect_same(labels.front(), all.front());
  expect_same(labels.back(), all.back());
  EXPECT_THROW((void)labels.at(all.size()), std::out_of_range);
}

TEST(PlacedLabels, of_one_text_are_told_apart_by_place_and_copy) {
  PlacedLabels labels;
  const PlacedLabels::Text text = labels.add_text(with_everything());
  labels.push_back(text, 1, {1, 10, 20, 30, 40, 5}, 1.5, 2.5);
  labels.push_back(text, 2, {1, 40, 20, 30, 40, 5}, 31.5, 2.5);
  EXPECT_EQ(labels.text_of(0), labels.text_of(1));
  EXPECT_EQ(labels[1].copy, 2);
  EXPECT_EQ(labels[1].x_mm, 40);
  EXPECT_EQ(labels[1].code->x_mm, 31.5);
  EXPECT_EQ(labels[1].stack, 5);
  EXPECT_EQ(labels[1].serial, "7KM00001");
}

class Numbers final : public ArtifactLabelSource {
 public:
  explicit Numbers(const std::vector<ArtifactLabelRequest>& all) : all_(all) {}
  void rewind() override { next_ = 0; }
  bool next(ArtifactLabelRequest& request) override {
    if (next_ == all_.size()) return false;
    request = all_[next_++];
    return true;
  }

 private:
  const std::vector<ArtifactLabelRequest>& all_;
  std::size_t next_ = 0;
};

// More labels than are planned at once: every label is there once, lots follow each other, and the pages hold together.
TEST(LongRuns, are_laid_out_in_blocks_and_lose_nothing) {
  const HouseStandard standard = sample_standard("quillow_ferry");
  std::vector<ArtifactLabelRequest> requests;
  int asked = 0;
  for (int i = 0; asked < 21'000; ++i) {
    const std::string lot = fmt::format("16ZQ5/{}", 1 + i / 60);
    requests.push_back({standard.parse_number(fmt::format("{}.{}", lot, 1 + i % 60))->number, lot, 1, 1 + i % 4});
    asked += 1 + i % 4;
  }
  Numbers source{requests};
  const Placements placements = lay_out_artifact_labels(source, standard, "R1");
  ASSERT_EQ(placements.labels.size(), static_cast<std::size_t>(asked));
  std::map<std::string, std::set<int>> copies;
  for (const PlacedLabel& label : placements.labels)
    EXPECT_TRUE(copies[label.number].insert(label.copy).second) << label.number << " copy " << label.copy;
  for (const ArtifactLabelRequest& request : requests) {
    const std::set<int>& of_it = copies[request.number.text()];
    EXPECT_EQ(of_it.size(), static_cast<std::size_t>(request.copies));
    EXPECT_EQ(*of_it.rbegin(), request.copies);
  }
  for (std::size_t i = 1; i < placements.labels.size(); ++i)
    ASSERT_GE(placements.labels.text_of(i) + 2000, placements.labels.text_of(i - 1)) << "lots lie far apart";
  const CuttingPlan plan = plan_cutting(placements, standard.trimmer);
  EXPECT_GE(plan.strokes, plan.strokes_bound);
  EXPECT_LT(plan.strokes, plan.strokes_bound * 5 / 4) << "blocks cost next to nothing";
}

}  // namespace
}  // namespace sherdmark
