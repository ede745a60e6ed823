#include "ledger/identity_rows.h"

#include <fmt/format.h>

#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_serial_length = 8;
constexpr int k_bits_a_character = 5;

}  // namespace

std::int64_t row_of_serial(std::string_view serial) {
  if (serial.size() != k_serial_length) return -1;
  std::int64_t row = 0;
  for (const char c : serial) {
    const std::size_t value = k_identity_alphabet.find(c);
    if (value == std::string_view::npos) return -1;
    row = row * 32 + static_cast<std::int64_t>(value);
  }
  return row;
}

std::int64_t row_of_bag(std::string_view bag_id) {
  if (bag_id.empty() || bag_id.front() != static_cast<char>(IdentityKind::bag)) return -1;
  return row_of_serial(bag_id.substr(1));
}

std::string identity_sql() {
  std::string sql;
  for (int at = static_cast<int>(k_serial_length) - 1; at >= 0; --at)
    sql += fmt::format("{}substr('{}', ((id >> {}) & 31) + 1, 1)", sql.empty() ? "" : " || ", k_identity_alphabet,
                       at * k_bits_a_character);
  return sql;
}

}  // namespace sherdmark
