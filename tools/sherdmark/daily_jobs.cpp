#include "daily_jobs.h"

#include <fmt/format.h>

#include <algorithm>
#include <istream>
#include <optional>
#include <ostream>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

enum class Answer { word, value, flag };  // words as they are; "--out=ANSWER"; "--record" when the answer is yes

struct Question {
  std::string ask;
  Answer answer = Answer::word;
  std::string option;
  std::string otherwise;  // taken when nothing is answered; empty: an answer is needed
};

struct Job {
  std::string heading;
  std::string does;
  std::vector<std::string> words;  // the command, and what it is to do
  std::vector<Question> questions;
};

const std::vector<Job>& jobs_of_an_empty_folder() {
  static const std::vector<Job> k_jobs = {
      {"Begin", "Start a collection: a few questions make its house standard", {"init"}, {}},
      {"Begin",
       "Start a collection with a house standard that you have",
       {"init"},
       {{"Which file is the house standard?", Answer::value, "--standard", ""}}},
      {"Begin",
       "Make a ledger again from a backup or an archive package",
       {"restore"},
       {{"Which file or folder is the backup?", Answer::word, "", ""}}},
  };
  return k_jobs;
}

// In the order of a working day.
const std::vector<Job>& jobs_of_a_collection() {
  static const std::vector<Job> k_jobs = {
      {"Catalog and labels",
       "Take in a catalog (a spreadsheet or CSV file)",
       {"intake"},
       {{"Which file is the catalog?", Answer::word, "", ""}}},
      {"Catalog and labels", "Decide which artifact gets which label", {"plan"}, {}},
      {"Catalog and labels",
       "Make label sheets",
       {"labels"},
       {{"For what: artifacts, bags or tags?", Answer::value, "--for", ""},
        {"Into which folder?", Answer::value, "--out", "sheets"}}},
      {"Catalog and labels",
       "Say that a run of labels came out of the printer well",
       {"printed"},
       {{"Which run? It stands at the head of every page.", Answer::word, "", ""}}},
      {"Catalog and labels",
       "Make the working list for applying a run of labels",
       {"bench", "list"},
       {{"Which run? It stands at the head of every page.", Answer::word, "", ""},
        {"Into which PDF file?", Answer::value, "--out", "bench.pdf"}}},
      {"Do they agree?", "Scan bags, tags and artifacts with a handheld scanner", {"scan"}, {}},
      {"Do they agree?",
       "Check photographs of bags, tags and artifacts",
       {"check"},
       {{"Which picture, or which folder of pictures?", Answer::word, "", ""},
        {"Into which folder with the marked pictures?", Answer::value, "--marked", "marked"},
        {"Keep the verdicts in the ledger, yes or no?", Answer::flag, "--record", "yes"}}},
      {"Do they agree?", "Key what could not be read in those photographs", {"review"}, {}},
      {"In the stores",
       "Say where a bag or a box is now",
       {"move"},
       {{"Which bag or box?", Answer::word, "", ""},
        {"Where is it now?", Answer::value, "--to", ""},
        {"Is that a place which the ledger does not know yet, yes or no?", Answer::flag, "--new-place", "no"}}},
      {"In the stores",
       "Open an inventory",
       {"inventory", "open"},
       {{"Of which place? All below it belongs to it.", Answer::value, "--place", ""}}},
      {"In the stores",
       "Go on with the inventory, with a handheld scanner",
       {"inventory", "scan"},
       {{"Where are you?", Answer::value, "--place", ""}}},
      {"In the stores", "See how far the inventory is", {"inventory", "status"}, {}},
      {"In the stores",
       "Close the inventory and write its report",
       {"inventory", "close"},
       {{"Into which folder?", Answer::value, "--out", "reports"}}},
      {"The ledger",
       "Look something up: a bag, a number, a serial",
       {"show"},
       {{"What stands on the label?", Answer::word, "", ""}}},
      {"The ledger", "Keep a copy of it", {"backup"}, {{"Into which new file?", Answer::value, "--out", ""}}},
      {"The ledger", "Prove that it is whole", {"verify-ledger"}, {}},
  };
  return k_jobs;
}

std::optional<std::string> listen(const Session& session) {
  std::string answer;
  if (!std::getline(session.seams().in, answer)) return std::nullopt;
  return std::string{trim(answer)};
}

// The answer, or nothing when the person would rather not.
std::optional<std::string> ask(const Session& session, const Question& question) {
  session.say(question.otherwise.empty() ? fmt::format("  {} ", question.ask)
                                         : fmt::format("  {} [{}] ", question.ask, question.otherwise));
  session.seams().out.flush();
  std::optional<std::string> answer = listen(session);
  if (!answer) return std::nullopt;
  if (!answer->empty()) return answer;
  return question.otherwise.empty() ? std::nullopt : std::optional{question.otherwise};
}

