// Typed access to one table of a house standard, by the list in standard_keys.h. Whatever is wrong is noted with its
// place and reading goes on, so that a person sees everything at once.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "standard_keys.h"
#include "toml_tree.h"

namespace sherdmark {

struct StandardProblem {
  TomlPlace place;
  std::string text;  // whole sentences: what is wrong and what to do
};

// What one reading of a standard gathers.
struct StandardNotes {
  std::vector<StandardProblem> problems;
  std::set<std::string, std::less<>> asked;  // paths of keys the parser looked for
  void add(const TomlPlace& place, std::string text) { problems.push_back({place, std::move(text)}); }
};

class SectionReader {
 public:
  // `table` may be null: the section is absent and every key has its default. `path` is "" or ends in '.'.
  SectionReader(const TomlNode* table, std::string path, TomlPlace place, StandardNotes& notes)
      : table_(table), path_(std::move(path)), place_(place), notes_(notes) {}

  [[nodiscard]] std::string text(std::string_view key);
  [[nodiscard]] std::vector<std::string> texts(std::string_view key);
  [[nodiscard]] std::size_t choice(std::string_view key);  // index into the choices of the key
  [[nodiscard]] bool boolean(std::string_view key);
  [[nodiscard]] std::int64_t whole(std::string_view key);
  [[nodiscard]] double decimal(std::string_view key);
  // `stem` without unit: "width" reads width_mm or width_in, whichever is there; always answers in mm.
  [[nodiscard]] double length_mm(std::string_view stem);
  [[nodiscard]] std::optional<double> optional_length_mm(std::string_view stem);

  // Sub-sections. A list of tables answers one reader for each; a single table one that may be empty.
  [[nodiscard]] std::vector<SectionReader> list(std::string_view key);
  [[nodiscard]] SectionReader section(std::string_view key);
  // Keys chosen by the writer ("columns"): key, value text, place of the key.
  struct Pair {
    std::string key;
    std::string value;
    TomlPlace place;
  };
  [[nodiscard]] std::vector<Pair> pairs();
  [[nodiscard]] std::vector<Pair> choice_pairs(std::vector<std::size_t>& chosen);

  [[nodiscard]] bool has(std::string_view key) const { return table_ != nullptr && table_->find(key) != nullptr; }
  // Place of the key when it is there, else of the section.
  [[nodiscard]] TomlPlace place(std::string_view key = {}) const;
  void problem(std::string_view key, std::string text) { notes_.add(place(key), std::move(text)); }

 private:
  const KeySpec& spec(std::string_view key);
  const TomlNode* value(const KeySpec& key_spec, std::string_view key);
  void wrong_type(const KeySpec& key_spec, const TomlNode& node, std::string_view wanted);
  std::optional<double> number(const KeySpec& key_spec, std::string_view key, double factor);
  std::size_t chosen(const KeySpec& key_spec, const TomlNode& node);
  std::optional<double> length(std::string_view stem);

  const TomlNode* table_;
  std::string path_;
  TomlPlace place_;
  StandardNotes& notes_;
};

// Notes every key of the tree that the list does not know, with what may have been meant.
void check_keys(const TomlNode& root, StandardNotes& notes);

}  // namespace sherdmark
