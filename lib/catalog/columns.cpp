#include "catalog/columns.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <unordered_map>
#include <utility>

#include "catalog/unicode_text.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

struct FieldNames {
  Field field;
  std::string_view name;
  std::string_view synonyms;  // "|" between; lower case, single spaces, without units (docs/catalog.md lists the same)
};

constexpr std::array<FieldNames, k_field_count + 1> k_fields = {{
    {Field::number, "number",
     "catalog number|catalogue number|cat number|cat no|catalog no|catalogue no|catalog|cat|no|item number|item no|"
     "artifact number|artifact no|artefact number|object number|object id|specimen number|specimen no|"
     "provenience number|catalog id|catalog num|cat num|inventory number|inventory no|inventory|inv no|inv number|inv"},
    {Field::accession, "accession", "accession number|accession no|accession id|acc|acc no|acc number|acc num"},
    {Field::site, "site", "site number|site no|site id|site name|trinomial|site trinomial|state site number"},
    {Field::kind, "kind", "item kind|type of item|record kind|item type|kind of item"},
    {Field::object, "object",
     "object name|artifact|artefact|artifact type|description|object type|item|item name|class"},
    {Field::material, "material", "materials|raw material|material type|material class|ware"},
    {Field::surface, "surface", "surface treatment|finish|surface finish"},
    {Field::count, "count",
     "counts|quantity|qty|n|number of pieces|pieces|no of pieces|piece count|number of items|ct|"
     "total count|how many|frequency"},
    {Field::weight_g, "weight_g", "weight|wt|mass|total weight"},
    {Field::volume_ml, "volume_ml", "volume|vol|sample volume"},
    {Field::largest_mm, "largest_mm",
     "largest|largest dimension|max dimension|maximum dimension|greatest dimension|length|max length|maximum "
     "length|size|"
     "max size|longest dimension"},
    {Field::status, "status", "current status|collection status"},
    {Field::flags, "flags", "flag|care|care flags|handling|restrictions"},
    {Field::former_numbers, "former_numbers",
     "former number|former no|old number|old no|old numbers|previous number|previous numbers|original number|"
     "other number|other numbers|formerly|former catalog number|old catalog number"},
    {Field::field_number, "field_number",
     "field no|field specimen|field specimen number|fs|fs no|fs number|field id|field catalog number|field bag number"},
    {Field::assembly, "assembly",
     "vessel|vessel number|vessel no|mended vessel|refit|refits|refit group|joins|mends with"},
    {Field::bags, "bags", "bag|bag number|bag numbers|bag no|bag nos|bag id"},
    {Field::unit, "unit", "excavation unit|square|grid|grid square|test unit|trench|unit number|unit no|grid unit"},
    {Field::stratum, "stratum", "strata|layer|stratigraphic unit|context|context number|locus"},
    {Field::level, "level", "lvl|arbitrary level|level number|level no|spit"},
    {Field::feature, "feature", "feature number|feature no|feat|feat no"},
    {Field::depth_top_cm, "depth_top_cm",
     "depth top|top depth|depth from|top|upper depth|start depth|opening depth|depth start|depth begin"},
    {Field::depth_bottom_cm, "depth_bottom_cm",
     "depth bottom|bottom depth|depth to|bottom|lower depth|end depth|closing depth|depth end"},
    {Field::date, "date",
     "date excavated|excavation date|date collected|collection date|date found|date of excavation|"
     "field date|excavated|dates"},
    {Field::excavators, "excavators",
     "excavator|excavated by|collector|collected by|collectors|crew|initials|found by|finder"},
    {Field::place, "place",
     "location|storage location|shelf|storage|home|home location|current location|storage place"},
    {Field::box, "box", "box number|box no|container|carton|box id"},
    {Field::remarks, "remarks", "remark|comment|comments|note|notes"},
    {Field::depth_range_cm, "depth_range_cm", "depth|depths|depth range|depth below surface|depth below datum"},
}};

struct UnitFactor {
  Measure measure;
  std::string_view unit;
  double factor;  // to g, ml or mm
};

