#include "ledger/json_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cstring>
#include <vector>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr int k_deepest_nesting = 64;

[[noreturn]] void broken(std::string_view what) {
  throw data_error(fmt::format("an event's payload is damaged: {}", what), {},
                   "run verify-ledger, and work on with the last backup");
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool is_plain(char c) { return c != '"' && c != '\\' && static_cast<unsigned char>(c) >= 0x20U; }

// Whether all eight characters are plain. A byte is below 0x20, or equal to one looked for when its difference is below
// 1, if taking away that bound borrows into its highest bit and it did not have that bit itself.
bool eight_plain(const char* text) {
  constexpr std::uint64_t k_ones = 0x0101010101010101U;
  std::uint64_t word = 0;
  std::memcpy(&word, text, sizeof word);
  const std::uint64_t quotes = word ^ (k_ones * '"');
  const std::uint64_t slashes = word ^ (k_ones * '\\');
  const std::uint64_t found =
      ((word - k_ones * 0x20U) & ~word) | ((quotes - k_ones) & ~quotes) | ((slashes - k_ones) & ~slashes);
  return (found & (k_ones * 0x80U)) == 0;
}

bool all_plain(std::string_view text) {
  const char* at = text.data();
  const char* const end = at + text.size();
  for (; end - at >= 8; at += 8)
    if (!eight_plain(at)) return false;
  return std::all_of(at, end, is_plain);
}

void append_escaped(std::string& out, char c) {
  switch (c) {
    case '"':
      out += "\\\"";
      return;
    case '\\':
      out += "\\\\";
      return;
    case '\n':
      out += "\\n";
      return;
    case '\r':
      out += "\\r";
      return;
    case '\t':
      out += "\\t";
      return;
    default:
      out += fmt::format("\\u{:04x}", static_cast<unsigned char>(c));
  }
}

// Behind the text that begins at `at` with a quotation mark.
const char* end_of_text(const char* at, const char* end) {
  for (++at; at < end; ++at) {
    if (*at == '"') return at + 1;
    if (*at == '\\' && ++at == end) break;
  }
  broken("a text does not end");
}

// Behind the list or object that begins at `at`.
const char* end_of_list(const char* at, const char* end) {
  for (int depth = 0; at < end;) {
    const char c = *at;
    if (c == '"') {
      at = end_of_text(at, end);
      continue;
    }
    if (c == '[' || c == '{') {
      if (++depth > k_deepest_nesting) broken("it is nested too deeply");
    } else if ((c == ']' || c == '}') && --depth == 0) {
      return at + 1;
    }
    ++at;
  }
  broken("a list does not end");
}

// Behind the value that begins at `at`.
inline const char* end_of_value(const char* at, const char* end) {
  if (at == end) broken("a value is missing");
  if (*at == '"') return end_of_text(at, end);
  if (*at == '[' || *at == '{') return end_of_list(at, end);
  while (at < end && *at != ',' && *at != ']' && *at != '}') ++at;
  return at;
}

std::string_view between(const char* from, const char* to) { return {from, static_cast<std::size_t>(to - from)}; }

unsigned hex_value(std::string_view digits) {
  unsigned value = 0;
  const auto result = std::from_chars(digits.data(), digits.data() + digits.size(), value, 16);
  if (digits.size() != 4 || result.ptr != digits.data() + 4) broken("a \\u escape");
  return value;
}

std::size_t unescape_one(std::string_view body, std::size_t at, std::string& out) {
  if (at + 1 >= body.size()) broken("an escape");
  switch (body[at + 1]) {
    case 'n':
      out += '\n';
      return at + 2;
    case 'r':
      out += '\r';
      return at + 2;
    case 't':
      out += '\t';
      return at + 2;
    case '"':
    case '\\':
      out += body[at + 1];
      return at + 2;
    case 'u': {
      const char32_t code = hex_value(body.substr(at + 2, 4));
      out += encode_utf8(std::u32string(1, code));
      return at + 6;
    }
    default:
      broken("an escape");
  }
}

}  // namespace

JsonWriter& JsonWriter::begin_object() {
  before_value();
  out_ += '{';
  keys_ += '\0';
  fresh_ = true;
  return *this;
}

JsonWriter& JsonWriter::end_object() {
  out_ += '}';
  keys_.erase(keys_.rfind('\0'));
  fresh_ = false;
  return *this;
}

JsonWriter& JsonWriter::begin_array() {
  before_value();
  out_ += '[';
  fresh_ = true;
  return *this;
}

JsonWriter& JsonWriter::end_array() {
  out_ += ']';
  fresh_ = false;
  return *this;
}

JsonWriter& JsonWriter::key(std::string_view name) {
  const std::size_t top = keys_.rfind('\0');
  if (top == std::string::npos || std::string_view{keys_}.substr(top + 1) >= name)
    throw internal_error(fmt::format("payload keys out of order at \"{}\"", name));
  keys_.erase(top + 1);
  keys_ += name;
  text(name);
  out_ += ':';
  fresh_ = true;
  return *this;
}

JsonWriter& JsonWriter::text(std::string_view value) {
  if (!is_valid_utf8(value)) return text(printable(value));
  before_value();
  out_ += '"';
  if (all_plain(value)) {
    out_ += value;
    out_ += '"';
    return *this;
  }
  std::size_t from = 0;
  for (std::size_t at = 0; at < value.size(); ++at) {
    if (is_plain(value[at])) continue;
    out_.append(value.substr(from, at - from));
    append_escaped(out_, value[at]);
    from = at + 1;
  }
  out_.append(value.substr(from));
  out_ += '"';
  return *this;
}

