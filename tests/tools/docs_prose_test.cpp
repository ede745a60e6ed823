// Commands in running text, in tables and in synopses, in the examples of --help and in what the tool tells people to
// do next: the tool's own parser takes them all, and every synopsis agrees with the one table of options.
#include <gtest/gtest.h>

#include <algorithm>
#include <regex>
#include <set>
#include <sstream>

#include "commands.h"
#include "label_roles.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "tools/bench.h"
#include "tools/prose_commands.h"
#include "tools/shown_commands.h"

namespace sherdmark::testing {
namespace {

// The tool's parser and its table of options; nothing is acted upon.
class Prose : public ::testing::Test {
 protected:
  // What the parser, or the closed list behind --for, says against these words; empty when it takes them.
  [[nodiscard]] std::string objection(const std::vector<std::string>& words) const {
    const ParsedCommandLine parsed = parse_command_line(line_, words);
    if (parsed.code != 0) return parsed.err;
    const auto role = std::ranges::find(words, "--for");
    if (role == words.end() || role + 1 == words.end()) return {};
    try {
      (void)parse_label_role(*(role + 1));
    } catch (const Error& error) {
      return error.what();
    }
    return {};
  }

  // Against any command line that the span says; empty when the span is no command.
  [[nodiscard]] std::string objection_to(const InlineSpan& span) const {
    const std::vector<std::string> form = command_form(span, commands_);
    if (form.empty()) return {};
    for (const std::vector<std::string>& words : command_lines(form, commands_))
      if (std::string problem = objection(words); !problem.empty()) return join(words, " ") + ": " + problem;
    return {};
  }

  [[nodiscard]] std::string objection_to(const std::string& text) const {
    const std::vector<InlineSpan> spans = inline_spans_in(text, "page");
    return spans.size() == 1 ? objection_to(spans.front()) : std::to_string(spans.size()) + " spans";
  }

  [[nodiscard]] bool some_command_has(const std::string& option) const {
    return option == "--help" || option == "--version" ||
           std::ranges::any_of(
               commands_, [&](const DeclaredCommand& command) { return option_named(command, option) != nullptr; });
  }

