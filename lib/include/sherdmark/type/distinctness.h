// How distinct the glyphs of a font are at label size, after the printer's dots, the toner's spread and the eye's blur.
//
// A glyph is drawn on the printer's dot grid, spread by the toner, and blurred by the eye at the reading distance.
// The distinctness of two glyphs is 1 - the largest correlation of their ink over all small shifts: 0 is the same
// shape, 1 nothing in common.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "sherdmark/standard/scheme.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark {

struct ReadingConditions {
  double size_pt = 5.0;
  int printer_dpi = 600;
  double toner_spread_mm = 0.02;  // how far ink grows over the edge of a dot
  double distance_mm = 350.0;
  double eye_blur_arcmin = 0.7;  // standard deviation of the eye's point spread; about 20/20 vision (from memory)
};

// The rule that each line of an artifact label stands on (sheet/label_geometry.h); thickness 0: none.
struct PrintedRule {
  double thickness_mm = 0;
  double gap_em = 0.30;  // baseline to its top edge
};

struct GlyphPair {
  char32_t first = 0;
  char32_t second = 0;
  double distinctness = 0;
};

// Pairs under this are findings. In ordinary sans-serif faces at 5 pt the pairs that published lists of misread
// characters name first (O/Q, 8/B, 5/S) fall under it, the digits of a good label face do not (docs/type.md).
inline constexpr double k_distinctness_limit = 0.06;

// All pairs of the given characters, least distinct first.
[[nodiscard]] std::vector<GlyphPair> rank_pairs(const Typeface& face, const std::u32string& characters,
                                                const ReadingConditions& conditions);
// The same with the second glyph upside down (6 and 9, 1 and l …); a character pairs with itself too. With a rule each
// glyph stands on its piece of it, and the one upside down hangs from it.
[[nodiscard]] std::vector<GlyphPair> rank_rotated_pairs(const Typeface& face, const std::u32string& characters,
                                                        const ReadingConditions& conditions,
                                                        const PrintedRule& rule = {});

// Characters that can stand at the same place: sets of two or more that leave one state of a grammar.
[[nodiscard]] std::vector<std::u32string> rival_sets(const std::vector<NumberGrammar>& grammars);
// What of them occurs in these very numbers (canonical texts): every rival set cut down to the characters that the
// numbers use at a place where both may stand.
[[nodiscard]] std::vector<std::u32string> rival_sets(const std::vector<NumberGrammar>& grammars,
                                                     const std::vector<std::string>& numbers);

// Numbers of the list that read as another number the grammar allows when turned upside down, the rule turned with
// them: whole, or one of their parts by itself, as it stands on a line of a broken label. Pairs (as printed, as read).
struct UpsideDownPair {
  std::string number;
  std::string reads_as;
};
[[nodiscard]] std::vector<UpsideDownPair> upside_down_numbers(const Typeface& face,
                                                              const std::vector<NumberGrammar>& grammars,
                                                              const std::vector<std::string>& numbers,
                                                              const ReadingConditions& conditions,
                                                              const PrintedRule& rule = {});

// Does the grammar take this text as a whole number?
[[nodiscard]] bool accepts(const NumberGrammar& grammar, const std::u32string& text);

// One font measured for a collection.
struct FontMerit {
  std::string family;
  std::string why_not;           // not empty: cannot be used (not installed, lacks a character)
  std::vector<GlyphPair> worst;  // rival pairs, least distinct first, at most ten
  double worst_distinctness = 0;
  double mean_of_worst_five = 0;
  double widest_number_em = 0;  // paper: width of the widest of the numbers
  double cap_height_em = 0;
  std::size_t findings = 0;  // rival pairs under the limit
  double zero_and_o = 0;     // distinctness of 0 and O, wherever the numbers let them stand
  [[nodiscard]] bool tells_zero_from_o() const { return zero_and_o >= k_distinctness_limit; }
};
// Best first: fewest findings; then the fonts whose 0 and O cannot be taken for each other, because who reads or copies
// a label need not know where the scheme lets a letter stand (16OI10, 160110), and the next season's numbers may have
// both; then the largest mean distinctness of the five worst rival pairs. Fonts that cannot be used come last, with
// the reason.
[[nodiscard]] std::vector<FontMerit> rank_fonts(const std::vector<std::string>& families,
                                                const std::vector<NumberGrammar>& grammars,
                                                const std::vector<std::string>& numbers,
                                                const ReadingConditions& conditions);

}  // namespace sherdmark