// Inch, foot, pound and ounce are exact by definition (international yard and pound, 1959).
constexpr std::array<UnitFactor, 32> k_units = {{
    {Measure::mass, "g", 1},          {Measure::mass, "gm", 1},          {Measure::mass, "gr", 1},
    {Measure::mass, "gms", 1},        {Measure::mass, "gram", 1},        {Measure::mass, "grams", 1},
    {Measure::mass, "kg", 1000},      {Measure::mass, "mg", 0.001},      {Measure::mass, "oz", 28.349523125},
    {Measure::mass, "lb", 453.59237}, {Measure::mass, "lbs", 453.59237}, {Measure::volume, "ml", 1},
    {Measure::volume, "l", 1000},     {Measure::volume, "liters", 1000}, {Measure::volume, "litres", 1000},
    {Measure::volume, "cl", 10},      {Measure::volume, "cc", 1},        {Measure::volume, "cm3", 1},
    {Measure::length, "mm", 1},       {Measure::length, "cm", 10},       {Measure::length, "m", 1000},
    {Measure::length, "in", 25.4},    {Measure::length, "inch", 25.4},   {Measure::length, "inches", 25.4},
    {Measure::length, "ft", 304.8},   {Measure::length, "feet", 304.8},  {Measure::length, "foot", 304.8},
    {Measure::length, "cmbs", 10},    {Measure::length, "cmbd", 10},     {Measure::length, "cm bs", 10},
    {Measure::length, "cm bd", 10},   {Measure::length, "cmbgs", 10},
}};

// Lower case, every other sign than letters and digits a single space.
std::string plain_words(std::string_view header) {
  const std::string typed = is_plain_ascii(header) ? std::string{header} : as_typed(to_nfc(header), false).text;
  std::string words;
  for (const char c : to_lower_ascii(typed)) {
    const bool word = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80;
    if (c == '#') words += words.empty() || words.back() == ' ' ? "no" : " no";
    if (c == '\'') continue;
    if (word)
      words.push_back(c);
    else if (!words.empty() && words.back() != ' ')
      words.push_back(' ');
  }
  if (!words.empty() && words.back() == ' ') words.pop_back();
  return words;
}

const std::unordered_map<std::string, Field>& known_headers() {
  static const std::unordered_map<std::string, Field> headers = [] {
    std::unordered_map<std::string, Field> made;
    for (const FieldNames& names : k_fields) {
      made.emplace(plain_words(names.name), names.field);
      for (const std::string& synonym : split(names.synonyms, '|')) made.emplace(synonym, names.field);
    }
    return made;
  }();
  return headers;
}

std::optional<Field> field_named(std::string_view name) {
  for (const FieldNames& names : k_fields)
    if (names.name == name) return names.field;
  return std::nullopt;
}

struct HeaderMeaning {
  Field field = Field::extra;
  std::string unit{};
};

// "weight g", "depth top cm bs": the last one or two words may be a unit.
HeaderMeaning by_synonym(const std::string& words) {
  const auto& known = known_headers();
  if (const auto found = known.find(words); found != known.end()) {
    return {found->second, {}};
  }
  // "box no", "box nr", "box id": the number or name of the thing is the thing.
  if (const std::size_t last = words.rfind(' '); last != std::string::npos) {
    const std::string_view word = std::string_view{words}.substr(last + 1);
    if (word == "no" || word == "nr" || word == "num" || word == "number" || word == "numbers" || word == "id")
      if (const auto found = known.find(words.substr(0, last)); found != known.end()) return {found->second, {}};
  }
  std::size_t space = words.rfind(' ');
  for (int tries = 0; tries < 2 && space != std::string::npos && space > 0; ++tries) {
    const auto found = known.find(words.substr(0, space));
    if (found != known.end() && unit_factor(found->second, words.substr(space + 1)) > 0)
      return {found->second, words.substr(space + 1)};
    space = words.rfind(' ', space - 1);
  }
  return {};
}

// The unit a header ends with, for a field that is already known.
std::string unit_in(const std::string& words, Field field) {
  for (std::size_t space = words.rfind(' '); space != std::string::npos && space > 0;
       space = words.rfind(' ', space - 1))
    if (unit_factor(field, words.substr(space + 1)) > 0) return words.substr(space + 1);
  return {};
}

using OwnColumns = std::unordered_map<std::string, Field>;

