// A house standard to begin with, from the answers to a few plain questions: the text of a TOML file that a person goes
// on with. Pure; called by the tool's `init`.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

struct NumberPiece {
  std::string separator;  // before it
  std::string text;
  std::string kind;  // as the house standard writes it: trinomial, year, integer, letters
};

// A catalog number as it stands on objects, cut where digits, letters and separators meet: "2031-114-12" is year,
// integer, integer. A Smithsonian trinomial in front ("16ZQ5") is one piece. data_error: empty, longer than 40
// characters, or with characters that no part can have.
[[nodiscard]] std::vector<NumberPiece> cut_number(std::string_view example);

enum class Paper { a4, letter };

struct StandardAnswers {
  std::string repository;
  std::string example;      // a catalog number that names an item
  bool names_lots = false;  // the piece before the last names a lot; only with three pieces or more
  bool letters_for_pieces = true;
  Paper paper = Paper::a4;
  std::string date_order = "dmy";            // dmy, mdy or ymd
  std::string bagging = "one bag per item";  // or: one bag per lot
  double smallest_labelled_mm = 15;          // objects below it get only a tag
};

// The TOML text. It parses as a house standard that reads `example` as it stands. data_error when the answers make
// none.
[[nodiscard]] std::string write_house_standard(const StandardAnswers& answers);

}  // namespace sherdmark
