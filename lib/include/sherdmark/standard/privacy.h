// The one gate for values that must stay home. Whatever writes values of columns asks here, and nowhere else; a test
// reads the sources and keeps it so.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

// Restricted values never enter a code, a log, an error text or an outside label, and leave only by a deliberate,
// recorded export.
[[nodiscard]] constexpr bool is_restricted(ColumnClass column) {
  return column == ColumnClass::location_restricted || column == ColumnClass::care_restricted;
}
// `column`: a field of the catalog, or the header of a column that is no field.
[[nodiscard]] inline bool is_restricted(const HouseStandard& standard, std::string_view column) {
  return is_restricted(standard.column_class(column));
}
// Where the site itself is restricted, bags carry an opaque key in place of the number.
[[nodiscard]] inline bool hides_sites(const HouseStandard& standard) {
  return standard.column_class("site") == ColumnClass::location_restricted;
}

// Two spellings of one flag: letter case, and the spaces, hyphens and underscores between its words, do not count
// ("Human remains", "human_remains").
[[nodiscard]] bool same_flag(std::string_view one, std::string_view other);
// Does the flag restrict, by the house standard? What carries one gets no label, picture or draw.
[[nodiscard]] inline bool is_care_flag(const HouseStandard& standard, std::string_view flag) {
  return std::ranges::any_of(standard.care_flags, [&](const std::string& care) { return same_flag(care, flag); });
}
[[nodiscard]] inline bool has_care_flag(const HouseStandard& standard, const std::vector<std::string>& flags) {
  return std::ranges::any_of(flags, [&](const std::string& flag) { return is_care_flag(standard, flag); });
}

}  // namespace sherdmark
