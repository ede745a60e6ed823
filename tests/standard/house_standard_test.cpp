#include "sherdmark/standard/house_standard.h"

#include <gtest/gtest.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/files.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

HouseStandard sample_standard(const std::string& name) {
  const auto file = testing::sample("standards/" + name);
  return parse_house_standard(read_text(real_file_system(), file), name);
}

TEST(HouseStandard, TheTrinomialSampleIsReadWholly) {
  const HouseStandard standard = sample_standard("quillow_ferry.toml");
  EXPECT_EQ(standard.schemes.size(), 2U);
  EXPECT_DOUBLE_EQ(standard.artifact_stock.width_mm, 215.9);
  const auto number = standard.parse_number("16zq5/12.3-2");
  ASSERT_TRUE(number);
  EXPECT_EQ(number->number.text(), "16ZQ5/12.3-2");
  EXPECT_EQ(number->number.level(), NumberLevel::piece);
}

TEST(HouseStandard, TheMetricSampleIsReadWholly) {
  const HouseStandard standard = sample_standard("ostervane.toml");
  const auto number = standard.parse_number("2031-114-12A");
  ASSERT_TRUE(number);
  EXPECT_EQ(number->number.text(), "2031-114-12a");
}

}  // namespace
}  // namespace sherdmark
