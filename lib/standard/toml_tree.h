// A TOML document as plain values with the place each stood at. toml++ lives behind this header.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

struct TomlPlace {
  std::size_t line = 0;
  std::size_t column = 0;
};

struct TomlEntry;

struct TomlNode {
  enum class Kind { table, array, text, whole, decimal, boolean, time };
  Kind kind = Kind::table;
  TomlPlace place;
  std::string text;
  std::int64_t whole = 0;
  double decimal = 0;
  bool boolean = false;
  std::vector<TomlNode> items;     // array
  std::vector<TomlEntry> entries;  // table, in the order of the file

  [[nodiscard]] const TomlEntry* find(std::string_view key) const;
};

struct TomlEntry {
  std::string key;
  TomlPlace place;  // of the key
  TomlNode value;
};

[[nodiscard]] std::string_view to_text(TomlNode::Kind kind);  // "a table", "a whole number" …

// Throws data_error with line and column when the text is not TOML.
[[nodiscard]] TomlNode read_toml(std::string_view text, const std::string& file_name);

}  // namespace sherdmark
