// Schemes that several tests of this folder use.
#pragma once

#include <string>

#include "sherdmark/standard/scheme.h"

namespace sherdmark {

inline SchemePart part(std::string name, PartKind kind, std::string separator = "",
                       NumberLevel level = NumberLevel::item) {
  SchemePart result;
  result.name = std::move(name);
  result.kind = kind;
  result.separator = std::move(separator);
  result.level = level;
  if (kind == PartKind::year) result.smallest = 1950, result.largest = 2079;
  return result;
}

inline SchemePart letters_part(std::string name, std::string alphabet, int longest = 1) {
  SchemePart result = part(std::move(name), PartKind::letters, "", NumberLevel::piece);
  result.alphabet = std::move(alphabet);
  result.longest = longest;
  result.optional = true;
  return result;
}

inline SchemePart optional_part(std::string name, std::string separator, std::int64_t largest, NumberLevel level) {
  SchemePart result = part(std::move(name), PartKind::integer, std::move(separator), level);
  result.largest = largest;
  result.optional = true;
  return result;
}

// 16ZQ5/12.3-2
inline Scheme site_scheme() {
  SchemePart site = part("site", PartKind::trinomial, "", NumberLevel::site);
  site.choices = {"LA", "MS"};
  return {"site numbers",
          {site, optional_part("lot", "/", 999, NumberLevel::lot), optional_part("item", ".", 9999, NumberLevel::item),
           optional_part("piece", "-", 9999, NumberLevel::piece)}};
}

// 2031-114-12a
inline Scheme year_scheme() {
  SchemePart accession = part("accession", PartKind::integer, "-", NumberLevel::accession);
  accession.largest = 999;
  return {"finds",
          {part("year", PartKind::year, "", NumberLevel::accession), accession,
           optional_part("item", "-", 99999, NumberLevel::item), letters_part("piece", "abcdefghjkmnpqrstuvwxyz", 2)}};
}

// C14-0007
inline Scheme sample_series_scheme() {
  SchemePart series = part("series", PartKind::one_of, "", NumberLevel::accession);
  series.choices = {"P", "M", "C14"};
  SchemePart number = part("sample", PartKind::integer, "-");
  number.pad_to_digits = 4;
  return {"samples", {series, number}};
}

}  // namespace sherdmark
