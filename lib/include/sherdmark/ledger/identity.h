// The names a ledger gives: collection key, station codes, print serials, and ids of bags, boxes, places and runs.
// Callable from everywhere. All are 0-9A-Z without I, L, O and U, so nothing is confused when read aloud or keyed.
// Capacities and why nothing repeats: docs/formats/ledger.md, "Identities". Frozen once printed.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "sherdmark/base/random.h"

namespace sherdmark {

inline constexpr std::string_view k_identity_alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";  // 32 characters
inline constexpr std::int64_t k_identity_capacity = 33'554'432;  // 32^5 per station and kind

enum class IdentityKind : char {
  bag = 'B',
  box = 'X',
  place = 'H',
  run = 'R',
  loan = 'N',
  inventory = 'V',
  audit = 'A',
  scan = 'S'
};

// 4 characters; 1,048,576 keys. Random, because nobody hands them out.
[[nodiscard]] std::string make_collection_key(RandomSource& random);
// 3 characters; 32,768 codes. The ledger draws again when the code is taken.
[[nodiscard]] std::string make_station_code(RandomSource& random);

// Station code and counter 1 … k_identity_capacity-1: "7KM00042", always 8 characters. Throws environment_error when
// the station has used up its numbers (remedy: register the computer as a new station).
[[nodiscard]] std::string make_serial(std::string_view station, std::int64_t counter);
// Kind letter, station code, counter: "B7KM00042", always 9 characters. Throws as make_serial does.
[[nodiscard]] std::string make_identity(IdentityKind kind, std::string_view station, std::int64_t counter);

// "B7KM00042" → "B-7KM-00042", as shown to people. Text of another length is returned unchanged.
[[nodiscard]] std::string group_identity(std::string_view identity);
// What a person keyed → canonical identity of that kind: hyphens, spaces and lower case are taken, O reads as 0,
// I and L as 1. std::nullopt if it cannot be one.
[[nodiscard]] std::optional<std::string> parse_identity(IdentityKind kind, std::string_view keyed);

}  // namespace sherdmark