JsonWriter& JsonWriter::integer(std::int64_t value) {
  before_value();
  std::array<char, 24> digits{};
  const auto result = std::to_chars(digits.data(), digits.data() + digits.size(), value);
  out_.append(digits.data(), result.ptr);
  return *this;
}

JsonWriter& JsonWriter::decimal(double value) {
  before_value();
  std::array<char, 40> digits{};
  const auto result = std::to_chars(digits.data(), digits.data() + digits.size(), value);
  out_.append(digits.data(), result.ptr);
  return *this;
}

JsonWriter& JsonWriter::boolean(bool value) { return raw(value ? "true" : "false"); }
JsonWriter& JsonWriter::null() { return raw("null"); }

JsonWriter& JsonWriter::raw(std::string_view json) {
  before_value();
  out_ += json;
  return *this;
}

std::string_view JsonView::text(std::string& space) const {
  if (!is_text() || raw_.size() < 2 || raw_.back() != '"') broken("a text is missing");
  const std::string_view body = raw_.substr(1, raw_.size() - 2);
  std::size_t at = body.empty() ? std::string_view::npos : body.find('\\');
  if (at == std::string_view::npos) return body;
  space.assign(body.substr(0, at));
  while (at < body.size()) {
    if (body[at] == '\\') {
      at = unescape_one(body, at, space);
    } else {
      space += body[at++];
    }
  }
  return space;
}

std::string JsonView::text() const {
  std::string space;
  return std::string{text(space)};
}

std::int64_t JsonView::integer() const {
  std::int64_t value = 0;
  constexpr std::size_t k_surely_fits = 18;
  if (!raw_.empty() && raw_.size() <= k_surely_fits && std::all_of(raw_.begin(), raw_.end(), is_digit)) {
    for (const char c : raw_) value = value * 10 + (c - '0');
    return value;
  }
  const char* end = raw_.data() + raw_.size();
  const auto result = std::from_chars(raw_.data(), end, value);
  if (raw_.empty() || result.ec != std::errc{} || result.ptr != end) broken("a whole number is missing");
  return value;
}

double JsonView::decimal() const {
  double value = 0;
  const char* end = raw_.data() + raw_.size();
  const auto result = std::from_chars(raw_.data(), end, value);
  if (raw_.empty() || result.ec != std::errc{} || result.ptr != end) broken("a number is missing");
  return value;
}

bool JsonView::boolean() const {
  if (raw_ != "true" && raw_ != "false") broken("true or false is missing");
  return raw_ == "true";
}

std::optional<std::int64_t> JsonView::maybe_integer() const {
  if (is_null()) return std::nullopt;
  return integer();
}

std::optional<double> JsonView::maybe_decimal() const {
  if (is_null()) return std::nullopt;
  return decimal();
}

std::vector<std::pair<std::string_view, JsonView>> JsonView::members() const {
  if (raw_.empty() || raw_.front() != '{') broken("an object is missing");
  std::vector<std::pair<std::string_view, JsonView>> members;
  const char* at = raw_.data() + 1;
  const char* const end = raw_.data() + raw_.size();
  while (at < end && *at == '"') {
    const char* const colon = end_of_text(at, end);
    const std::string_view name = between(at + 1, colon - 1);
    if (colon == end || *colon != ':') broken("a colon is missing");
    at = end_of_value(colon + 1, end);
    members.emplace_back(name, JsonView{between(colon + 1, at)});
    if (at < end && *at == ',') ++at;
  }
  return members;
}

std::optional<JsonView> JsonView::find(std::string_view key) const {
  for (const auto& [name, value] : members())
    if (name == key) return value;
  return std::nullopt;
}

JsonView JsonView::at(std::string_view key) const {
  const std::optional<JsonView> value = find(key);
  if (!value) broken(fmt::format("\"{}\" is missing", key));
  return *value;
}

const JsonView& JsonObject::at(std::string_view key) const {
  for (const auto& [name, value] : members_)
    if (name == key) return value;
  broken(fmt::format("\"{}\" is missing", key));
}

JsonView::Walk JsonView::elements() const {
  if (!is_array()) broken("a list is missing");
  return Walk{raw_.substr(1)};
}

inline bool JsonView::Walk::to_next() {
  if (at_ == end_) broken("a list does not end");
  if (*at_ == ']') return false;
  if (!first_) {
    if (*at_ != ',') broken("a comma is missing");
    ++at_;
  }
  first_ = false;
  return true;
}

std::optional<JsonView> JsonView::Walk::next() {
  if (!to_next()) return std::nullopt;
  const char* const from = at_;
  at_ = end_of_value(from, end_);
  return JsonView{between(from, at_)};
}

std::optional<JsonView::Walk> JsonView::Walk::enter() {
  if (!to_next()) return std::nullopt;
  if (at_ == end_ || *at_ != '[') broken("a list is missing");
  return Walk{between(at_ + 1, end_)};
}

void JsonView::Walk::leave(const Walk& inner) {
  if (inner.at_ == inner.end_ || *inner.at_ != ']') broken("a list is too long");
  at_ = inner.at_ + 1;
}

JsonView JsonView::Walk::need() {
  if (!to_next()) broken("a list is too short");
  const char* const from = at_;
  at_ = end_of_value(from, end_);
  return JsonView{between(from, at_)};
}

}  // namespace sherdmark
