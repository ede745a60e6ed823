// Which column of a table is which field of a catalog row. Called by read_table (to know a header when it sees one),
// read_catalog and the exporters.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/catalog/read_catalog.h"

namespace sherdmark {

enum class Field {
  number,
  accession,
  site,
  kind,
  object,
  material,
  surface,
  count,
  weight_g,
  volume_ml,
  largest_mm,
  status,
  flags,
  former_numbers,
  field_number,
  assembly,
  bags,
  unit,
  stratum,
  level,
  feature,
  depth_top_cm,
  depth_bottom_cm,
  date,
  excavators,
  place,
  box,
  remarks,
  depth_range_cm,  // "10-20": read only, becomes top and bottom
  extra            // no field: kept as it is
};

inline constexpr std::size_t k_field_count = static_cast<std::size_t>(Field::depth_range_cm);  // those of a row

[[nodiscard]] std::string_view name_of(Field field);

// What the numbers of a column measure. `factor` turns them into the unit of the field's name.
enum class Measure { none, mass, volume, length };
[[nodiscard]] Measure measure_of(Field field);
// Factor of "kg", "mm", "fl oz" … to the unit of the field; 0 when the unit is not one of its measure.
[[nodiscard]] double unit_factor(Field field, std::string_view unit);

struct Column {
  Field field = Field::extra;
  std::string header;  // as written; "column 7" for a blank one
  std::string name;    // of the field, or the header of an extra column: what the house standard classes
  std::string unit;    // from the header; empty when it names none
  double factor = 1.0;
  bool restricted = false;
  bool required = false;
};

// One column for each of the header's. Problems with the header as a whole (two headers for one field, a missing
// required column) go to `problems` with row `header_row`. Throws data_error when the standard's [columns] names a
// field that does not exist.
[[nodiscard]] std::vector<Column> map_columns(const Table& table, const HouseStandard& standard,
                                              std::vector<CatalogProblem>& problems);

// The same without a look at the header as a whole.
[[nodiscard]] std::vector<Column> name_columns(const Table& table, const HouseStandard& standard);

// At least two cells that are known by name, or one that is the number.
[[nodiscard]] bool is_catalog_header(const std::vector<std::string>& cells);

// The header under which a field is written so that the same standard reads it back.
[[nodiscard]] std::string export_header(Field field, const HouseStandard& standard);

// First column of a set-aside file; read_table drops it.
inline constexpr std::string_view k_set_aside_header = "What is wrong (this column is dropped when the file is read)";

}  // namespace sherdmark
