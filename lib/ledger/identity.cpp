#include "sherdmark/ledger/identity.h"

#include <fmt/format.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_station_length = 3;
constexpr std::size_t k_counter_length = 5;
constexpr std::size_t k_identity_length = 1 + k_station_length + k_counter_length;

std::string random_text(RandomSource& random, std::size_t length) {
  std::string text;
  for (std::size_t i = 0; i < length; ++i) text += k_identity_alphabet[random.below(k_identity_alphabet.size())];
  return text;
}

std::string counter_text(std::int64_t counter) {
  std::string text(k_counter_length, '0');
  for (std::size_t i = k_counter_length; i-- > 0; counter /= 32)
    text[i] = k_identity_alphabet[static_cast<std::size_t>(counter % 32)];
  return text;
}

char read_alike(char c) {
  if (c == 'O') return '0';
  if (c == 'I' || c == 'L') return '1';
  return c;
}

}  // namespace

std::string make_collection_key(RandomSource& random) { return random_text(random, 4); }

std::string make_station_code(RandomSource& random) { return random_text(random, k_station_length); }

std::string make_serial(std::string_view station, std::int64_t counter) {
  if (station.size() != k_station_length || counter < 1) throw internal_error("a serial needs a station and a counter");
  if (counter >= k_identity_capacity)
    throw environment_error(fmt::format("station {} has used up its numbers", station), {},
                            "work from another computer, which registers as a new station");
  return std::string{station} + counter_text(counter);
}

std::string make_identity(IdentityKind kind, std::string_view station, std::int64_t counter) {
  return static_cast<char>(kind) + make_serial(station, counter);
}

std::string group_identity(std::string_view identity) {
  if (identity.size() != k_identity_length) return std::string{identity};
  return fmt::format("{}-{}-{}", identity.substr(0, 1), identity.substr(1, k_station_length),
                     identity.substr(1 + k_station_length));
}

std::optional<std::string> parse_identity(IdentityKind kind, std::string_view keyed) {
  std::string identity;
  for (const char c : to_upper_ascii(trim(keyed)))
    if (c != '-' && c != ' ') identity += identity.empty() ? c : read_alike(c);
  if (identity.size() != k_identity_length || identity.front() != static_cast<char>(kind)) return std::nullopt;
  if (identity.find_first_not_of(k_identity_alphabet, 1) != std::string::npos) return std::nullopt;
  return identity;
}

}  // namespace sherdmark
