#include "sherdmark/type/judgement.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "type/printed_glyph.h"

namespace sherdmark {
namespace {

constexpr double k_joined_shift_em = 0.25;
constexpr double k_joined_shift_y_em = 0.05;
constexpr double k_joined_stretches[] = {0.88, 0.94, 1.0};  // no reader knows how wide the one character should be

using CharPair = std::pair<char32_t, char32_t>;

struct DecodedNumber {
  std::string text;
  std::u32string characters;
};

std::vector<DecodedNumber> decode_all(const std::vector<std::string>& numbers) {
  std::vector<DecodedNumber> decoded;
  for (const std::string& number : numbers)
    if (auto characters = decode_utf8(number)) decoded.push_back({number, std::move(*characters)});
  return decoded;
}

// For each state of a grammar the characters that the numbers take there, each with the first number that does.
using Taken = std::map<int, std::map<char32_t, const std::string*>>;
Taken taken_in(const NumberGrammar& grammar, const std::vector<DecodedNumber>& numbers) {
  Taken taken;
  for (const DecodedNumber& number : numbers) {
    if (!accepts(grammar, number.characters)) continue;
    int at = 0;
    for (const char32_t c : number.characters) {
      taken[at].emplace(c, &number.text);
      const auto& arcs = grammar.states[static_cast<std::size_t>(at)].arcs;
      at = std::ranges::find(arcs, c, &NumberGrammar::Arc::character)->to;
    }
  }
  return taken;
}

// Every pair that stands at one place of these numbers, with a number for each of the two.
std::map<CharPair, std::pair<std::string, std::string>> rivals_of(const std::vector<NumberGrammar>& grammars,
                                                                  const std::vector<DecodedNumber>& numbers) {
  std::map<CharPair, std::pair<std::string, std::string>> rivals;
  for (const NumberGrammar& grammar : grammars)
    for (const auto& [state, characters] : taken_in(grammar, numbers))
      for (auto a = characters.begin(); a != characters.end(); ++a)
        for (auto b = std::next(a); b != characters.end(); ++b)
          rivals.try_emplace({a->first, b->first}, *a->second, *b->second);
  return rivals;
}

std::vector<RivalPair> measure_rivals(const Typeface& face, const TypeQuestion& question,
                                      const std::vector<DecodedNumber>& numbers) {
  const auto rivals = rivals_of(question.grammars, numbers);
  std::set<char32_t> characters;
  for (const auto& [pair, examples] : rivals) characters.insert({pair.first, pair.second});
  std::vector<RivalPair> measured;
  for (const GlyphPair& pair : rank_pairs(face, {characters.begin(), characters.end()}, question.conditions))
    if (const auto at = rivals.find(std::minmax(pair.first, pair.second)); at != rivals.end())
      measured.push_back({pair, at->second.first, at->second.second});
  return measured;
}

// The first number in which each pair of neighbours stands, and where.
struct Neighbours {
  const DecodedNumber* number = nullptr;
  std::size_t at = 0;
};

bool any_accepts(const std::vector<NumberGrammar>& grammars, const std::u32string& text) {
  return std::ranges::any_of(grammars, [&](const NumberGrammar& grammar) { return accepts(grammar, text); });
}

std::vector<JoinedPair> find_joined(const Typeface& face, const TypeQuestion& question,
                                    const std::vector<DecodedNumber>& numbers, const std::u32string& characters) {
  std::map<CharPair, std::map<char32_t, Neighbours>> open;  // pair → single that the scheme allows in its place
  for (const DecodedNumber& number : numbers)
    for (std::size_t i = 0; i + 1 < number.characters.size(); ++i) {
      auto& singles = open[{number.characters[i], number.characters[i + 1]}];
      for (const char32_t single : characters) {
        if (singles.contains(single)) continue;
        std::u32string other = number.characters;
        other.replace(i, 2, 1, single);
        if (any_accepts(question.grammars, other)) singles.emplace(single, Neighbours{&number, i});
      }
    }
  const double dots_per_em = mm_to_dots(pt_to_mm(question.conditions.size_pt), question.conditions.printer_dpi);
  const int most_x = static_cast<int>(std::lround(k_joined_shift_em * dots_per_em));
  const int most_y = static_cast<int>(std::lround(k_joined_shift_y_em * dots_per_em));
  std::map<char32_t, PrintedGlyph> single_glyphs;
  for (const char32_t c : characters) single_glyphs.emplace(c, print_glyph(face, c, question.conditions));
  std::vector<JoinedPair> found;
  for (const auto& [pair, singles] : open) {
    const std::u32string both{pair.first, pair.second};
    const PrintedGlyph together = print_line(face, both, {}, question.conditions);
    for (const auto& [single, where] : singles) {
      double distance = 1;
      for (const double stretch : k_joined_stretches)
        distance =
            std::min(distance, shape_distance(stretched(together, stretch), single_glyphs.at(single), most_x, most_y));
      if (distance >= k_distinctness_limit) continue;
      std::u32string other = where.number->characters;
      other.replace(where.at, 2, 1, single);
      found.push_back({encode_utf8(both), encode_utf8({&single, 1}), distance, where.number->text, encode_utf8(other)});
    }
  }
  std::ranges::sort(found, {}, &JoinedPair::distinctness);
  return found;
}

std::u32string characters_of(const std::vector<DecodedNumber>& numbers) {
  std::set<char32_t> all;
  for (const DecodedNumber& number : numbers) all.insert(number.characters.begin(), number.characters.end());
  return {all.begin(), all.end()};
}

std::vector<std::string> with_font(std::vector<std::string> fonts, const std::string& font) {
  if (std::ranges::find(fonts, font) == fonts.end()) fonts.push_back(font);
  return fonts;
}

}  // namespace

const std::vector<std::string>& label_fonts() {
  static const std::vector<std::string> k_fonts{"B612",  "B612 Mono", "DejaVu Sans", "DejaVu Sans Mono", "Hack",
                                                "Inter", "Noto Sans", "Open Sans",   "Liberation Sans"};
  return k_fonts;
}

TypeJudgement judge_type(const TypeQuestion& question) {
  const std::vector<DecodedNumber> numbers = decode_all(question.numbers);
  if (numbers.empty())
    throw data_error("there is no number to judge the type on.", {},
                     "Take a catalog in first, or name a catalog that has numbers.");
  const Typeface face = Typeface::find(question.font);
  TypeJudgement judgement;
  judgement.font = face.family();
  judgement.font_file = face.file().string();
  judgement.conditions = question.conditions;
  judgement.rule = question.rule;
  judgement.numbers = numbers.size();
  const std::u32string characters = characters_of(numbers);
  judgement.characters = encode_utf8(characters);
  judgement.legibility = judge_legibility(question.conditions.size_pt, face.cap_height_em(), face.x_height_em(),
                                          question.conditions.distance_mm);
  judgement.rivals = measure_rivals(face, question, numbers);
  judgement.rivals_under_limit = static_cast<std::size_t>(std::ranges::count_if(
      judgement.rivals, [](const RivalPair& rival) { return rival.pair.distinctness < k_distinctness_limit; }));
  judgement.joined = find_joined(face, question, numbers, characters);
  judgement.turned_bare = upside_down_numbers(face, question.grammars, question.numbers, question.conditions);
  if (question.rule.thickness_mm > 0)
    judgement.turned_with_rule =
        upside_down_numbers(face, question.grammars, question.numbers, question.conditions, question.rule);
  else
    judgement.turned_with_rule = judgement.turned_bare;
  const bool same = question.printed.empty();
  judgement.fonts =
      rank_fonts(with_font(question.candidates, question.font), same ? question.grammars : question.printed_grammars,
                 same ? question.numbers : question.printed, question.conditions);
  return judgement;
}

GreyPicture seen_glyph(const Typeface& face, char32_t character, const ReadingConditions& conditions) {
  const PrintedGlyph glyph = print_glyph(face, character, conditions);
  GreyPicture picture{glyph.width, glyph.height};
  for (int y = 0; y < glyph.height; ++y)
    for (int x = 0; x < glyph.width; ++x)
      picture.row(y)[x] = static_cast<std::uint8_t>(std::lround(255.0F * std::clamp(glyph.at(x, y), 0.0F, 1.0F)));
  return picture;
}

}  // namespace sherdmark
