#include "sherdmark/code/check_character.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_characters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

// 0-9A-Z → 0 … 35; the asterisk (36) is a check character only, so it is no data. -1: not in the alphabet.
int value_of(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'A' && c <= 'Z') return c - 'A' + 10;
  return -1;
}

char character_of(int value) { return k_characters[static_cast<std::size_t>(value)]; }

// The running sum of a pure system: c = (c·r + v) mod M over all data, then once more for every check character.
std::optional<int> pure_sum(std::string_view data, int modulus, int radix) {
  if (data.empty()) return std::nullopt;
  int sum = 0;
  for (const char c : data) {
    const int value = value_of(c);
    if (value < 0) return std::nullopt;
    sum = (sum * radix + value) % modulus;
  }
  return sum;
}

// A text is valid when its check characters are the ones that its data give: other spellings that satisfy the
// congruence (a value above the modulus) are refused.
template <typename Check>
bool valid_by_recomputing(std::string_view text, std::size_t check_length, Check check) {
  if (text.size() <= check_length) return false;
  const auto expected = check(text.substr(0, text.size() - check_length));
  return expected && text.substr(text.size() - check_length) == *expected;
}

std::optional<std::string> as_text(std::optional<char> c) {
  if (!c) return std::nullopt;
  return std::string(1, *c);
}

}  // namespace

std::optional<char> mod_37_36_check(std::string_view data) {
  if (data.empty()) return std::nullopt;
  constexpr int k_modulus = 36;
  int product = k_modulus;
  for (const char c : data) {
    const int value = value_of(c);
    if (value < 0) return std::nullopt;
    int sum = (product + value) % k_modulus;
    if (sum == 0) sum = k_modulus;
    product = (2 * sum) % (k_modulus + 1);
  }
  return character_of((k_modulus + 1 - product) % k_modulus);
}

bool mod_37_36_valid(std::string_view data_and_check) {
  return valid_by_recomputing(data_and_check, 1, [](std::string_view data) { return as_text(mod_37_36_check(data)); });
}

std::optional<char> mod_37_2_check(std::string_view data) {
  constexpr int k_modulus = 37;
  const auto sum = pure_sum(data, k_modulus, 2);
  if (!sum) return std::nullopt;
  return character_of((1 - *sum * 2 % k_modulus + k_modulus) % k_modulus);
}

bool mod_37_2_valid(std::string_view data_and_check) {
  return valid_by_recomputing(data_and_check, 1, [](std::string_view data) { return as_text(mod_37_2_check(data)); });
}

std::optional<std::string> mod_1271_36_check(std::string_view data) {
  constexpr int k_modulus = 1271;
  constexpr int k_radix = 36;
  const auto sum = pure_sum(data, k_modulus, k_radix);
  if (!sum) return std::nullopt;
  const int shifted = *sum * k_radix % k_modulus * k_radix % k_modulus;
  const int check = (1 - shifted + k_modulus) % k_modulus;
  return std::string{character_of(check / k_radix), character_of(check % k_radix)};
}

bool mod_1271_36_valid(std::string_view data_and_check) {
  return valid_by_recomputing(data_and_check, 2, mod_1271_36_check);
}

}  // namespace sherdmark