  std::istringstream in_;
  std::ostringstream out_;
  FixedClock clock_{parse_time("2031-05-04T09:00:00Z")};
  SeededRandom random_{1};
  Seams seams_{in_, out_, out_, clock_, random_, real_file_system()};
  Environment environment_;
  Session session_{seams_, environment_};
  CommandLine line_ = whole_command_line(session_);
  std::vector<DeclaredCommand> commands_ = declared_commands(line_);
};

// docs/formats/ledger.md lists kinds of events in the first column of its table; some begin like a command.
std::set<std::string> event_kinds() {
  std::set<std::string> kinds;
  std::istringstream lines{read_text(real_file_system(), source_dir() / "docs/formats/ledger.md")};
  for (std::string line; std::getline(lines, line);)
    if (line.starts_with("| `"))
      for (const InlineSpan& span : inline_spans_in(split(line, '|')[1], "")) kinds.insert(span.text);
  return kinds;
}

TEST_F(Prose, names_only_commands_options_and_values_that_the_tool_takes) {
  const std::set<std::string> kinds = event_kinds();
  ASSERT_TRUE(kinds.contains("inventory opened"));
  std::size_t tried = 0;
  for (const InlineSpan& span : all_inline_spans()) {
    if (span.page == "docs/formats/ledger.md" && kinds.contains(span.text)) continue;
    EXPECT_EQ(objection_to(span), "") << span.where << ": `" << span.text << "`";
    tried += command_form(span, commands_).empty() ? 0 : 1;
  }
  EXPECT_GT(tried, 120U) << "the documents name commands in their text";
}

TEST_F(Prose, a_slip_in_a_command_would_be_noticed) {
  for (const char* good : {"Say `sherdmark labels --for bags --out sheets`.", "| `labels --for field-tags` |",
                           "`bench filed|destroyed NUMBER… --copies N`", "`sherdmark help COMMAND`", "`check --record`",
                           "`sherdmark export\n[catalog|bags]`", "`type`", "`labels`"})
    EXPECT_EQ(objection_to(std::string{good}), "") << good;
  for (const char* bad :
       {"`sherdmark lables --out sheets`", "`sherdmark labels --for bags --outt sheets`",
        "`labels --for bagz --out sheets`", "`bench filed|destroid NUMBER… --copies N`",
        "`sherdmark export [catalog|bagz]`", "`grade --least E scans`", "`check --record\n--markd marked`"})
    EXPECT_NE(objection_to(std::string{bad}), "") << bad;
}

// Options that stand alone, "add `--lift`", are of some command. Developers' pages also name those of other programs.
TEST_F(Prose, an_option_that_stands_alone_is_one_of_some_command) {
  const std::set<std::string> of_developers{"docs/CHANGELOG.md",   "docs/performance.md",  "docs/reading.md",
                                            "docs/reliability.md", "docs/architecture.md", "docs/library.md"};
  std::size_t tried = 0;
  for (const InlineSpan& span : all_inline_spans()) {
    if (of_developers.contains(span.page)) continue;
    for (const std::string& word : shell_words(span.text))
      if (const std::string option = word.substr(std::min(word.find("--"), word.size()));
          option.size() > 2 && std::isalpha(static_cast<unsigned char>(option[2])) != 0 &&
          word.find_first_not_of("[(") == word.find("--")) {
        EXPECT_TRUE(some_command_has(option.substr(0, option.find_first_of("]…,")))) << span.where << ": " << option;
        ++tried;
      }
  }
  EXPECT_GT(tried, 150U);
  EXPECT_FALSE(some_command_has("--frobnicate")) << "the check can fail";
}

// The synopses of one command in docs/commands.md.
struct Synopses {
  const DeclaredCommand* command = nullptr;
  std::string where;
  std::vector<std::vector<std::string>> forms;
};

std::vector<Synopses> synopses_of(const std::vector<InlineSpan>& spans, const std::vector<DeclaredCommand>& commands) {
  std::vector<Synopses> all;
  for (const InlineSpan& span : spans) {
    if (!span.in_synopsis) continue;
    std::vector<std::string> form = command_form(span, commands);
    const DeclaredCommand* command = form.empty() ? nullptr : command_named(commands, form.front());
    if (command == nullptr) continue;
    auto known = std::ranges::find(all, command, &Synopses::command);
    if (known == all.end()) known = all.insert(known, {command, span.where, {}});
    known->forms.push_back(std::move(form));
  }
  return all;
}

// What a synopsis says otherwise than the table of options.
std::vector<std::string> differences(const Synopses& synopses) {
  std::vector<std::string> found;
  std::set<std::string> shown;
  for (const std::vector<std::string>& form : synopses.forms) {
    int depth = 0;
    for (std::size_t i = 1; i < form.size(); ++i) {
      const std::string& word = form[i];
      depth += static_cast<int>(std::ranges::count(word, '['));
      const std::string bare = word.substr(word.find_first_not_of('['));
      const DeclaredOption* option = option_named(*synopses.command, bare.substr(0, bare.find_first_of("],…")));
      if (option != nullptr) {
        const bool has_value =
            bare.find(']') == std::string::npos && i + 1 < form.size() && form[i + 1].find_first_of("[-…") != 0;
        if (has_value != option->takes_value)
          found.push_back(bare + (option->takes_value ? " takes a value" : " takes no value"));
        if (option->required && depth > 0) found.push_back(bare + " is required, not optional");
        if (has_value && !option->choices.empty() && form[i + 1].find('|') != std::string::npos) {
          const std::string values = form[i + 1].substr(0, form[i + 1].find_first_of("]…"));
          if (std::ranges::is_permutation(split(values, '|'), option->choices) == false)
            found.push_back(bare + " takes " + join(option->choices, "|") + ", not " + values);
        }
      }
      for (const std::string& part : split(bare.substr(0, bare.find_first_of("]…")), '|')) shown.insert(part);
      depth -= static_cast<int>(std::ranges::count(word, ']'));
    }
  }
  for (const DeclaredOption& option : synopses.command->options) {
    if (option.required && !option.is_word() && !shown.contains(option.names.front()))
      found.push_back(option.names.front() + " is required and not shown");
    if (option.is_word())
      for (const std::string& choice : option.choices)
        if (!shown.contains(choice)) found.push_back("\"" + choice + "\" is not shown");
  }
  return found;
}

TEST_F(Prose, every_synopsis_agrees_with_the_table_of_options) {
  const std::string page = "docs/commands.md";
  const std::vector<InlineSpan> spans = inline_spans_in(read_text(real_file_system(), source_dir() / page), page);
  const std::vector<Synopses> all = synopses_of(spans, commands_);
  EXPECT_GT(all.size(), 25U);
  for (const Synopses& synopses : all)
    EXPECT_EQ(join(differences(synopses), "; "), "") << synopses.where << ": " << synopses.command->name;
}

TEST_F(Prose, a_synopsis_that_does_not_agree_would_be_noticed) {
  const auto differences_in = [this](const std::string& section) {
    const std::vector<Synopses> all = synopses_of(inline_spans_in(section, "page"), commands_);
    return all.size() == 1 ? join(differences(all.front()), "; ") : std::to_string(all.size()) + " synopses";
  };
  EXPECT_EQ(
      differences_in("## export\n\n`sherdmark export [catalog|bags|labels|events] [--out FILE] [--with-restricted]`"),
      "");
  EXPECT_EQ(differences_in("## export\n\n`sherdmark export [catalog|bags|events] [--out]`\n`[--with-restricted WHY]`"),
            "--out] takes a value; --with-restricted takes no value; \"labels\" is not shown");
  EXPECT_EQ(differences_in("## override\n\n`sherdmark grade IMAGE [--least A|B|C]`"),
            "--least takes A|B|C|D|F, not A|B|C");
}

TEST_F(Prose, the_examples_that_help_shows_can_be_typed) {
  for (const DeclaredCommand& command : commands_) {
    std::string example = command.example;
    for (std::size_t at = example.find("\\\n"); at != std::string::npos; at = example.find("\\\n"))
      example.replace(at, 2, " ");
    for (const std::string& line : split(example, '\n')) {
      std::vector<std::string> words = shell_words(line);
      ASSERT_FALSE(words.empty()) << command.name;
      ASSERT_EQ(words.front(), "sherdmark") << command.name << ": " << line;
      words.erase(words.begin());
      EXPECT_EQ(objection(words), "") << line;
    }
  }
}

// "Their tags: sherdmark labels --for field-tags --out DIR": from the name of the tool to the end of that piece of
// text.
TEST_F(Prose, the_tool_tells_people_to_type_only_what_it_takes) {
  const std::regex told{R"(sherdmark ([a-z][a-z-]*)((?: [^ "\\;.),]+)*))"};
  std::size_t tried = 0;
  for (const char* folder : {"lib", "tools/sherdmark"})
    for (const auto& entry : std::filesystem::recursive_directory_iterator{source_dir() / folder}) {
      if (entry.path().extension() != ".cpp" || entry.path().stem() == "completion") continue;
      std::istringstream lines{read_text(real_file_system(), entry.path())};
      for (std::string line; std::getline(lines, line);) {
        if (line.find('"') == std::string::npos) continue;
        for (std::sregex_iterator at{line.begin(), line.end(), told}, end; at != end; ++at) {
          const DeclaredCommand* command = command_named(commands_, (*at)[1]);
          EXPECT_NE(command, nullptr) << entry.path() << ": " << at->str();
          if (command == nullptr) continue;
          for (const std::string& word : shell_words((*at)[2])) {
            const bool known = !word.starts_with("--") || word == "--help" || option_named(*command, word) != nullptr;
            EXPECT_TRUE(known) << entry.path() << ": " << at->str();
          }
          ++tried;
        }
      }
    }
  EXPECT_GT(tried, 60U);
}

