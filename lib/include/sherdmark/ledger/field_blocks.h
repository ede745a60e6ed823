// Blocks of field numbers: what is free, what people write for several numbers, and how far each block has come.
// Free functions over a Ledger, called by the tool; the acts themselves are Ledger::reserve_field_numbers and its
// neighbours.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct FieldBlock {
  std::string station;  // code of the computer that reserved it
  std::string crew;
  std::string reserved;  // time
  std::vector<FieldNumberRecord> numbers;
  [[nodiscard]] std::int64_t count(FieldState state) const;
};

// Every block in the order they were reserved; at the end, without a crew and a time, the numbers that catalogs brought
// in.
[[nodiscard]] std::vector<FieldBlock> field_blocks(const Ledger& ledger);

// `count` numbers by the house standard that were never used: from `first` on, or behind the highest that ever was.
// usage_error when one of them was used or the standard has no more.
[[nodiscard]] std::vector<std::string> free_field_numbers(const Ledger& ledger, std::int64_t count,
                                                          std::optional<std::int64_t> first);

// "101-125, 130" or "FS 101..FS 125" → FS 101 … usage_error for anything else and for more than 10,000 numbers.
[[nodiscard]] std::vector<std::string> parse_field_numbers(const FieldNumbering& numbering, std::string_view text);

// What a person may mean by "fs101" or "FS-101": FS 101. std::nullopt when the prefix is not there or it is no number.
[[nodiscard]] std::optional<std::string> spelled_field_number(const FieldNumbering& numbering, std::string_view text);

[[nodiscard]] std::string_view to_text(FieldState state);  // "reserved" …, the stored words
[[nodiscard]] std::optional<FieldState> parse_field_state(std::string_view word);

}  // namespace sherdmark
