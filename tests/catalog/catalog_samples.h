// Standards and short cuts that several tests of this folder use.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/catalog/read_catalog.h"
#include "support/test_support.h"

namespace sherdmark {

inline const HouseStandard& quillow() {
  static const HouseStandard standard = parse_house_standard(
      read_text(real_file_system(), testing::sample("standards/quillow_ferry.toml")), "quillow_ferry.toml");
  return standard;
}

inline const HouseStandard& ostervane() {
  static const HouseStandard standard = parse_house_standard(
      read_text(real_file_system(), testing::sample("standards/ostervane.toml")), "ostervane.toml");
  return standard;
}

inline Table table_of(std::string_view text) { return read_table(as_byte_span(text), "finds.csv"); }

inline CatalogReading catalog_of(std::string_view text, const HouseStandard& standard = quillow()) {
  return read_catalog(table_of(text), standard);
}

// All problems and warnings as "row|column|what|remedy" lines, for tests that look for words in them.
inline std::string said(const CatalogReading& reading) {
  std::string text;
  for (const CatalogProblem& problem : reading.problems)
    text += std::string{problem.severity == Severity::warning ? "warning|" : "problem|"} + std::to_string(problem.row) +
            "|" + problem.column + "|" + problem.value + "|" + problem.what + "|" + problem.remedy + "\n";
  return text;
}

inline bool contains(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }

}  // namespace sherdmark
