#include "report/json_value.h"

#include <fmt/format.h>

#include <cmath>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_replacement = "\xEF\xBF\xBD";  // U+FFFD

std::size_t length_of_sequence(unsigned char lead) {
  return lead < 0x80 ? 1 : lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 1;
}

void write_text(std::string& out, std::string_view text) {
  out += '"';
  for (std::size_t at = 0; at < text.size();) {
    const auto lead = static_cast<unsigned char>(text[at]);
    const std::string_view letter = text.substr(at, length_of_sequence(lead));
    if (lead < 0x20) {
      const std::size_t known = std::string_view{"\b\t\n\f\r"}.find(text[at]);
      out += known == std::string_view::npos ? fmt::format("\\u{:04x}", lead)
                                             : std::string{'\\', std::string_view{"btnfr"}[known]};
      ++at;
    } else if (text[at] == '"' || text[at] == '\\') {
      out += {'\\', text[at++]};
    } else if (is_valid_utf8(letter)) {
      out += letter;
      at += letter.size();
    } else {
      out += k_replacement;
      ++at;
    }
  }
  out += '"';
}

void write_number(std::string& out, double value) {
  if (!std::isfinite(value)) {
    out += "null";
    return;
  }
  const std::string text = fmt::format("{}", value);
  out += text.find_first_of(".en") == std::string::npos ? text + ".0" : text;
}

}  // namespace

JsonValue JsonValue::object(std::initializer_list<std::pair<std::string_view, JsonValue>> members) {
  Object all;
  for (const auto& [key, value] : members) all.emplace_back(std::string{key}, value);
  return JsonValue{std::move(all)};
}

JsonValue& JsonValue::operator[](std::string_view key) {
  if (std::holds_alternative<std::nullptr_t>(value_)) value_ = Object{};
  auto& members = std::get<Object>(value_);
  for (auto& [name, value] : members)
    if (name == key) return value;
  return members.emplace_back(std::string{key}, JsonValue{}).second;
}

JsonValue JsonValue::list(std::initializer_list<JsonValue> values) { return JsonValue{Array(values)}; }

void JsonValue::update(const JsonValue& other) {
  for (const auto& [name, value] : std::get<Object>(other.value_)) (*this)[name] = value;
}

void JsonValue::push_back(JsonValue value) {
  if (std::holds_alternative<std::nullptr_t>(value_)) value_ = Array{};
  std::get<Array>(value_).push_back(std::move(value));
}

// `depth`: how many levels in it stands; nothing for one line.
void JsonValue::write(std::string& out, std::optional<std::size_t> depth) const {
  const auto break_line = [&](std::size_t deeper) {
    if (depth) out += "\n" + std::string((*depth + deeper) * 2, ' ');
  };
  const std::optional<std::size_t> inner = depth ? std::optional{*depth + 1} : std::nullopt;
  if (const auto* truth = std::get_if<bool>(&value_)) out += *truth ? "true" : "false";
  if (std::holds_alternative<std::nullptr_t>(value_)) out += "null";
  if (const auto* whole = std::get_if<std::int64_t>(&value_)) out += std::to_string(*whole);
  if (const auto* real = std::get_if<double>(&value_)) write_number(out, *real);
  if (const auto* text = std::get_if<std::string>(&value_)) write_text(out, *text);
  if (const auto* values = std::get_if<Array>(&value_)) {
    out += '[';
    for (std::size_t i = 0; i < values->size(); ++i) {
      if (i > 0) out += ',';
      break_line(1);
      (*values)[i].write(out, inner);
    }
    if (!values->empty()) break_line(0);
    out += ']';
  }
  if (const auto* members = std::get_if<Object>(&value_)) {
    out += '{';
    for (std::size_t i = 0; i < members->size(); ++i) {
      if (i > 0) out += ',';
      break_line(1);
      write_text(out, (*members)[i].first);
      out += depth ? ": " : ":";
      (*members)[i].second.write(out, inner);
    }
    if (!members->empty()) break_line(0);
    out += '}';
  }
}

std::string JsonValue::line() const {
  std::string out;
  write(out, std::nullopt);
  return out + "\n";
}

std::string JsonValue::document() const {
  std::string out;
  write(out, 0);
  return out + "\n";
}

}  // namespace sherdmark
