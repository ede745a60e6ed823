// Every command that the documents show in a block of its own is understood by the tool as it is now.
#include <gtest/gtest.h>

#include <filesystem>
#include <sstream>

#include "commands.h"
#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

namespace fs = std::filesystem;

// The words of a shell line up to a comment, a pipe or a redirection; quotes of both kinds are taken off.
std::vector<std::string> shell_words(const std::string& line) {
  std::vector<std::string> words;
  std::string word;
  bool in_word = false;
  char quote = 0;
  for (const char c : line) {
    if (quote != 0) {
      if (c == quote)
        quote = 0;
      else
        word += c;
      continue;
    }
    if (c == '"' || c == '\'') {
      quote = c;
      in_word = true;
    } else if (c == ' ') {
      if (in_word) words.push_back(std::exchange(word, {}));
      in_word = false;
    } else if (!in_word && (c == '#' || c == '|' || c == '>' || c == '<' || c == '&')) {
      return words;
    } else {
      word += c;
      in_word = true;
    }
  }
  if (in_word) words.push_back(word);
  return words;
}

struct ShownCommand {
  std::string where;
  std::vector<std::string> arguments;
};

void commands_of(const fs::path& file, std::vector<ShownCommand>& commands) {
  std::istringstream lines{read_text(real_file_system(), file)};
  std::string line;
  bool in_block = false;
  for (int number = 1; std::getline(lines, line); ++number) {
    const std::size_t start = line.find_first_not_of(' ');
    if (start == std::string::npos) continue;
    line = line.substr(start);
    if (line.starts_with("```")) in_block = !in_block;
    if (!in_block || !line.starts_with("sherdmark ")) continue;
    std::vector<std::string> words = shell_words(line);
    words.erase(words.begin());
    commands.push_back({file.filename().string() + ":" + std::to_string(number), words});
  }
}

std::vector<ShownCommand> all_shown_commands() {
  std::vector<ShownCommand> commands;
  commands_of(source_dir() / "README.md", commands);
  for (const auto& entry : fs::recursive_directory_iterator{source_dir() / "docs"})
    if (entry.path().extension() == ".md") commands_of(entry.path(), commands);
  return commands;
}

TEST(Documents, show_only_commands_that_the_tool_understands) {
  std::istringstream in;
  std::ostringstream out;
  FixedClock clock{parse_time("2031-05-04T09:00:00Z")};
  SeededRandom random{1};
  const Seams seams{in, out, out, clock, random, real_file_system()};
  const Environment environment;
  const Session session{seams, environment};
  const CommandLine line = whole_command_line(session);
  const std::vector<ShownCommand> commands = all_shown_commands();
  ASSERT_GT(commands.size(), 15U) << "the documents show commands in blocks";
  for (const ShownCommand& command : commands) {
    const ParsedCommandLine parsed = parse_command_line(line, command.arguments);
    EXPECT_TRUE(parsed.act) << command.where << ": " << parsed.err;
  }
}

TEST(Documents, a_command_nobody_knows_would_be_noticed) {
  EXPECT_EQ(shell_words("sherdmark register \"M. Oduya\" --by 'R. Quill'   # another"),
            (std::vector<std::string>{"sherdmark", "register", "M. Oduya", "--by", "R. Quill"}));
  Bench bench;
  (void)bench.expect(2, {"labels", "--for-everything"});
}

}  // namespace
}  // namespace sherdmark::testing
