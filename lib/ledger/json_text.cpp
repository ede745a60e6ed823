#include "ledger/json_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
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

bool is_plain(char c) { return c != '"' && c != '\\' && static_cast<unsigned char>(c) >= 0x20U; }

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

// Length of the string literal at the start of `text`, both quotes included.
std::size_t string_length(std::string_view text) {
  constexpr std::size_t k_short = 32;  // most are: looked at byte by byte, faster than a call
  std::size_t at = 1;
  for (const std::size_t end = std::min(k_short, text.size()); at < end; ++at) {
    if (text[at] == '"') return at + 1;
    if (text[at] == '\\') ++at;
  }
  while (at < text.size()) {
    const std::size_t quote = text.find('"', at);
    if (quote == std::string_view::npos) break;
    const std::size_t escape = text.substr(at, quote - at).find('\\');
    if (escape == std::string_view::npos) return quote + 1;
    at += escape + 2;
  }
  broken("a text does not end");
}

// Length of the value at the start of `text`.
std::size_t value_length(std::string_view text) {
  if (text.empty()) broken("a value is missing");
  if (text.front() == '"') return string_length(text);
  if (text.front() != '[' && text.front() != '{') {
    std::size_t end = 0;
    while (end < text.size() && text[end] != ',' && text[end] != ']' && text[end] != '}') ++end;
    return end;
  }
  int depth = 0;
  for (std::size_t at = 0; at < text.size();) {
    const char c = text[at];
    if (c == '"') {
      at += string_length(text.substr(at));
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

void JsonWriter::before_value() {
  if (!fresh_) out_ += ',';
  fresh_ = false;
}

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
  before_value();
  out_ += '"';
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
  std::size_t at = body.find('\\');
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
  std::string_view rest = raw_.substr(1);
  while (!rest.empty() && rest.front() == '"') {
    const std::size_t name_length = string_length(rest);
    const std::string_view name = rest.substr(1, name_length - 2);
    if (rest.size() <= name_length || rest[name_length] != ':') broken("a colon is missing");
    rest.remove_prefix(name_length + 1);
    const std::size_t length = value_length(rest);
    members.emplace_back(name, JsonView{rest.substr(0, length)});
    rest.remove_prefix(length);
    if (!rest.empty() && rest.front() == ',') rest.remove_prefix(1);
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

bool JsonView::Walk::to_next() {
  if (rest_.empty()) broken("a list does not end");
  if (rest_.front() == ']') return false;
  if (!first_) {
    if (rest_.front() != ',') broken("a comma is missing");
    rest_.remove_prefix(1);
  }
  first_ = false;
  return true;
}

std::optional<JsonView> JsonView::Walk::next() {
  if (!to_next()) return std::nullopt;
  const std::size_t length = value_length(rest_);
  const JsonView value{rest_.substr(0, length)};
  rest_.remove_prefix(length);
  return value;
}

std::optional<JsonView::Walk> JsonView::Walk::enter() {
  if (!to_next()) return std::nullopt;
  if (rest_.empty() || rest_.front() != '[') broken("a list is missing");
  return Walk{rest_.substr(1)};
}

void JsonView::Walk::leave(const Walk& inner) {
  if (inner.rest_.empty() || inner.rest_.front() != ']') broken("a list is too long");
  rest_ = inner.rest_.substr(1);
}

JsonView JsonView::Walk::need() {
  const std::optional<JsonView> value = next();
  if (!value) broken("a list is too short");
  return *value;
}

}  // namespace sherdmark
