// The commands that README.md and the pages under docs/ show in blocks of their own.
#pragma once

#include <filesystem>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "sherdmark/base/files.h"
#include "support/test_support.h"

namespace sherdmark::testing {

// The words of a shell line up to a comment, a pipe or a redirection; quotes of both kinds are taken off.
inline std::vector<std::string> shell_words(const std::string& line) {
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
  std::string page;  // below the source folder
  std::string where;
  std::vector<std::string> arguments;
};

inline std::vector<ShownCommand> commands_of(const std::filesystem::path& file) {
  std::vector<ShownCommand> commands;
  const std::string page = std::filesystem::relative(file, source_dir()).generic_string();
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
    commands.push_back({page, page + ":" + std::to_string(number), words});
  }
  return commands;
}

inline std::vector<ShownCommand> all_shown_commands() {
  std::vector<ShownCommand> commands = commands_of(source_dir() / "README.md");
  for (const auto& entry : std::filesystem::recursive_directory_iterator{source_dir() / "docs"}) {
    if (entry.path().extension() != ".md") continue;
    std::vector<ShownCommand> more = commands_of(entry.path());
    commands.insert(commands.end(), more.begin(), more.end());
  }
  return commands;
}

}  // namespace sherdmark::testing
