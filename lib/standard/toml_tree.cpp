#include "toml_tree.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_largest_standard_bytes = std::size_t{1} << 20U;

TomlPlace place_of(const toml::source_region& source) { return {source.begin.line, source.begin.column}; }

TomlNode convert(const toml::node& node);

TomlNode convert_table(const toml::table& table) {
  TomlNode result;
  for (const auto& [key, value] : table)
    result.entries.push_back({std::string{key.str()}, place_of(key.source()), convert(value)});
  std::stable_sort(result.entries.begin(), result.entries.end(), [](const TomlEntry& a, const TomlEntry& b) {
    return std::pair{a.place.line, a.place.column} < std::pair{b.place.line, b.place.column};
  });
  return result;
}

TomlNode convert(const toml::node& node) {
  TomlNode result;
  if (const toml::table* table = node.as_table()) {
    result = convert_table(*table);
  } else if (const toml::array* array = node.as_array()) {
    result.kind = TomlNode::Kind::array;
    for (const toml::node& item : *array) result.items.push_back(convert(item));
  } else if (const auto* text = node.as_string()) {
    result.kind = TomlNode::Kind::text;
    result.text = text->get();
  } else if (const auto* whole = node.as_integer()) {
    result.kind = TomlNode::Kind::whole;
    result.whole = whole->get();
  } else if (const auto* decimal = node.as_floating_point()) {
    result.kind = TomlNode::Kind::decimal;
    result.decimal = decimal->get();
  } else if (const auto* boolean = node.as_boolean()) {
    result.kind = TomlNode::Kind::boolean;
    result.boolean = boolean->get();
  } else {
    result.kind = TomlNode::Kind::time;
  }
  result.place = place_of(node.source());
  return result;
}

}  // namespace

const TomlEntry* TomlNode::find(std::string_view key) const {
  const auto entry = std::find_if(entries.begin(), entries.end(), [key](const TomlEntry& e) { return e.key == key; });
  return entry == entries.end() ? nullptr : &*entry;
}

std::string_view to_text(TomlNode::Kind kind) {
  constexpr std::array<std::string_view, 7> k_texts{
      "a table", "a list", "a text", "a whole number", "a decimal number", "true or false", "a date or a time"};
  return k_texts.at(static_cast<std::size_t>(kind));
}

TomlNode read_toml(std::string_view text, const std::string& file_name) {
  if (text.size() > k_largest_standard_bytes)
    throw data_error("This is larger than any house standard.", {file_name},
                     "Give the TOML file of the house standard.");
  try {
    return convert_table(toml::parse(text, file_name));
  } catch (const toml::parse_error& problem) {
    const TomlPlace place = place_of(problem.source());
    throw data_error(
        fmt::format("This is not valid TOML: {}.", printable(problem.description())),
        {file_name, place.line, place.column},
        "Correct the line: texts stand in quotation marks, and so do names with blanks, dots or accents, as "
        "in \"Inv. no.\" = \"number\"; docs/house-standard.md shows the form.");
  }
}

}  // namespace sherdmark
