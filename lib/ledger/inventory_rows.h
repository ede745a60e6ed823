// Rows of an inventory as the streams and the sight of one bag read them.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "ledger/sqlite.h"
#include "sherdmark/ledger/inventory.h"

namespace sherdmark {

// Each waits for the inventory's row; more conditions or an order may follow.
inline constexpr std::string_view k_expected_rows =
    "SELECT b.code, p.path, e.exempt, e.box, e.pieces FROM inventory_expected e JOIN bags b ON b.id = e.bag"
    " LEFT JOIN places p ON p.id = e.place WHERE e.inventory = ?";
inline constexpr std::string_view k_seen_rows =
    "SELECT kind, bag, text, serial, role, ordinal, state, place, box, count, evidence, verdict, reasons, time, person"
    " FROM inventory_seen WHERE inventory = ?";

// Between a found number and the words for the thing it was given to, in the text of its reading.
inline constexpr std::string_view k_after_found_number = ": ";

// usage_error when there is no such inventory.
[[nodiscard]] std::int64_t row_of_inventory(Database& db, const std::string& inventory);
void read_expected(const Statement& row, ExpectedBag& bag);
void read_seen(const Statement& row, SeenReading& reading);

}  // namespace sherdmark
