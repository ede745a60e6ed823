// What lies on a bench beside the labels is never read as one of ours. foreign_text_bench does the same at length.
#include "scenes/foreign_text.h"

#include <gtest/gtest.h>

#include "scenes/trial.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/text.h"
#include "sherdmark/scan/label_text.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

HouseStandard standard_of(const std::string& name) {
  const auto file = testing::sample("standards/" + name + ".toml");
  return parse_house_standard(read_text(real_file_system(), file), file.string());
}

TEST(ForeignText, rulers_scale_bars_colour_cards_newsprint_ink_and_forms_are_never_read) {
  constexpr double k_px_per_mm = 12;
  const HouseStandard standard = standard_of("quillow_ferry");  // no check character: the easier to deceive
  const LabelTextReader reader{standard};
  SeededRandom random{23};
  for (const std::string& family : {standard.artifact.font, std::string{"DejaVu Sans"}}) {
    const Typeface face = Typeface::find(family);
    for (const scenes::ForeignKind kind : scenes::k_foreign_kinds)
      for (int i = 0; i < 2; ++i) {
        const GreyPicture picture = scenes::foreign_text(kind, face, k_px_per_mm, random);
        for (const TextReading& text : reader.search(picture.view(), {.shown = {.px_per_mm = {k_px_per_mm}}}))
          EXPECT_FALSE(text.sure) << to_text(kind) << " in " << family << ": " << text.number;
      }
  }
}

TEST(ForeignText, labels_of_another_house_in_the_same_font_are_never_read_as_ours) {
  const HouseStandard ours = standard_of("quillow_ferry"), theirs = standard_of("ostervane");
  const LabelTextReader reader{ours};
  const Typeface face = Typeface::find(theirs.artifact.font);
  SeededRandom random{29};
  int tried = 0;
  while (tried < 15) {
    const scenes::PrintedNumber number = scenes::random_number(theirs, random);
    if (ours.parse_number(join(number.lines, ""))) continue;  // it would be a number of ours as well
    const scenes::Trial trial =
        scenes::make_trial(theirs, face, number, {.px_per_mm = 12, .most_tilt_deg = 10}, random);
    for (const TextReading& text : reader.search(trial.picture.view(), {.shown = {.px_per_mm = {12}}}))
      EXPECT_FALSE(text.sure) << number.number << " was read as " << text.number;
    ++tried;
  }
}

}  // namespace
}  // namespace sherdmark
