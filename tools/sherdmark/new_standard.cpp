#include "new_standard.h"

#include <fmt/format.h>

#include <istream>
#include <ostream>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/standard/new_standard.h"

namespace sherdmark {
namespace {

std::string ask(const Session& session, std::string_view question, const std::string& otherwise) {
  session.say(otherwise.empty() ? fmt::format("  {} ", question) : fmt::format("  {} [{}] ", question, otherwise));
  session.seams().out.flush();
  std::string answer;
  if (!std::getline(session.seams().in, answer))
    throw usage_error("the questions were not answered, so nothing was made.",
                      "Call init again, or name a house standard with --standard FILE.");
  const std::string given{trim(answer)};
  return given.empty() ? otherwise : given;
}

// Asked until the answer is one of the words; its first letter is enough.
std::string choose(const Session& session, std::string_view question, const std::vector<std::string>& words) {
  for (;;) {
    const std::string answer = to_lower_ascii(ask(session, question, words.front()));
    for (const std::string& word : words)
      if (answer == word || answer == word.substr(0, 1)) return word;
    session.say(fmt::format("  Please answer {}.\n", join(words, " or ")));
  }
}

bool agreed(const Session& session, std::string_view question) {
  return choose(session, question, {"yes", "no"}) == "yes";
}

// "12b": whether b is the letter of a piece, which is no part of the item's number.
void leave_out_piece_letter(const Session& session, std::vector<NumberPiece>& pieces) {
  if (pieces.size() < 2 || pieces.back().kind != "letters" || !pieces.back().separator.empty()) return;
  if (agreed(session, fmt::format("Is {} the letter of one piece of item {}?", pieces.back().text,
                                  pieces[pieces.size() - 2].text)))
    pieces.pop_back();
}

std::string as_understood(const std::vector<NumberPiece>& pieces, const std::string& written) {
  std::vector<std::string> words;
  for (const NumberPiece& piece : pieces)
    words.push_back(fmt::format("{} ({})", piece.text, piece.kind == "integer" ? "number" : piece.kind));
  std::string text = fmt::format("  It is read as: {}. The last of them counts the items.\n", join(words, ", "));
  if (number_of(pieces) != written)
    text += fmt::format("  It will be printed as {}; in the catalog it is understood with spaces, too.\n",
                        number_of(pieces));
  return text;
}

std::vector<NumberPiece> ask_number(const Session& session, StandardAnswers& answers) {
  for (;;) {
    answers.example = ask(session, "Write one catalog number as it stands on an object, e.g. 2031-114-12:", "");
    try {
      std::vector<NumberPiece> pieces = cut_number(answers.example);
      leave_out_piece_letter(session, pieces);
      session.say(as_understood(pieces, answers.example));
      answers.example = number_of(pieces);
      (void)write_house_standard(answers);  // what makes no scheme is told now, not after the last question
      if (agreed(session, "Is that right?")) return pieces;
    } catch (const Error& error) {
      if (error.family() == ErrorFamily::usage) throw;
      session.say(fmt::format("  {}\n", error.what()));
    }
  }
}

double ask_size(const Session& session) {
  for (;;) {
    std::string answer = ask(session, "How small may an object be, in mm, and still carry a glued label?", "15");
    if (answer.ends_with("mm")) answer.resize(answer.size() - 2);
    const auto size = parse_decimal(trim(answer));
    if (size && *size >= 5 && *size <= 500) return *size;
    session.say("  Please write a number of millimetres from 5 to 500.\n");
  }
}

std::string ask_bagging(const Session& session) {
  const std::string answer = choose(
      session, "One bag for each item, for each lot, or as a column of your catalog says?", {"item", "lot", "column"});
  return answer == "column" ? "by column" : "one bag per " + answer;
}

}  // namespace

std::string ask_for_person(const Session& session) {
  session.say("The ledger keeps who does what; who makes it is the first in its register.\n");
  std::string name;
  while (name.empty()) name = ask(session, "What is your name?", "");
  return name;
}

void ask_for_standard(const Session& session, const std::filesystem::path& file) {
  if (std::filesystem::exists(file))
    throw environment_error("this file is already there.", {.file = file.string()},
                            "Use it with --standard, or move it away; nothing is overwritten.");
  session.say("A few questions about your repository's rules. Enter takes what stands in brackets.\n\n");
  StandardAnswers answers;
  while (answers.repository.empty()) answers.repository = ask(session, "What is your repository called?", "");
  const std::vector<NumberPiece> pieces = ask_number(session, answers);
  if (pieces.size() > 1 && pieces.front().kind == "letters")
    answers.fixed_letters = agreed(session, fmt::format("Does every number begin with {}?", pieces.front().text));
  if (pieces.size() >= 3)
    answers.names_lots = choose(session,
                                fmt::format("Does {} name a lot, that is one place where things were found together?",
                                            pieces[pieces.size() - 2].text),
                                {"no", "yes"}) == "yes";
  answers.letters_for_pieces = agreed(session, "May pieces of one item get a letter behind the number?");
  answers.bagging = ask_bagging(session);
  answers.smallest_labelled_mm = ask_size(session);
  answers.paper = choose(session, "Which paper: A4 or letter?", {"a4", "letter"}) == "a4" ? Paper::a4 : Paper::letter;
  answers.date_order = choose(session, "How are dates written: dmy (4.5.2031), mdy or ymd?", {"dmy", "mdy", "ymd"});
  session.write_file(file, write_house_standard(answers));
  session.say(
      fmt::format("\nThe house standard is {}. Read it with your curator and conservator: the rules in it are "
                  "careful ones to begin with.\n\n",
                  printable(file.string())));
}

}  // namespace sherdmark
