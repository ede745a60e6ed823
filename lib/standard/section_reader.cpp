#include "section_reader.h"

#include <fmt/format.h>

#include <cmath>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_required = "required";
constexpr std::string_view k_none = "none";

// The path of the list, with the index of an element turned into [].
std::string in_quotes(std::string_view path) { return fmt::format("\"{}\"", path); }

}  // namespace

TomlPlace SectionReader::place(std::string_view key) const {
  if (table_ != nullptr && !key.empty())
    if (const TomlEntry* entry = table_->find(key)) return entry->place;
  return place_;
}

const KeySpec& SectionReader::spec(std::string_view key) {
  const std::string path = path_ + std::string{key};
  const KeySpec* found = find_key(path);
  if (found == nullptr) throw internal_error(fmt::format("The key {} is not in the list of keys.", path));
  notes_.asked.insert(path);
  return *found;
}

const TomlNode* SectionReader::value(const KeySpec& key_spec, std::string_view key) {
  if (has(key)) return &table_->find(key)->value;
  if (key_spec.default_value == k_required)
    notes_.add(place_, fmt::format("{} is missing. Add it; docs/house-standard.md says what it means.",
                                   in_quotes(key_spec.path)));
  return nullptr;
}

void SectionReader::wrong_type(const KeySpec& key_spec, const TomlNode& node, std::string_view wanted) {
  const bool has_unit = key_spec.unit != "-";
  notes_.add(node.place,
             fmt::format("{} is {}, but must be {}{}. Write {}.", in_quotes(key_spec.path), to_text(node.kind), wanted,
                         has_unit ? fmt::format(" in {}", key_spec.unit) : "",
                         node.kind == TomlNode::Kind::text && wanted.find("number") != std::string_view::npos
                             ? "the number alone, without quotation marks and without a unit"
                             : "it as docs/house-standard.md shows"));
}

std::string SectionReader::text(std::string_view key) {
  const KeySpec& key_spec = spec(key);
  const TomlNode* node = value(key_spec, key);
  if (node == nullptr)
    return key_spec.default_value == k_none || key_spec.default_value == k_required
               ? ""
               : std::string{key_spec.default_value};
  if (node->kind != TomlNode::Kind::text) {
    wrong_type(key_spec, *node, "a text");
    return {};
  }
  if (printable(node->text) != node->text)
    notes_.add(node->place,
               fmt::format("{} holds characters that cannot be printed. Take them out.", in_quotes(key_spec.path)));
  if (key_spec.default_value == k_required && trim(node->text).empty())
    notes_.add(node->place, fmt::format("{} is empty. Write what it asks for.", in_quotes(key_spec.path)));
  return node->text;
}

std::vector<std::string> SectionReader::texts(std::string_view key) {
  const KeySpec& key_spec = spec(key);
  const TomlNode* node = value(key_spec, key);
  std::vector<std::string> result;
  if (node == nullptr) {
    if (key_spec.default_value != k_none && key_spec.default_value != k_required)
      for (const std::string& one : split(key_spec.default_value, ',')) result.emplace_back(trim(one));
    return result;
  }
  if (node->kind != TomlNode::Kind::array) {
    wrong_type(key_spec, *node, "a list of texts");
    return result;
  }
  for (const TomlNode& item : node->items) {
    if (item.kind != TomlNode::Kind::text || trim(item.text).empty() || printable(item.text) != item.text)
      wrong_type(key_spec, item, "a list of texts that can be printed and are not empty");
    else
      result.push_back(item.text);
  }
  return result;
}

std::size_t SectionReader::chosen(const KeySpec& key_spec, const TomlNode& node) {
  const std::vector<std::string> choices = split(key_spec.choices, '|');
  if (node.kind == TomlNode::Kind::text)
    for (std::size_t i = 0; i < choices.size(); ++i)
      if (choices[i] == node.text) return i;
  const std::string given =
      node.kind == TomlNode::Kind::text ? fmt::format("\"{}\"", printable(node.text)) : std::string{to_text(node.kind)};
  notes_.add(node.place,
             fmt::format("{} is {}. Write one of: \"{}\".", in_quotes(key_spec.path), given, join(choices, "\", \"")));
  return 0;
}

std::size_t SectionReader::choice(std::string_view key) {
  const KeySpec& key_spec = spec(key);
  if (const TomlNode* node = value(key_spec, key)) return chosen(key_spec, *node);
  const std::vector<std::string> choices = split(key_spec.choices, '|');
  for (std::size_t i = 0; i < choices.size(); ++i)
    if (choices[i] == key_spec.default_value) return i;
  return 0;
}

