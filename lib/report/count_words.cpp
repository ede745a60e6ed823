#include "report/count_words.h"

#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {

std::string plural(std::int64_t n, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", n, n == 1 ? one : many);
}

std::string box_words(const std::string& name) {
  return to_lower_ascii(std::string_view{name}.substr(0, 3)) == "box" ? name : "box " + name;
}

std::string label_of_role(LabelRole role) {
  const bool bare = role == LabelRole::tag || role == LabelRole::field_tag || role == LabelRole::removal_slip;
  return std::string{to_text(role)} + (bare ? "" : " label");
}

std::string group_identities(std::string_view sentence) {
  constexpr std::string_view k_kinds = "BXHRNVAS";
  constexpr std::size_t k_length = 9;
  constexpr std::size_t k_before_counter = 4;
  const auto in_word = [](char c) {
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
           static_cast<unsigned char>(c) >= 0x80;
  };
  const auto is_identity = [&](std::string_view word) {
    return word.size() == k_length && k_kinds.find(word.front()) != std::string_view::npos &&
           word.find_first_not_of(k_identity_alphabet, 1) == std::string_view::npos &&
           word.find_first_of("0123456789", k_before_counter) != std::string_view::npos;
  };
  std::string text;
  while (!sentence.empty()) {
    std::size_t length = 0;
    while (length < sentence.size() && in_word(sentence[length])) ++length;
    const std::string_view word = sentence.substr(0, std::max<std::size_t>(length, 1));
    text += is_identity(word) ? group_identity(word) : std::string{word};
    sentence.remove_prefix(word.size());
  }
  return text;
}

}  // namespace sherdmark
