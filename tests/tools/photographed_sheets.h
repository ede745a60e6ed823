// Photographs of the tool's own sheets for tests: labels cut from the previews and laid on grey, clean and flat.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <vector>

#include "sherdmark/base/units.h"
#include "sherdmark/scan/image.h"
#include "sherdmark/sheet/placement.h"
#include "sherdmark/sheet/sheets.h"
#include "tools/bench.h"

namespace sherdmark::testing {

using Json = nlohmann::json;

inline constexpr double k_dpi = 300;

inline int px(double mm) { return static_cast<int>(mm_to_dots(mm, k_dpi) + 0.5); }

class PhotographedSheets : public ::testing::Test {
 protected:
  // A ledger with the plan and one run of each role; not yet confirmed as printed.
  void SetUp() override {
    start_collection(bench_, small_samples().front());
    bench_.expect(0, {"plan"});
    for (const char* role : {"artifact", "bag", "tag"}) {
      const Json run = Json::parse(bench_
                                       .expect(0, {"labels", "--for", std::string{role} + "s", "--out", "@/sheets",
                                                   "--preview-dpi", "300", "--json"})
                                       .out);
      runs_.push_back(run["run"]);
      const std::string stem = std::string{"sheets/"} + role + "-" + runs_.back();
      sheets_.push_back(read_placements_json(bench_.read(stem + ".json"), stem));
      const std::string png = bench_.read(stem + "-page-1.png");
      pages_.push_back(std::move(read_image(as_byte_span(png), stem).front().grey));
    }
  }

  void confirm() {
    for (const std::string& run : runs_) bench_.expect(0, {"printed", run});
  }

  std::string bag_of(const std::string& item) {
    return Json::parse(bench_.expect(0, {"show", item, "--json"}).out)["item"]["bags"][0];
  }

  GreyPicture cut(LabelRole role, const std::string& key) const {
    const std::size_t i = role == LabelRole::artifact ? 0 : role == LabelRole::bag ? 1 : 2;
    for (const PlacedLabel& label : sheets_[i].labels) {
      if (key != (role == LabelRole::artifact ? label.number : label.bag.value_or(""))) continue;
      const GreyView part = pages_[i].view().crop(px(label.x_mm), px(label.y_mm), px(label.w_mm), px(label.h_mm));
      GreyPicture copy{part.width_px, part.height_px};
      for (int y = 0; y < part.height_px; ++y) std::copy_n(part.row(y), part.width_px, copy.row(y));
      return copy;
    }
    throw std::runtime_error("no label for " + key);
  }

  // Lays the labels under one another on grey and writes the picture.
  void photograph(const std::string& name, const std::vector<GreyPicture>& labels) const {
    constexpr int k_gap = 60;
    int width = 0;
    int height = k_gap;
    for (const GreyPicture& label : labels) {
      width = std::max(width, label.width_px());
      height += label.height_px() + k_gap;
    }
    GreyPicture picture{width + 2 * k_gap, height, 120};
    int top = k_gap;
    for (const GreyPicture& label : labels) {
      for (int y = 0; y < label.height_px(); ++y)
        std::copy_n(label.row(y), label.width_px(), picture.row(top + y) + k_gap);
      top += label.height_px() + k_gap;
    }
    real_file_system().write_atomic(bench_.path(name), [&](const ByteSink& sink) { write_png(picture.view(), sink); });
  }

  std::vector<GreyPicture> whole_set(const std::string& item) {
    const std::string bag = bag_of(item);
    return {cut(LabelRole::bag, bag), cut(LabelRole::tag, bag), cut(LabelRole::artifact, item)};
  }

  Json verdict_of(int code, std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), "check");
    arguments.emplace_back("--json");
    Json document = Json::parse(bench_.expect(code, arguments).out, nullptr, false);
    EXPECT_FALSE(document.is_discarded());
    EXPECT_EQ(document["sets"].size(), 1U);
    return document["sets"][0];
  }

  Bench bench_;
  std::vector<std::string> runs_;
  std::vector<Placements> sheets_;
  std::vector<GreyPicture> pages_;
  const std::string item_ = small_samples().front().first_item;
  const std::string metal_ = small_samples().front().metal_item;
};

}  // namespace sherdmark::testing
