// Are these very numbers safe to read in this font, at this size, from this printer, by this eye? Everything that the
// command `type` reports, measured; nothing is taken from a table.
//
// A finding is a pair under k_distinctness_limit that can stand at the same place in these numbers, two neighbours that
// read as one other character the scheme allows there, or a number that reads as another upside down in spite of its
// rule. Pairs that the scheme keeps apart are none. Small type is no finding but has its price: a hand lens.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/type/distinctness.h"
#include "sherdmark/type/legibility.h"

namespace sherdmark {

struct TypeQuestion {
  std::vector<NumberGrammar> grammars;  // without check characters: a misread one is found out, never another number
  std::vector<std::string> numbers;     // canonical
  std::string font;
  ReadingConditions conditions;
  PrintedRule rule;  // under each line
  // What is printed, check characters included, and its grammars: fonts are ranked on these, for a check character that
  // cannot be read costs a reading. Empty: the same as above.
  std::vector<NumberGrammar> printed_grammars;
  std::vector<std::string> printed;
  std::vector<std::string> candidates;  // fonts to rank; the font asked about is ranked with them
};

// Two characters that these numbers have at the same place, and a number for each.
struct RivalPair {
  GlyphPair pair;
  std::string first_number;
  std::string second_number;
};

// Two neighbours in `number` that read as one other character, which makes `reads_as`.
struct JoinedPair {
  std::string pair;
  std::string single;
  double distinctness = 0;
  std::string number;
  std::string reads_as;
};

struct TypeJudgement {
  std::string font;
  std::string font_file;
  ReadingConditions conditions;
  PrintedRule rule;
  std::size_t numbers = 0;
  std::string characters;  // all that occur, sorted
  Legibility legibility;
  std::vector<RivalPair> rivals;  // least distinct first, all of them
  std::size_t rivals_under_limit = 0;
  std::vector<JoinedPair> joined;                // under the limit
  std::vector<UpsideDownPair> turned_bare;       // upside down without the rule
  std::vector<UpsideDownPair> turned_with_rule;  // and with it
  std::vector<FontMerit> fonts;                  // best first

  [[nodiscard]] std::size_t findings() const { return rivals_under_limit + joined.size() + turned_with_rule.size(); }
};

// Throws environment_error when the font is not installed (fontconfig would substitute it), data_error when it lacks a
// character or no number is given.
[[nodiscard]] TypeJudgement judge_type(const TypeQuestion& question);

// The open fonts for small labels that are worth comparing; packages: docs/type.md.
[[nodiscard]] const std::vector<std::string>& label_fonts();

// The glyph as it lies on the paper and meets the eye: dots, toner, blur; one pixel a printer dot, 255 is ink.
[[nodiscard]] GreyPicture seen_glyph(const Typeface& face, char32_t character, const ReadingConditions& conditions);

}  // namespace sherdmark
