#include "sherdmark/code/link_code.h"

#include <fmt/format.h>

#include <algorithm>

#include "code/escaped_text.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/check_character.h"

namespace sherdmark {
namespace {

// The layout is frozen: docs/formats/link-code.md.
constexpr std::string_view k_opening = "SM";
constexpr char k_version = '1';
constexpr char k_micro_opening = 'Y';
constexpr char k_plain_number = 'N';
constexpr char k_opaque_number = 'K';
constexpr std::size_t k_key_length = 4;
constexpr std::size_t k_serial_length = 8;
constexpr std::size_t k_check_length = 2;
constexpr std::size_t k_tail_length = 1 + k_serial_length + 2 + k_check_length;  // ordinal, serial, revision, check
constexpr std::size_t k_longest_code = 600;  // more than the limits above can give; bounds the work of parsing

bool only_base36(std::string_view text) {
  return std::all_of(text.begin(), text.end(), [](char c) { return base36_value(c) >= 0; });
}

// Roles whose label is nothing without the thing it names.
bool needs_subject(LabelRole role) {
  return role == LabelRole::bag || role == LabelRole::tag || role == LabelRole::box || role == LabelRole::shelf;
}

Error field_error(std::string_view field, const std::string& rule, std::string_view value) {
  return data_error(fmt::format("The {} \"{}\" cannot go into a code: {}.", field, printable(value), rule), {},
                    "Correct it where it comes from; nothing was printed.");
}

void require_fixed(std::string_view field, std::string_view value, std::size_t length) {
  if (value.size() != length || !only_base36(value))
    throw field_error(field, fmt::format("it must be {} characters of 0-9 and A-Z", length), value);
}

std::u32string checked_number(std::string_view number, bool may_be_empty) {
  const auto text = decode_utf8(number);
  if (!text) throw field_error("number", "it is not valid UTF-8", number);
  if (text->size() > k_longest_number)
    throw field_error("number", fmt::format("it is longer than {} characters", k_longest_number), number);
  if (text->empty() && !may_be_empty) throw field_error("number", "it is empty", number);
  return *text;
}

void require_limits(const LinkCode& link) {
  require_fixed("collection key", link.collection_key, k_key_length);
  require_fixed("print serial", link.serial, k_serial_length);
  if (!only_base36(link.subject) || link.subject.size() > k_longest_subject)
    throw field_error("subject", fmt::format("it must be at most {} characters of 0-9 and A-Z", k_longest_subject),
                      link.subject);
  if (link.subject.empty() && needs_subject(link.role))
    throw field_error("subject", fmt::format("a {} label must name one", to_text(link.role)), link.subject);
  if (link.ordinal < 1 || link.ordinal > k_largest_ordinal)
    throw field_error("ordinal", fmt::format("it must be 1 to {}", k_largest_ordinal), std::to_string(link.ordinal));
  if (link.revision < 1 || link.revision > k_largest_revision)
    throw field_error("revision", fmt::format("it must be 1 to {}", k_largest_revision), std::to_string(link.revision));
}

std::string with_check(const std::string& text) { return text + mod_1271_36_check(text).value(); }

// Fields after the opening and version, check characters already taken off. std::nullopt: not canonical.
std::optional<LinkCode> parse_fields(std::string_view rest) {
  LinkCode link;
  if (rest.size() < k_key_length + 1) return std::nullopt;
  link.collection_key = rest.substr(0, k_key_length);
  const auto role = role_of_letter(rest[k_key_length]);
  if (!role) return std::nullopt;
  link.role = *role;
  rest.remove_prefix(k_key_length + 1);
  const auto subject = take_escaped_text(rest, false);
  if (!subject || rest.empty()) return std::nullopt;
  link.subject = encode_utf8(*subject);
  if (rest.front() != k_plain_number && rest.front() != k_opaque_number) return std::nullopt;
  link.number_is_opaque = rest.front() == k_opaque_number;
  rest.remove_prefix(1);
  const auto number = take_escaped_text(rest, false);
  if (!number || rest.size() != k_tail_length - k_check_length) return std::nullopt;
  link.number = encode_utf8(*number);
  link.ordinal = base36_value(rest[0]);
  link.serial = rest.substr(1, k_serial_length);
  link.revision = base36_value(rest[1 + k_serial_length]) * 36 + base36_value(rest[2 + k_serial_length]);
  const bool limits_hold = only_base36(link.subject) && subject->size() <= k_longest_subject &&
                           (!link.subject.empty() || !needs_subject(link.role)) && number->size() <= k_longest_number &&
                           (!link.number_is_opaque || !link.number.empty()) && link.ordinal >= 1 && link.revision >= 1;
  if (!limits_hold) return std::nullopt;
  return link;
}

LinkReading parse_link(std::string_view text) {
  LinkReading reading;
  reading.status = LinkStatus::damaged;
  if (text.size() > k_longest_code || !mod_1271_36_valid(text)) return reading;
  reading.version = text[k_opening.size()] - '0';
  if (text[k_opening.size()] != k_version) {
    reading.status = LinkStatus::newer;
    return reading;
  }
  reading.link = parse_fields(text.substr(k_opening.size() + 1, text.size() - k_opening.size() - 1 - k_check_length));
  if (reading.link) reading.status = LinkStatus::ours;
  if (!reading.link) reading.version = 0;
  return reading;
}

LinkReading parse_micro(std::string_view text) {
  LinkReading reading;
  if (text.size() > k_longest_code || !mod_1271_36_valid(text)) return reading;
  std::string_view rest = text.substr(1, text.size() - 1 - k_check_length);
  const auto number = take_escaped_text(rest, true);
  if (!number || number->empty() || number->size() > k_longest_number) return reading;
  reading.status = LinkStatus::ours;
  reading.version = 1;
  reading.micro = MicroCodeText{encode_utf8(*number)};
  return reading;
}

// Ours by its opening: "SM", a version 1-9, and nothing but the code's own characters, long enough to hold more than
// a collection key and a role. "SM2000 torch" is somebody else's.
bool opens_as_link(std::string_view text) {
  return text.size() >= k_shortest_opening && text.starts_with(k_opening) && text[k_opening.size()] >= '1' &&
         text[k_opening.size()] <= '9' && only_base36(text);
}

}  // namespace

std::string write_link_code(const LinkCode& link) {
  require_limits(link);
  const std::u32string number = checked_number(link.number, true);
  if (link.number_is_opaque && number.empty())
    throw field_error("number", "an opaque key cannot be empty", link.number);
  std::string text{k_opening};
  text += k_version;
  text += link.collection_key;
  text += role_letter(link.role);
  text += escape_text(decode_utf8(link.subject).value());
  text += k_end_of_field;
  text += link.number_is_opaque ? k_opaque_number : k_plain_number;
  text += escape_text(number);
  text += k_end_of_field;
  text += base36_digit(link.ordinal);
  text += link.serial;
  text += base36_digit(link.revision / 36);
  text += base36_digit(link.revision % 36);
  return with_check(text);
}

std::string write_micro_code(const MicroCodeText& micro) {
  return with_check(k_micro_opening + escape_text(checked_number(micro.number, false)));
}

LinkReading parse_code_text(std::string_view bytes) noexcept {
  if (opens_as_link(bytes)) return parse_link(bytes);
  if (!bytes.empty() && bytes.front() == k_micro_opening) return parse_micro(bytes);
  return {};
}

}  // namespace sherdmark