// The standard's [columns], by plain words. An empty name or "extra" keeps a column out of the fields.
OwnColumns own_columns(const HouseStandard& standard) {
  OwnColumns own;
  for (const auto& [header, name] : standard.columns) {
    const bool kept_out = name.empty() || name == "extra";
    const auto field = kept_out ? std::optional{Field::extra} : field_named(name);
    if (!field)
      throw data_error(
          fmt::format("The house standard maps the column \"{}\" to \"{}\", which is no field of a catalog.",
                      printable(header), printable(name)),
          {}, fmt::format("Use one of: {}.", join(catalog_fields(), ", ")));
    own[plain_words(header)] = *field;
  }
  return own;
}

HeaderMeaning meaning_of(std::string_view header, const OwnColumns& own) {
  const std::string words = plain_words(header);
  if (const auto found = own.find(words); found != own.end()) return {found->second, unit_in(words, found->second)};
  return by_synonym(words);
}

bool is_restricted(const HouseStandard& standard, const std::string& name) {
  // A class may be given to the field or to the header as it stands in the file.
  const auto found = standard.column_classes.find(name);
  return found != standard.column_classes.end() && sherdmark::is_restricted(found->second);
}

void check_duplicates(const std::vector<Column>& columns, const Table& table, std::vector<CatalogProblem>& problems) {
  std::unordered_map<std::string, std::size_t> seen;
  for (std::size_t i = 0; i < columns.size(); ++i) {
    const Column& column = columns[i];
    const std::string key = column.field == Field::extra ? "\"" + plain_words(column.header) : column.name;
    const auto [first, is_new] = seen.emplace(key, i);
    if (is_new) continue;
    const std::string& other = columns[first->second].header;
    std::string what =
        column.header == other
            ? fmt::format("Columns {} and {} have the same header.", first->second + 1, i + 1)
            : fmt::format("Columns {} (\"{}\") and {} (\"{}\") both mean {}.", first->second + 1, printable(other),
                          i + 1, printable(column.header), column.field == Field::extra ? "the same" : column.name);
    problems.push_back({Severity::problem,
                        table.file,
                        table.header_row,
                        column.header,
                        {},
                        std::move(what),
                        "Delete or rename one of them; no row can be taken before."});
  }
}

std::size_t known_headings(const std::vector<std::string>& cells, const OwnColumns& own) {
  return static_cast<std::size_t>(std::count_if(cells.begin(), cells.end(), [&own](const std::string& cell) {
    return !trim(cell).empty() && meaning_of(trim(cell), own).field != Field::extra;
  }));
}

// File row that looks like the header, below a title; nothing when the first row looks no less like it.
std::optional<std::size_t> header_further_down(const Table& table, const OwnColumns& own) {
  constexpr std::size_t k_rows_of_titles = 20;
  const std::size_t known_above = known_headings(table.header, own);
  for (std::size_t i = 0; i < std::min(table.rows.size(), k_rows_of_titles); ++i)
    if (known_headings(table.rows[i].texts(), own) >= known_above + 3) return table.row_numbers[i];
  return std::nullopt;
}

// What to do when no column is `name`.
std::string how_to_name(const std::string& name, const std::vector<Column>& columns, const Table& table,
                        const OwnColumns& own) {
  if (const auto row = header_further_down(table, own))
    return fmt::format("The headings seem to stand in row {}: take out the rows above, so that they come first.", *row);
  std::vector<std::string> headings;
  for (const std::string& heading : table.header)
    if (!trim(heading).empty()) headings.push_back(printable(trim(heading)));
  const auto unknown = std::find_if(columns.begin(), columns.end(), [&headings](const Column& column) {
    return column.field == Field::extra &&
           std::find(headings.begin(), headings.end(), printable(column.header)) != headings.end();
  });
  return fmt::format(
      "Add it, or rename the heading that is meant, or say in [columns] of the house standard which of these it is, as "
      "in \"{}\" = \"{}\", and adopt that (sherdmark standard --adopt FILE): {}.",
      unknown == columns.end() ? "Heading" : printable(unknown->header), name, join(headings, ", "));
}

