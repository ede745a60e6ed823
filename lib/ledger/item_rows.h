// Reads items back as catalog rows.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "ledger/sqlite.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct StoredItem {
  std::int64_t id = 0;
  std::string number;
  std::string scheme;
  std::string lot;
  CatalogRow row;  // row.number is left empty: parse_stored_number fills it where it is needed
};

// All items, in the order they came in. Stops when `visit` returns false.
void for_each_item(Database& database, const std::function<bool(StoredItem&)>& visit);
void for_each_item_of_lot(Database& database, std::string_view lot, const std::function<bool(StoredItem&)>& visit);
[[nodiscard]] std::optional<StoredItem> find_stored_item(Database& database, std::string_view number);

// The number as a value; data_error if the house standard no longer has a scheme that reads it.
[[nodiscard]] Number parse_stored_number(const HouseStandard& standard, const std::string& scheme,
                                         const std::string& text);

// Each bag once, quantities made whole: one bag without a quantity holds what the others leave of the count.
[[nodiscard]] std::vector<BagShare> completed_shares(std::vector<BagShare> shares, std::optional<std::int64_t> count);

// Each text once, first come first.
[[nodiscard]] std::vector<std::string> distinct(const std::vector<std::string>& texts);

[[nodiscard]] std::vector<std::string> bags_holding(Database& database, std::int64_t item);

}  // namespace sherdmark