bool SectionReader::boolean(std::string_view key) {
  const KeySpec& key_spec = spec(key);
  const TomlNode* node = value(key_spec, key);
  if (node != nullptr && node->kind != TomlNode::Kind::boolean) wrong_type(key_spec, *node, "true or false");
  return node != nullptr && node->kind == TomlNode::Kind::boolean ? node->boolean : key_spec.default_value == "true";
}

std::optional<double> SectionReader::number(const KeySpec& key_spec, std::string_view key, double factor) {
  const TomlNode* node = value(key_spec, key);
  if (node == nullptr) return std::nullopt;
  const bool whole_only = key_spec.type == KeyType::whole;
  const bool is_whole = node->kind == TomlNode::Kind::whole;
  if (!is_whole && (whole_only || node->kind != TomlNode::Kind::decimal)) {
    wrong_type(key_spec, *node, whole_only ? "a whole number" : "a number");
    return std::nullopt;
  }
  const double given = is_whole ? static_cast<double>(node->whole) : node->decimal;
  const double amount = given * factor;
  constexpr double k_slack = 1e-9;
  if (std::isfinite(amount) && amount >= key_spec.least - k_slack && amount <= key_spec.most + k_slack) return amount;
  const std::string unit = key_spec.unit == "-" ? "" : fmt::format(" {}", key_spec.unit);
  notes_.add(
      node->place,
      fmt::format("{} is {}{}, outside {} to {}{}. Check the value and its unit.", in_quotes(key_spec.path), given,
                  factor == 1.0 ? unit : fmt::format(" in = {}{}", amount, unit), key_spec.least, key_spec.most, unit));
  return std::nullopt;
}

std::int64_t SectionReader::whole(std::string_view key) {
  const KeySpec& key_spec = spec(key);
  const std::optional<double> given = number(key_spec, key, 1.0);
  return given ? static_cast<std::int64_t>(*given) : parse_integer(key_spec.default_value).value_or(0);
}

double SectionReader::decimal(std::string_view key) {
  const KeySpec& key_spec = spec(key);
  return number(key_spec, key, 1.0).value_or(parse_decimal(key_spec.default_value).value_or(0));
}

std::optional<double> SectionReader::length(std::string_view stem) {
  const std::string metric = std::string{stem} + "_mm";
  const std::string inches = std::string{stem} + "_in";
  const KeySpec& key_spec = spec(metric);
  if (has(metric) && has(inches))
    problem(inches, fmt::format("The same length is given as {} and {}. Keep one of them.", metric, inches));
  if (!has(metric) && has(inches)) return number(key_spec, inches, k_mm_per_inch);
  return number(key_spec, metric, 1.0);
}

double SectionReader::length_mm(std::string_view stem) {
  const KeySpec& key_spec = spec(std::string{stem} + "_mm");
  return length(stem).value_or(parse_decimal(key_spec.default_value).value_or(0));
}

std::optional<double> SectionReader::optional_length_mm(std::string_view stem) { return length(stem); }

std::vector<SectionReader> SectionReader::list(std::string_view key) {
  std::vector<SectionReader> result;
  if (!has(key)) return result;
  const TomlNode& node = table_->find(key)->value;
  if (node.kind != TomlNode::Kind::array) return result;  // check_keys has said so
  for (const TomlNode& item : node.items)
    if (item.kind == TomlNode::Kind::table)
      result.push_back({&item, fmt::format("{}{}[].", path_, key), item.place, notes_});
  return result;
}

SectionReader SectionReader::section(std::string_view key) {
  const TomlNode* node = has(key) ? &table_->find(key)->value : nullptr;
  if (node != nullptr && node->kind != TomlNode::Kind::table) node = nullptr;  // check_keys has said so
  return {node, fmt::format("{}{}.", path_, key), place(key), notes_};
}

std::vector<SectionReader::Pair> SectionReader::pairs() {
  const KeySpec& key_spec = spec("*");
  std::vector<Pair> result;
  if (table_ == nullptr) return result;
  for (const TomlEntry& entry : table_->entries) {
    if (entry.value.kind == TomlNode::Kind::text)
      result.push_back({entry.key, entry.value.text, entry.place});
    else
      wrong_type(key_spec, entry.value, "a text");
  }
  return result;
}

std::vector<SectionReader::Pair> SectionReader::choice_pairs(std::vector<std::size_t>& chosen_indexes) {
  const KeySpec& key_spec = spec("*");
  std::vector<Pair> result;
  if (table_ == nullptr) return result;
  for (const TomlEntry& entry : table_->entries) {
    chosen_indexes.push_back(chosen(key_spec, entry.value));
    result.push_back({entry.key, entry.value.text, entry.place});
  }
  return result;
}

}  // namespace sherdmark