void check_required(const std::vector<Column>& columns, const Table& table, const HouseStandard& standard,
                    const OwnColumns& own, std::vector<CatalogProblem>& problems) {
  std::vector<std::string> required = standard.required_columns;
  if (std::find(required.begin(), required.end(), "number") == required.end()) required.emplace_back("number");
  for (const std::string& name : required) {
    const bool there = std::any_of(columns.begin(), columns.end(), [&name](const Column& column) {
      return column.name == name || (column.field == Field::depth_range_cm && name.substr(0, 6) == "depth_");
    });
    if (there) continue;
    problems.push_back({Severity::problem,
                        table.file,
                        table.header_row,
                        name,
                        {},
                        fmt::format("There is no column for {}.", name),
                        how_to_name(name, columns, table, own)});
  }
}

}  // namespace

std::string_view name_of(Field field) {
  return field == Field::extra ? std::string_view{} : k_fields[static_cast<std::size_t>(field)].name;
}

Measure measure_of(Field field) {
  switch (field) {
    case Field::weight_g:
      return Measure::mass;
    case Field::volume_ml:
      return Measure::volume;
    case Field::largest_mm:
    case Field::depth_top_cm:
    case Field::depth_bottom_cm:
    case Field::depth_range_cm:
      return Measure::length;
    default:
      return Measure::none;
  }
}

double unit_factor(Field field, std::string_view unit) {
  const Measure measure = measure_of(field);
  if (measure == Measure::none) return 0;
  for (const UnitFactor& entry : k_units)
    if (entry.measure == measure && entry.unit == unit)
      return measure == Measure::length && field != Field::largest_mm ? entry.factor / 10 : entry.factor;
  return 0;
}

namespace {

std::vector<Column> name_columns(const Table& table, const HouseStandard& standard, const OwnColumns& own) {
  std::vector<Column> columns;
  for (std::size_t i = 0; i < table.header.size(); ++i) {
    Column column;
    column.header = std::string{trim(table.header[i])};
    if (column.header.empty()) column.header = fmt::format("column {}", i + 1);
    if (!is_plain_ascii(column.header)) column.header = to_nfc(column.header);
    const HeaderMeaning meaning = meaning_of(column.header, own);
    column.field = meaning.field;
    column.name = column.field == Field::extra ? column.header : std::string{name_of(column.field)};
    column.unit = meaning.unit;
    if (!column.unit.empty()) column.factor = unit_factor(column.field, column.unit);
    column.restricted = is_restricted(standard, column.name) || is_restricted(standard, column.header);
    column.required = column.field == Field::number ||
                      std::find(standard.required_columns.begin(), standard.required_columns.end(), column.name) !=
                          standard.required_columns.end();
    columns.push_back(std::move(column));
  }
  return columns;
}

}  // namespace

std::vector<Column> name_columns(const Table& table, const HouseStandard& standard) {
  return name_columns(table, standard, own_columns(standard));
}

std::vector<Column> map_columns(const Table& table, const HouseStandard& standard,
                                std::vector<CatalogProblem>& problems) {
  const OwnColumns own = own_columns(standard);
  std::vector<Column> columns = name_columns(table, standard, own);
  check_duplicates(columns, table, problems);
  check_required(columns, table, standard, own, problems);
  return columns;
}

bool is_catalog_header(const std::vector<std::string>& cells) {
  int known = 0;
  for (const std::string& cell : cells) {
    if (cell.size() > 100) continue;
    const Field field = by_synonym(plain_words(cell)).field;
    if (field == Field::number) return true;
    if (field != Field::extra) ++known;
  }
  return known >= 2;
}

std::string export_header(Field field, const HouseStandard& standard) {
  const OwnColumns own = own_columns(standard);
  std::string name{name_of(field)};
  if (meaning_of(name, own).field == field) return name;
  for (const auto& [header, target] : standard.columns)
    if (target == name && meaning_of(header, own).unit.empty()) return header;
  throw data_error(
      fmt::format("The house standard gives the header \"{}\" another meaning and leaves no other for it.", name), {},
      "Name a header for this field in [columns] of the house standard.");
}

const std::vector<std::string>& catalog_fields() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> made;
    for (std::size_t i = 0; i < k_field_count; ++i) made.emplace_back(k_fields[i].name);
    return made;
  }();
  return names;
}

}  // namespace sherdmark
