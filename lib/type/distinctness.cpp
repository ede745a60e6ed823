#include "sherdmark/type/distinctness.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "type/printed_glyph.h"

namespace sherdmark {
namespace {

constexpr double k_most_shift_x_em = 0.25;
constexpr double k_most_shift_y_em = 0.05;  // letters share a baseline
constexpr double k_most_turn_y_em = 0.5;    // a turned glyph hangs where it will

constexpr double k_stretches[] = {0.77, 0.88, 1.0, 1.14, 1.3};

void sort_least_distinct_first(std::vector<GlyphPair>& pairs) {
  std::sort(pairs.begin(), pairs.end(), [](const GlyphPair& a, const GlyphPair& b) {
    if (a.distinctness != b.distinctness) return a.distinctness < b.distinctness;
    return std::pair{a.first, a.second} < std::pair{b.first, b.second};
  });
}

std::u32string unique_characters(std::u32string characters) {
  std::sort(characters.begin(), characters.end());
  characters.erase(std::unique(characters.begin(), characters.end()), characters.end());
  return characters;
}

// Keeps the smallest distance seen for each unordered pair.
void note_distance(std::map<std::pair<char32_t, char32_t>, double>& pairs, char32_t a, char32_t b, double distance) {
  const auto [at, fresh] = pairs.emplace(std::minmax(a, b), distance);
  if (!fresh) at->second = std::min(at->second, distance);
}

std::vector<GlyphPair> as_list(const std::map<std::pair<char32_t, char32_t>, double>& pairs) {
  std::vector<GlyphPair> list;
  for (const auto& [pair, distance] : pairs) list.push_back({pair.first, pair.second, distance});
  sort_least_distinct_first(list);
  return list;
}

int shift_samples(double em, const ReadingConditions& conditions) {
  return static_cast<int>(std::lround(em * mm_to_dots(pt_to_mm(conditions.size_pt), conditions.printer_dpi)));
}

// Each wanted pair once, least distinct first.
std::vector<GlyphPair> measure_pairs(const Typeface& face, const std::set<std::pair<char32_t, char32_t>>& wanted,
                                     const ReadingConditions& conditions) {
  const int most_x = shift_samples(k_most_shift_x_em, conditions);
  const int most_y = shift_samples(k_most_shift_y_em, conditions);
  std::map<char32_t, std::vector<PrintedGlyph>> glyphs;  // in every width; the middle one is its own
  for (const auto& [first, second] : wanted)
    for (const char32_t c : {first, second})
      if (auto& widths = glyphs[c]; widths.empty()) {
        const PrintedGlyph glyph = print_glyph(face, c, conditions);
        for (const double stretch : k_stretches) widths.push_back(stretched(glyph, stretch));
      }
  constexpr std::size_t k_own_width = std::size(k_stretches) / 2;
  std::map<std::pair<char32_t, char32_t>, double> pairs;
  for (const auto& [first, second] : wanted)
    for (std::size_t width = 0; width < std::size(k_stretches); ++width) {
      const auto& a = glyphs.at(first);
      const auto& b = glyphs.at(second);
      note_distance(pairs, first, second, shape_distance(a[width], b[k_own_width], most_x, most_y));
      if (width != k_own_width)
        note_distance(pairs, first, second, shape_distance(b[width], a[k_own_width], most_x, most_y));
    }
  return as_list(pairs);
}

}  // namespace

std::vector<GlyphPair> rank_pairs(const Typeface& face, const std::u32string& characters,
                                  const ReadingConditions& conditions) {
  const std::u32string all = unique_characters(characters);
  std::set<std::pair<char32_t, char32_t>> wanted;
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t j = i + 1; j < all.size(); ++j) wanted.emplace(all[i], all[j]);
  return measure_pairs(face, wanted, conditions);
}

std::vector<GlyphPair> rank_rotated_pairs(const Typeface& face, const std::u32string& characters,
                                          const ReadingConditions& conditions, const PrintedRule& rule) {
  const std::u32string all = unique_characters(characters);
  std::vector<PrintedGlyph> glyphs;
  for (const char32_t c : all) glyphs.push_back(print_line(face, {&c, 1}, rule, conditions));
  const int most_x = shift_samples(k_most_shift_x_em, conditions);
  const int most_y = shift_samples(k_most_turn_y_em, conditions);
  std::vector<GlyphPair> pairs;
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t j = i; j < all.size(); ++j)
      pairs.push_back({all[i], all[j], shape_distance(glyphs[i], turned_upside_down(glyphs[j]), most_x, most_y)});
  sort_least_distinct_first(pairs);
  return pairs;
}

std::vector<FontMerit> rank_fonts(const std::vector<std::string>& families, const std::vector<NumberGrammar>& grammars,
                                  const std::vector<std::string>& numbers, const ReadingConditions& conditions) {
  std::set<std::pair<char32_t, char32_t>> wanted;
  for (const std::u32string& set : rival_sets(grammars, numbers))
    for (std::size_t i = 0; i < set.size(); ++i)
      for (std::size_t j = i + 1; j < set.size(); ++j) wanted.insert(std::minmax(set[i], set[j]));
  std::vector<FontMerit> merits;
  for (const std::string& family : families) {
    FontMerit merit;
    merit.family = family;
    try {
      const Typeface face = Typeface::find(family);
      merit.cap_height_em = face.cap_height_em();
      for (const std::string& number : numbers)
        merit.widest_number_em = std::max(merit.widest_number_em, face.width_em(decode_utf8(number).value_or(U"")));
      merit.worst = measure_pairs(face, wanted, conditions);
      merit.zero_and_o = measure_pairs(face, {{U'0', U'O'}}, conditions).front().distinctness;
      for (const GlyphPair& pair : merit.worst) merit.findings += pair.distinctness < k_distinctness_limit ? 1 : 0;
      if (merit.worst.size() > 10) merit.worst.resize(10);
      const std::size_t five = std::min<std::size_t>(5, merit.worst.size());
      for (std::size_t i = 0; i < five; ++i)
        merit.mean_of_worst_five += merit.worst[i].distinctness / static_cast<double>(five);
      merit.worst_distinctness = merit.worst.empty() ? 1.0 : merit.worst.front().distinctness;
    } catch (const Error& error) {
      merit.why_not = error.what();
    }
    merits.push_back(std::move(merit));
  }
  std::stable_sort(merits.begin(), merits.end(), [](const FontMerit& a, const FontMerit& b) {
    if (a.why_not.empty() != b.why_not.empty()) return a.why_not.empty();
    if (a.findings != b.findings) return a.findings < b.findings;
    if (a.tells_zero_from_o() != b.tells_zero_from_o()) return a.tells_zero_from_o();
    return a.mean_of_worst_five > b.mean_of_worst_five;
  });
  return merits;
}

}  // namespace sherdmark
