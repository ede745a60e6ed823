// Unknown keys, wrong shapes, and what may have been meant.
#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "section_reader.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

bool starts_with(std::string_view text, std::string_view opening) { return text.substr(0, opening.size()) == opening; }

// The listed path for a key as written: itself, its _mm twin, or its section's "*".
const KeySpec* spec_of(const std::string& section, const std::string& key) {
  if (const KeySpec* exact = find_key(section + key); exact != nullptr && key != "*") return exact;
  if (key.size() > 3 && key.ends_with("_in"))
    if (const KeySpec* metric = find_key(section + key.substr(0, key.size() - 2) + "mm"))
      if (metric->type == KeyType::length) return metric;
  return find_key(section + "*");
}

bool is_section(const std::string& path) {
  const std::vector<KeySpec>& keys = standard_keys();
  return std::any_of(keys.begin(), keys.end(), [&path](const KeySpec& key) { return starts_with(key.path, path); });
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({above + 1, row[j - 1] + 1, diagonal + (a[i - 1] == b[j - 1] ? 0U : 1U)});
      diagonal = above;
    }
  }
  return row[b.size()];
}

// The last name of a listed path that lies directly in the section.
std::optional<std::string> name_in_section(std::string_view path, std::string_view section) {
  if (!starts_with(path, section)) return std::nullopt;
  std::string name{path.substr(section.size())};
  if (const std::size_t end = name.find_first_of(".["); end != std::string::npos) name.resize(end);
  return name.empty() || name == "*" ? std::nullopt : std::optional{name};
}

std::string stem_of(const std::string& key) { return key.substr(0, key.rfind('_')); }

std::string advice(const std::string& section, const std::string& key) {
  std::string nearest;
  std::size_t nearest_distance = 4;
  constexpr std::size_t k_longest_compared = 64;
  for (const KeySpec& spec : standard_keys()) {
    const std::optional<std::string> name = name_in_section(spec.path, section);
    if (!name) continue;
    if (spec.type == KeyType::length && (stem_of(key) == stem_of(*name) || key == stem_of(*name)))
      return fmt::format("This length ends in _mm (millimetres) or _in (inches): write {}_mm or {}_in.", stem_of(*name),
                         stem_of(*name));
    if (spec.unit != "-" && name->find('_') != std::string::npos &&
        (stem_of(key) == stem_of(*name) || key == stem_of(*name)))
      return fmt::format("Its unit is {}: write {}.", spec.unit, *name);
    if (key.size() > k_longest_compared) continue;
    const std::size_t distance = edit_distance(key, *name);
    if (distance < nearest_distance) nearest_distance = distance, nearest = *name;
  }
  if (!nearest.empty()) return fmt::format("Did you mean \"{}\"?", nearest);
  return "Take it out, or correct its name; docs/house-standard.md lists every key.";
}

void check_table(const TomlNode& table, const std::string& section, StandardNotes& notes);

void check_entry(const TomlEntry& entry, const std::string& section, StandardNotes& notes) {
  if (spec_of(section, entry.key) != nullptr) return;
  const bool one = is_section(section + entry.key + ".");
  const bool many = is_section(section + entry.key + "[].");
  if (!one && !many) {
    notes.add(entry.place, fmt::format("\"{}{}\" is not a key of a house standard. {}", section, printable(entry.key),
                                       advice(section, entry.key)));
  } else if (one && entry.value.kind != TomlNode::Kind::table) {
    notes.add(entry.place, fmt::format("\"{}{}\" is {}, but must be a section. Write [{}{}] above its keys.", section,
                                       entry.key, to_text(entry.value.kind), section, entry.key));
  } else if (one) {
    check_table(entry.value, section + entry.key + ".", notes);
  } else {
    const std::vector<TomlNode>& items = entry.value.items;
    const bool tables = entry.value.kind == TomlNode::Kind::array &&
                        std::all_of(items.begin(), items.end(),
                                    [](const TomlNode& item) { return item.kind == TomlNode::Kind::table; });
    if (!tables)
      notes.add(entry.place, fmt::format("\"{}{}\" must be a list of sections. Write [[{}{}]] above the keys of each.",
                                         section, entry.key, section, entry.key));
    for (const TomlNode& item : items)
      if (item.kind == TomlNode::Kind::table) check_table(item, section + entry.key + "[].", notes);
  }
}

void check_table(const TomlNode& table, const std::string& section, StandardNotes& notes) {
  for (const TomlEntry& entry : table.entries) check_entry(entry, section, notes);
}

}  // namespace

void check_keys(const TomlNode& root, StandardNotes& notes) { check_table(root, "", notes); }

}  // namespace sherdmark