bool takes(const CommandLine& line, const std::string& command, const std::string& option) {
  for (const DeclaredCommand& declared : declared_commands(line))
    if (declared.name == command)
      return std::ranges::any_of(declared.options, [&](const DeclaredOption& one) {
        return std::ranges::find(one.names, option) != one.names.end();
      });
  return false;
}

std::string shell_word(const std::string& word) {
  const bool plain = !word.empty() && std::ranges::all_of(word, [](unsigned char c) {
    return (std::isalnum(c) != 0) || c == '-' || c == '.' || c == '/' || c == '_' || c == '=' || c == ':';
  });
  if (plain) return word;
  std::string text = "'";
  for (const char c : word) text += c == '\'' ? std::string{"'\\''"} : std::string{c};
  return text + "'";
}

std::optional<bool> yes_or_no(const std::string& answer) {
  const std::string word = to_lower_ascii(answer);
  if (word == "yes" || word == "y") return true;
  if (word == "no" || word == "n") return false;
  return std::nullopt;
}

// Answers are values, never options: "--out=-x", and words after "--". `person` is who said so before, or nobody yet.
std::optional<std::vector<std::string>> asked_for(const Session& session, const CommandLine& line, const Job& job,
                                                  std::string& person) {
  std::vector<std::string> arguments{job.words};
  std::vector<std::string> words;
  std::vector<Question> questions = job.questions;
  const bool needs_person = takes(line, job.words.front(), "--by") && trim(session.person_if_named({})).empty();
  if (needs_person && !person.empty()) arguments.push_back("--by=" + person);
  if (needs_person && person.empty())
    questions.push_back({"Who are you, as the ledger has your name?", Answer::value, "--by", ""});
  for (const Question& question : questions) {
    const std::optional<std::string> answer = ask(session, question);
    if (!answer) return std::nullopt;
    switch (question.answer) {
      case Answer::word:
        words.push_back(*answer);
        break;
      case Answer::value:
        arguments.push_back(question.option + "=" + *answer);
        if (question.option == "--by") person = *answer;
        break;
      case Answer::flag:
        if (!yes_or_no(*answer)) return std::nullopt;
        if (*yes_or_no(*answer)) arguments.push_back(question.option);
    }
  }
  if (!words.empty() && words.front().starts_with('-')) arguments.emplace_back("--");
  arguments.insert(arguments.end(), words.begin(), words.end());
  return arguments;
}

const std::vector<Job>& show_menu(const Session& session) {
  const std::filesystem::path ledger = session.ledger_file({});
  const bool there = std::filesystem::exists(ledger);
  session.say(there ? fmt::format("\nThe ledger is {}.\n", printable(ledger.string()))
                    : fmt::format("\nThere is no ledger here yet ({}).\n", printable(ledger.string())));
  const std::vector<Job>& jobs = there ? jobs_of_a_collection() : jobs_of_an_empty_folder();
  session.say("What would you like to do?\n");
  std::string heading;
  for (std::size_t i = 0; i < jobs.size(); ++i) {
    if (jobs[i].heading != heading) session.say(fmt::format("\n  {}\n", jobs[i].heading));
    heading = jobs[i].heading;
    session.say(fmt::format("    {:2}  {}\n", i + 1, jobs[i].does));
  }
  session.say("\nA number, or Enter to leave: ");
  session.seams().out.flush();
  return jobs;
}

}  // namespace

int offer_daily_jobs(const Session& session, const CommandLine& line,
                     const std::function<int(const std::vector<std::string>&)>& run) {
  int code = 0;
  std::string person;  // said once; asked again when a job could not be begun, for the name may be the reason
  for (;;) {
    const std::vector<Job>& all = show_menu(session);
    std::optional<std::string> answer = listen(session);
    if (!answer || answer->empty()) return code;
    const auto number = parse_integer(*answer);
    if (!number || *number < 1 || static_cast<std::size_t>(*number) > all.size()) {
      session.say(fmt::format("There is no job \"{}\".\n", printable(*answer)));
      continue;
    }
    const auto arguments = asked_for(session, line, all[static_cast<std::size_t>(*number) - 1], person);
    if (!arguments) {
      session.say("\nThat question needs an answer, so nothing was done.\n");
      continue;
    }
    std::vector<std::string> words;
    for (const std::string& argument : *arguments) words.push_back(printable(shell_word(argument)));
    session.say(fmt::format("\nThe same without questions: sherdmark {}\n\n", join(words, " ")));
    code = run(*arguments);
    if (code == static_cast<int>(ErrorFamily::usage)) person.clear();
  }
}

}  // namespace sherdmark
