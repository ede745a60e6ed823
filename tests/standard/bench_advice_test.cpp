// Working order and advice at the bench: common practice, no source.
#include "sherdmark/standard/bench_advice.h"

#include <gtest/gtest.h>

#include "sherdmark/standard/house_standard.h"

namespace sherdmark {
namespace {

struct Row {
  const char* material;
  const char* surface;
  Porosity porosity;
};

TEST(BenchAdvice, words_of_material_and_surface_tell_porous_from_non_porous) {
  const Row rows[] = {
      {"Glass, green", "", Porosity::non_porous},    {"ceramic", "glazed", Porosity::non_porous},
      {"ceramic", "unglazed", Porosity::porous},     {"bone", "", Porosity::porous},
      {"chert", "sound", Porosity::non_porous},      {"ceramic", "sound", Porosity::middling},
      {"ironstone", "", Porosity::middling},         {"", "", Porosity::middling},
      {"glasshouse debris", "", Porosity::middling},
  };
  const HouseStandard standard;
  for (const Row& row : rows)
    EXPECT_EQ(bench_advice(standard, row.material, row.surface).porosity, row.porosity)
        << row.material << ", " << row.surface;
}

TEST(BenchAdvice, the_first_advice_of_the_house_standard_that_fits_is_taken_and_completed) {
  HouseStandard standard;
  standard.bench_advice.push_back({{"glass"}, {"painted"}, Porosity::porous, "", "The painting.", "Wax first."});
  standard.bench_advice.push_back({{"glass"}, {}, Porosity::non_porous, "Inner face.", "", ""});
  const BenchAdvice painted = bench_advice(standard, "glass", "painted, sound");
  EXPECT_EQ(painted.porosity, Porosity::porous);
  EXPECT_EQ(painted.never, "The painting.");
  EXPECT_FALSE(painted.place.empty());
  const BenchAdvice plain = bench_advice(standard, "glass", "sound");
  EXPECT_EQ(plain.place, "Inner face.");
  EXPECT_NE(plain.adhesive.find("conservator"), std::string::npos);
}

}  // namespace
}  // namespace sherdmark
