// Rows of a catalog: what a spreadsheet says about lots, items and bags, once it has been read and found good.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "sherdmark/base/shared_text.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/standard/scheme.h"

namespace sherdmark {

// One bag that a row names, with how much of the item it holds. `mark` is the catalog's own word for the bag ("B7");
// rows that share a mark share a bag. The permanent bag id is made by the ledger.
struct BagShare {
  std::string mark;
  std::optional<std::int64_t> quantity;
  friend bool operator==(const BagShare&, const BagShare&) = default;
};

// One good row. Text is trimmed UTF-8 in NFC; empty means not given; rows that say the same mostly share it. Units are
// in the names.
struct CatalogRow {
  std::size_t row = 0;  // 1-based line of the table, header is 1
  Number number;        // the item's catalog number
  SharedText accession;
  SharedText site;
  ItemKind kind = ItemKind::artifact;
  SharedText object;
  SharedText material;
  SharedText surface;
  std::optional<std::int64_t> count;
  std::optional<double> weight_g;
  std::optional<double> volume_ml;
  std::optional<double> largest_mm;
  SharedText status;  // "in collection" when empty; "on loan", "exhibited", "missing" …
  std::vector<std::string> flags;
  std::vector<std::string> former_numbers;
  SharedText field_number;
  SharedText assembly;  // name shared by the pieces of one mended whole
  std::vector<BagShare> bags;
  SharedText unit, stratum, level, feature;
  std::optional<double> depth_top_cm, depth_bottom_cm;
  SharedText date;  // EDTF level 0/1
  SharedText excavators;
  SharedText place;  // home place path, "Room 2/Range A/Shelf 3"
  SharedText box;
  SharedText remarks;
  std::vector<std::pair<std::string, std::string>>
      extra;  // unmapped columns that are not blank, in file order: header, value
  friend bool operator==(const CatalogRow&, const CatalogRow&) = default;
};

}  // namespace sherdmark
