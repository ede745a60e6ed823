#include "sherdmark/type/typeface.h"

#include <gtest/gtest.h>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

TEST(Typeface, MissingFamilyIsAnErrorThatSaysWhatToInstallAndNeverASubstitute) {
  try {
    (void)Typeface::find("No Such Family");
    FAIL() << "a substitute was accepted";
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::environment);
    EXPECT_STREQ(error.what(),
                 "the font \"No Such Family\" is not installed. Install the font, or name an installed font in the "
                 "house standard.");
  }
}

TEST(Typeface, LineIsAsWideAsItsAdvances) {
  const Typeface face = Typeface::find("Hack");
  EXPECT_NEAR(face.width_em(U"16WC5/12.3"), 10 * face.advance_em(U'0'), 1e-12);  // Hack is monospaced
}

// Cap heights as the fonts' own OS/2 tables print them (sCapHeight / unitsPerEm): DejaVu Sans 1493/2048 and
// Liberation Sans 1409/2048, each from memory; measured here on the glyph H.
TEST(Typeface, CapHeightIsMeasuredOnTheGlyph) {
  EXPECT_NEAR(Typeface::find("DejaVu Sans").cap_height_em(), 1493.0 / 2048.0, 0.002);
  EXPECT_NEAR(Typeface::find("Liberation Sans").cap_height_em(), 1409.0 / 2048.0, 0.002);
}

TEST(Typeface, GlyphCoverageStandsOnTheBaselineAndScalesWithTheSize) {
  const Typeface face = Typeface::find("Hack");
  for (const double px : {11.7, 23.4, 90.0}) {
    const auto glyph = face.draw_glyph(U'H', px);
    int top = -1;
    int bottom = -1;
    for (int y = 0; y < glyph.ink.height_px(); ++y)
      for (int x = 0; x < glyph.ink.width_px(); ++x)
        if (glyph.ink.row(y)[x] > 127) {
          if (top < 0) top = y;
          bottom = y;
        }
    EXPECT_NEAR(bottom + 1, glyph.baseline_px, 1.01);
    EXPECT_NEAR(bottom + 1 - top, face.cap_height_em() * px, 1.01);
  }
}

TEST(Typeface, CharacterThatTheFontLacksIsNamed) {
  const Typeface face = Typeface::find("Hack");
  EXPECT_FALSE(face.has(0x10FFFD));
  EXPECT_THROW((void)face.advance_em(0x10FFFD), Error);
}

}  // namespace
}  // namespace sherdmark
