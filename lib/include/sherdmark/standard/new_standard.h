// A house standard to begin with, from the answers to a few plain questions: the text of a TOML file that a person goes
// on with; and what a new edition must hold beyond what parses. Pure; called by the tool's `init` and `standard`.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

struct HouseStandard;

struct NumberPiece {
  std::string separator;  // before it, without spaces
  std::string text;
  std::string kind;  // as the house standard writes it: trinomial, year, integer, letters
};

// A catalog number as it stands on objects, cut where digits, letters and separators meet: "2031-114-12" is year,
// integer, integer. A Smithsonian trinomial in front ("16ZQ5") is one piece. Spaces are no separator: "OB 17" is cut
// like "OB17". data_error: empty, longer than 40 characters, with characters that no part can have, or with nothing but
// a space between digits and digits or letters and letters.
[[nodiscard]] std::vector<NumberPiece> cut_number(std::string_view example);

// The pieces put together again: the number as it will be printed.
[[nodiscard]] std::string number_of(const std::vector<NumberPiece>& pieces);

enum class Paper { a4, letter };

struct StandardAnswers {
  std::string repository;
  std::string example;         // a catalog number that names an item
  bool fixed_letters = false;  // the letters it begins with are the same in every number
  bool names_lots = false;     // the piece before the last names a lot; only with three pieces or more
  bool letters_for_pieces = true;
  Paper paper = Paper::a4;
  std::string date_order = "dmy";            // dmy, mdy or ymd
  std::string bagging = "one bag per item";  // or: one bag per lot, by column
  double smallest_labelled_mm = 15;          // objects below it get only a tag
};

// The TOML text. It parses as a house standard that reads `example` as it stands. data_error when the answers make
// none.
[[nodiscard]] std::string write_house_standard(const StandardAnswers& answers);

// data_error when a part of a scheme names a lot but no number may end after it: then no lot has a number, and all
// items of an accession would count as one lot. A ledger made before this was looked at still opens.
void require_lots_with_numbers(const HouseStandard& standard, const std::string& file);

}  // namespace sherdmark
