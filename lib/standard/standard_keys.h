// Every key of a house standard: the one list that the parser, its error texts and docs/house-standard.md agree on.
#pragma once

#include <string_view>
#include <vector>

namespace sherdmark {

enum class KeyType {
  text,
  texts,   // a list of texts
  choice,  // one of `choices`, separated by |
  boolean,
  whole,
  decimal,
  length  // mm, or inches when the key ends in _in
};

struct KeySpec {
  std::string_view path;  // "rule[].under_mm"; [] is each of a list of tables, * any key
  KeyType type;
  std::string_view unit;           // "mm", "pt", "h" …; "-" for none
  std::string_view default_value;  // "required", "none", or the value
  double least = 0;                // whole, decimal, length (in the unit of the documented key)
  double most = 0;
  std::string_view choices = {};
};

[[nodiscard]] const std::vector<KeySpec>& standard_keys();
[[nodiscard]] const KeySpec* find_key(std::string_view path);

}  // namespace sherdmark
