// A glyph as a person sees it on the label: printer dots, toner spread, the eye's blur. Private to lib/type.
#pragma once

#include <string_view>
#include <vector>

#include "sherdmark/type/distinctness.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark {

// Ink density 0 … 1 on a square grid; the left edge is the pen position minus `margin` samples on every side.
struct PrintedGlyph {
  int width = 0;
  int height = 0;
  std::vector<float> ink;
  [[nodiscard]] float at(int x, int y) const {
    return x < 0 || y < 0 || x >= width || y >= height
               ? 0.0F
               : ink[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)];
  }
};

[[nodiscard]] PrintedGlyph print_glyph(const Typeface& face, char32_t character, const ReadingConditions& conditions);
// Several characters side by side at their advances, on the rule, which is as long as the line.
[[nodiscard]] PrintedGlyph print_line(const Typeface& face, std::u32string_view line, const PrintedRule& rule,
                                      const ReadingConditions& conditions);
[[nodiscard]] PrintedGlyph turned_upside_down(const PrintedGlyph& glyph);

// The glyph made wider (factor > 1) or narrower about its middle: a round letter and a narrow zero differ in width
// alone, which no reader can judge without a neighbour.
[[nodiscard]] PrintedGlyph stretched(const PrintedGlyph& glyph, double factor);

// 1 - largest cosine of the two inks over all shifts of at most the given number of samples.
[[nodiscard]] double shape_distance(const PrintedGlyph& a, const PrintedGlyph& b, int most_x, int most_y);

}  // namespace sherdmark
