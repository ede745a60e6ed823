#include "report/type_glyphs.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace sherdmark {
namespace {

constexpr double k_px_per_em = 16;  // a line of blocks is two pixels high
constexpr std::size_t k_most_pairs = 3;
constexpr std::uint8_t k_ink = 110;  // of 255

// One glyph between the tallest character's top and the deepest one's foot, two rows of pixels a line.
std::vector<std::string> in_blocks(const Typeface& face, char32_t character) {
  const Typeface::GlyphPicture glyph = face.draw_glyph(character, k_px_per_em);
  const auto ink = [&](int x, int y) { return y >= 0 && y < glyph.ink.height_px() && glyph.ink.row(y)[x] >= k_ink; };
  const int top = static_cast<int>(std::floor(glyph.baseline_px - face.ascent_em() * k_px_per_em));
  const int foot = static_cast<int>(std::ceil(glyph.baseline_px + face.descent_em() * k_px_per_em));
  std::vector<std::string> lines;
  for (int y = top; y < foot; y += 2) {
    std::string line;
    for (int x = 0; x < glyph.ink.width_px(); ++x) {
      const bool above = ink(x, y), below = ink(x, y + 1);
      line += above && below ? "█" : above ? "▀" : below ? "▄" : " ";
    }
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace

std::string glyphs_in_blocks(const Typeface& face, std::span<const GlyphPair> pairs) {
  std::vector<std::string> rows;
  for (const GlyphPair& pair : pairs.first(std::min(k_most_pairs, pairs.size())))
    for (const char32_t character : {pair.first, pair.second}) {
      const std::vector<std::string> glyph = in_blocks(face, character);
      rows.resize(glyph.size(), " ");
      for (std::size_t i = 0; i < glyph.size(); ++i)
        rows[i] += (character == pair.first ? "  " : " ") + glyph[i] + (character == pair.second ? "  " : "");
    }
  std::string text;
  for (std::string& row : rows) {
    row.erase(row.find_last_not_of(' ') + 1);
    if (!row.empty()) text += row + "\n";  // no character here reaches so high or so deep
  }
  return text;
}

}  // namespace sherdmark
