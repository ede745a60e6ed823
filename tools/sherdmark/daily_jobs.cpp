#include "daily_jobs.h"

#include <fmt/format.h>

#include <algorithm>
#include <istream>
#include <optional>
#include <ostream>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

struct Question {
  std::string ask;
  std::string option;     // "--out"; empty: a word
  std::string otherwise;  // taken when nothing is answered; empty: an answer is needed
};

struct Job {
  std::string does;
  std::string command;
  std::vector<Question> questions;
};

// In the order of a working day.
const std::vector<Job>& jobs() {
  static const std::vector<Job> k_jobs = {
      {"Start a collection with its house standard", "init", {{"Which file is the house standard?", "--standard", ""}}},
      {"Take in a catalog (a spreadsheet or CSV file)", "intake", {{"Which file is the catalog?", "", ""}}},
      {"Decide which artifact gets which label", "plan", {}},
      {"Make label sheets",
       "labels",
       {{"For what: artifacts, bags or tags?", "--for", ""}, {"Into which folder?", "--out", "sheets"}}},
      {"Say that a run of labels came out of the printer well",
       "printed",
       {{"Which run? It stands at the head of every page.", "", ""}}},
      {"Check photographs of bags, tags and artifacts",
       "check",
       {{"Which picture, or which folder of pictures?", "", ""}}},
      {"Look something up: a bag, a number, a serial", "show", {{"What stands on the label?", "", ""}}},
      {"Keep a copy of the ledger", "backup", {{"Into which new file?", "--out", ""}}},
      {"Prove that the ledger is whole", "verify-ledger", {}},
      {"Start a collection without a house standard: a few questions make one", "init", {}},
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
  const std::optional<std::string> answer = listen(session);
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

// Answers are values, never options: "--out=-x", and words after "--".
std::optional<std::vector<std::string>> asked_for(const Session& session, const CommandLine& line, const Job& job) {
  std::vector<std::string> arguments{job.command};
  std::vector<std::string> words;
  std::vector<Question> questions = job.questions;
  if (takes(line, job.command, "--by") && trim(session.person_if_named({})).empty())
    questions.push_back({"Who are you, as the ledger has your name?", "--by", ""});
  for (const Question& question : questions) {
    const std::optional<std::string> answer = ask(session, question);
    if (!answer) return std::nullopt;
    if (question.option.empty())
      words.push_back(*answer);
    else
      arguments.push_back(question.option + "=" + *answer);
  }
  if (!words.empty() && words.front().starts_with('-')) arguments.emplace_back("--");
  arguments.insert(arguments.end(), words.begin(), words.end());
  return arguments;
}

std::vector<Job> offered(const CommandLine& line) {
  std::vector<Job> all;
  for (const Job& job : jobs())
    if (std::ranges::find(line.subcommands, job.command, &Subcommand::name) != line.subcommands.end())
      all.push_back(job);
  return all;
}

void show_menu(const Session& session, const std::vector<Job>& all) {
  session.say("\nWhat would you like to do?\n\n");
  for (std::size_t i = 0; i < all.size(); ++i) session.say(fmt::format("  {:2}  {}\n", i + 1, all[i].does));
  session.say("\nA number, or Enter to leave: ");
  session.seams().out.flush();
}

}  // namespace

int offer_daily_jobs(const Session& session, const CommandLine& line,
                     const std::function<int(const std::vector<std::string>&)>& run) {
  const std::vector<Job> all = offered(line);
  int code = 0;
  for (;;) {
    show_menu(session, all);
    const std::optional<std::string> answer = listen(session);
    if (!answer || answer->empty()) return code;
    const auto number = parse_integer(*answer);
    if (!number || *number < 1 || static_cast<std::size_t>(*number) > all.size()) {
      session.say(fmt::format("There is no job \"{}\".\n", printable(*answer)));
      continue;
    }
    const auto arguments = asked_for(session, line, all[static_cast<std::size_t>(*number) - 1]);
    if (!arguments) {
      session.say("\nNothing was done.\n");
      continue;
    }
    std::vector<std::string> words;
    for (const std::string& argument : *arguments) words.push_back(printable(shell_word(argument)));
    session.say(fmt::format("\nThe same without questions: sherdmark {}\n\n", join(words, " ")));
    code = run(*arguments);
  }
}

}  // namespace sherdmark
