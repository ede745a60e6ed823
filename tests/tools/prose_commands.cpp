#include "tools/prose_commands.h"

#include <algorithm>
#include <cctype>
#include <sstream>

#include "sherdmark/base/text.h"
#include "support/test_support.h"
#include "tools/shown_commands.h"

namespace sherdmark::testing {
namespace {

bool begins_item(const std::string& line) {
  return line.starts_with("- ") || line.starts_with("|") || line.starts_with("#");
}

std::string without(std::string text, const std::string& part) {
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at)) text.erase(at, part.size());
  return text;
}

// FILE, N, IMAGE, A-B,A-C, NUMBER, … stand for something that is written there.
bool is_placeholder(const std::string& word) {
  if (word.size() < 2) return word == "N";
  return std::ranges::any_of(word, [](unsigned char c) { return std::isupper(c) != 0; }) &&
         std::ranges::all_of(word, [](unsigned char c) { return std::isupper(c) != 0 || c == '-' || c == ','; });
}

std::vector<std::string> bare_words(const std::vector<std::string>& form) {
  std::vector<std::string> words;
  for (const std::string& word : form) {
    std::string bare = without(without(without(word, "["), "]"), "…");
    if (!bare.empty()) words.push_back(std::move(bare));
  }
  return words;
}

std::string value_for(const DeclaredOption& option) {
  if (!option.choices.empty()) return option.choices.front();
  if (option.names.front() == "--for") return "bags";
  if (option.names.front() == "--finest") return "4";
  return option.names.front().ends_with("dpi") ? "600" : "1";
}

void put_in_what_is_required(std::vector<std::string>& line, const DeclaredCommand& command, std::size_t words_given) {
  std::size_t words_declared = 0;
  for (const DeclaredOption& option : command.options) {
    if (option.is_word()) {
      if (option.required && words_declared >= words_given) line.push_back(value_for(option));
      ++words_declared;
    } else if (option.required && std::ranges::find(line, option.names.front()) == line.end()) {
      line.insert(line.end(), {option.names.front(), value_for(option)});
    }
  }
}

std::vector<std::string> command_line(const std::vector<std::string>& words, std::size_t variant,
                                      const std::vector<DeclaredCommand>& commands) {
  const DeclaredCommand* command = command_named(commands, words.front());
  if (command == nullptr) return words;
  std::vector<std::string> line{words.front()};
  std::size_t words_given = 0;
  for (std::size_t i = 1; i < words.size(); ++i) {
    const std::vector<std::string> alternatives = split(words[i], '|');
    std::string word = alternatives[variant % alternatives.size()];
    const DeclaredOption* before = option_named(*command, words[i - 1]);
    const bool is_value = before != nullptr && before->takes_value;
    if (is_value && is_placeholder(word) && alternatives.size() == 1) word = value_for(*before);
    if (!is_value && !word.starts_with("-")) ++words_given;
    const DeclaredOption* option = option_named(*command, word);
    line.push_back(std::move(word));
    const bool stands_alone = i + 1 == words.size() || words[i + 1].starts_with("--");
    if (option != nullptr && option->takes_value && stands_alone) line.push_back(value_for(*option));
  }
  if (std::ranges::find(line, "--help") == line.end()) put_in_what_is_required(line, *command, words_given);
  return line;
}

}  // namespace

std::vector<InlineSpan> inline_spans_in(const std::string& text, const std::string& page) {
  std::vector<InlineSpan> spans;
  std::istringstream lines{text};
  std::string line;
  std::string section;
  bool in_block = false;
  bool in_synopsis = false;
  bool in_span = false;
  bool new_paragraph = true;
  for (int number = 1; std::getline(lines, line); ++number) {
    const std::string start{trim(line)};
    if (start.starts_with("```")) in_block = !in_block;
    if (in_block || start.starts_with("```")) continue;
    if (start.starts_with("## ")) section = start.substr(3);
    if (new_paragraph || begins_item(start)) {
      in_span = false;
      in_synopsis = start.starts_with("`sherdmark ");
    }
    new_paragraph = start.empty() || start.starts_with("#");
    if (in_span) spans.back().text += ' ';
    for (const char c : start) {
      if (c == '`') {
        in_span = !in_span;
        if (in_span) spans.push_back({page, page + ":" + std::to_string(number), section, in_synopsis, {}});
      } else if (in_span) {
        spans.back().text += c;
      }
    }
  }
  return spans;
}

std::vector<InlineSpan> all_inline_spans() {
  std::vector<std::filesystem::path> pages{source_dir() / "README.md"};
  for (const auto& entry : std::filesystem::recursive_directory_iterator{source_dir() / "docs"})
    if (entry.path().extension() == ".md") pages.push_back(entry.path());
  std::ranges::sort(pages);
  std::vector<InlineSpan> spans;
  for (const std::filesystem::path& page : pages)
    for (InlineSpan& span : inline_spans_in(read_text(real_file_system(), page),
                                            std::filesystem::relative(page, source_dir()).generic_string()))
      spans.push_back(std::move(span));
  return spans;
}

std::vector<std::string> command_form(const InlineSpan& span, const std::vector<DeclaredCommand>& commands) {
  std::vector<std::string> words = shell_words(span.text);
  if (words.empty()) return {};
  if (words.front() == "sherdmark") {
    words.erase(words.begin());
    return words;
  }
  const DeclaredCommand* of_section = span.in_synopsis ? command_named(commands, span.section) : nullptr;
  const bool continues = of_section != nullptr && !words.front().starts_with("{");
  if (continues) words.insert(words.begin(), of_section->name);
  return words.size() > 1 && command_named(commands, words.front()) != nullptr ? words : std::vector<std::string>{};
}

std::vector<std::vector<std::string>> command_lines(const std::vector<std::string>& form,
                                                    const std::vector<DeclaredCommand>& commands) {
  std::vector<std::string> words = bare_words(form);
  std::size_t variants = 1;
  for (const std::string& word : words) variants = std::max(variants, split(word, '|').size());
  std::ranges::replace(words, "COMMAND", commands.front().name);
  std::vector<std::vector<std::string>> lines;
  for (std::size_t variant = 0; variant < variants; ++variant) lines.push_back(command_line(words, variant, commands));
  return lines;
}

const DeclaredCommand* command_named(const std::vector<DeclaredCommand>& commands, const std::string& name) {
  const auto found = std::ranges::find(commands, name, &DeclaredCommand::name);
  return found == commands.end() ? nullptr : &*found;
}

const DeclaredOption* option_named(const DeclaredCommand& command, const std::string& name) {
  for (const DeclaredOption& option : command.options)
    if (!option.is_word() && std::ranges::find(option.names, name) != option.names.end()) return &option;
  return nullptr;
}

}  // namespace sherdmark::testing
