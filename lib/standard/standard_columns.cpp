#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "sherdmark/base/text.h"
#include "standard_parts.h"

namespace sherdmark {

const std::vector<std::string>& catalog_field_names() {
  static const std::vector<std::string> k_names{
      "number",       "accession",       "site",      "kind",       "object",  "material", "surface",
      "count",        "weight_g",        "volume_ml", "largest_mm", "status",  "flags",    "former_numbers",
      "field_number", "assembly",        "bags",      "unit",       "stratum", "level",    "feature",
      "depth_top_cm", "depth_bottom_cm", "date",      "excavators", "place",   "box",      "remarks"};
  return k_names;
}

namespace {

bool is_field(const std::string& name) {
  const std::vector<std::string>& names = catalog_field_names();
  return std::find(names.begin(), names.end(), name) != names.end();
}

void read_column_map(SectionReader& root, HouseStandard& standard, StandardNotes& notes) {
  SectionReader section = root.section("columns");
  std::map<std::string, std::string> header_of;  // field → header
  std::map<std::string, std::string> folded;     // header without case → header
  for (const SectionReader::Pair& pair : section.pairs()) {
    if (!is_field(pair.value)) {
      notes.add(pair.place,
                fmt::format("The column \"{}\" is to be \"{}\", which is no catalog field. The fields are: {}.",
                            printable(pair.key), printable(pair.value), join(catalog_field_names(), ", ")));
      continue;
    }
    if (const auto [other, is_new] = header_of.try_emplace(pair.value, pair.key); !is_new)
      notes.add(pair.place, fmt::format("The columns \"{}\" and \"{}\" are both to be \"{}\". Keep one of them.",
                                        printable(other->second), printable(pair.key), pair.value));
    if (!folded.try_emplace(to_lower_ascii(trim(pair.key)), pair.key).second)
      notes.add(pair.place,
                fmt::format("The column \"{}\" stands twice, but for capitals and spaces. Keep one of them.",
                            printable(pair.key)));
    standard.columns[pair.key] = pair.value;
  }
}

}  // namespace

void read_columns(SectionReader& root, HouseStandard& standard, StandardNotes& notes) {
  read_column_map(root, standard, notes);
  SectionReader section = root.section("column_classes");
  std::vector<std::size_t> classes;
  const std::vector<SectionReader::Pair> pairs = section.choice_pairs(classes);
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const auto mapped = standard.columns.find(pairs[i].key);
    if (mapped != standard.columns.end() && mapped->second != pairs[i].key)
      notes.add(pairs[i].place,
                fmt::format("The column \"{}\" is read as the field \"{}\". Give the class under the field's name.",
                            printable(pairs[i].key), mapped->second));
    standard.column_classes[pairs[i].key] = static_cast<ColumnClass>(classes[i]);
  }
  SectionReader opening = root.section("standard");
  for (const std::string& field : standard.required_columns)
    if (!is_field(field))
      opening.problem("required_columns", fmt::format("\"{}\" is no catalog field. The fields are: {}.",
                                                      printable(field), join(catalog_field_names(), ", ")));
}

}  // namespace sherdmark
