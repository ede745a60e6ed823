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

std::vector<NumberPiece> ask_number(const Session& session, StandardAnswers& answers) {
  for (;;) {
    answers.example = ask(session, "Write one catalog number as it stands on an object, e.g. 2031-114-12:", "");
    try {
      std::vector<NumberPiece> pieces = cut_number(answers.example);
      std::vector<std::string> words;
      for (const NumberPiece& piece : pieces) words.push_back(fmt::format("{} ({})", piece.text, piece.kind));
      session.say(fmt::format("  It is read as: {}. The last of them counts the items.\n", join(words, ", ")));
      return pieces;
    } catch (const Error& error) {
      session.say(fmt::format("  {}\n", error.what()));
    }
  }
}

double ask_size(const Session& session) {
  for (;;) {
    const std::string answer = ask(session, "How small may an object be, in mm, and still carry a glued label?", "15");
    const auto size = parse_decimal(answer);
    if (size && *size >= 5 && *size <= 500) return *size;
    session.say("  Please write a number of millimetres from 5 to 500.\n");
  }
}

}  // namespace

void ask_for_standard(const Session& session, const std::filesystem::path& file) {
  if (std::filesystem::exists(file))
    throw environment_error("this file is already there.", {.file = file.string()},
                            "Use it with --standard, or move it away; nothing is overwritten.");
  session.say("A few questions about your repository's rules. Enter takes what stands in brackets.\n\n");
  StandardAnswers answers;
  while (answers.repository.empty()) answers.repository = ask(session, "What is your repository called?", "");
  const std::vector<NumberPiece> pieces = ask_number(session, answers);
  if (pieces.size() >= 3)
    answers.names_lots = choose(session,
                                fmt::format("Does {} name a lot, that is one place where things were found together?",
                                            pieces[pieces.size() - 2].text),
                                {"no", "yes"}) == "yes";
  answers.letters_for_pieces =
      choose(session, "May pieces of one item get a letter behind the number?", {"yes", "no"}) == "yes";
  answers.bagging = choose(session, "One bag for each item, or for each lot?", {"item", "lot"}) == "item"
                        ? "one bag per item"
                        : "one bag per lot";
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