// `lib/verify/judge.cpp`, or a link to ../verdicts.md; a name with a part to fill in (`lib/<layer>/thing.h`) is none.
std::vector<std::string> missing_files(const std::string& text, const std::string& page) {
  const std::regex name{R"((lib|tests|tools|docs|samples|cmake)/[A-Za-z0-9_./-]*[A-Za-z0-9_/])"};
  const std::regex link{R"(\]\(([^)#:]+)(#[^)]*)?\))"};
  const std::filesystem::path folder = (source_dir() / page).parent_path();
  std::vector<std::string> missing;
  for (const InlineSpan& span : inline_spans_in(text, page)) {
    const std::string word = span.text.substr(0, span.text.find(' '));
    if (std::regex_match(word, name) && word.find("/name.") == std::string::npos &&
        !std::filesystem::exists(source_dir() / word))
      missing.push_back(span.where + ": " + word);
  }
  for (std::sregex_iterator at{text.begin(), text.end(), link}, end; at != end; ++at)
    if (!std::filesystem::exists(folder / (*at)[1].str())) missing.push_back(page + ": " + (*at)[1].str());
  return missing;
}

TEST(Documents, every_file_that_is_named_or_linked_is_there) {
  std::vector<std::string> pages{"README.md", "DEVELOPERS.md", "lib/README.md", "samples/README.md"};
  for (const auto& entry : std::filesystem::recursive_directory_iterator{source_dir() / "docs"})
    if (entry.path().extension() == ".md")
      pages.push_back(std::filesystem::relative(entry.path(), source_dir()).generic_string());
  EXPECT_GT(pages.size(), 25U);
  for (const std::string& page : pages)
    EXPECT_EQ(join(missing_files(read_text(real_file_system(), source_dir() / page), page), "\n"), "");
  EXPECT_EQ(
      missing_files("`lib/verify/judge.cpp` `lib/verify/jugde.cpp` `lib/<layer>/thing.h`\n[a](../lib) [b](../lob#x) "
                    "[c](https://example.org/x)",
                    "docs/page.md"),
      (std::vector<std::string>{"docs/page.md:1: lib/verify/jugde.cpp", "docs/page.md: ../lob"}))
      << "the check can fail";
}

}  // namespace
}  // namespace sherdmark::testing
