#include "catalog/number_format.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <vector>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 12> k_months = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                       "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

// One piece of a format section: a place for a digit, a sign with meaning, or text to show as it is.
struct Token {
  enum class Kind { digit, point, thousands, percent, exponent, letter, text } kind = Kind::text;
  std::string text;
};

bool is_one_of(char c, std::string_view set) { return set.find(c) != std::string_view::npos; }

// Reads one token at `at` and moves past it. Colours, conditions and locales in brackets come back as empty text.
Token next_token(std::string_view format, std::size_t& at) {
  const char c = format[at++];
  if (c == '"') {
    const std::size_t end = std::min(format.find('"', at), format.size());
    Token token{Token::Kind::text, std::string{format.substr(at, end - at)}};
    at = std::min(end + 1, format.size());
    return token;
  }
  if (c == '\\' && at < format.size()) return {Token::Kind::text, std::string(1, format[at++])};
  if (c == '_' || c == '*') {
    if (at < format.size()) ++at;
    return {};
  }
  if (c == '[') {
    const std::size_t end = std::min(format.find(']', at), format.size());
    const std::string_view inside = format.substr(at, end - at);
    at = std::min(end + 1, format.size());
    const bool elapsed = !inside.empty() && inside.find_first_not_of("hmsHMS") == std::string_view::npos;
    return elapsed ? Token{Token::Kind::letter, "elapsed"} : Token{};
  }
  if (is_one_of(c, "0#?")) return {Token::Kind::digit, std::string(1, c)};
  if (c == '.') return {Token::Kind::point, "."};
  if (c == ',') return {Token::Kind::thousands, ","};
  if (c == '%') return {Token::Kind::percent, "%"};
  if ((c == 'E' || c == 'e') && at < format.size() && is_one_of(format[at], "+-")) {
    ++at;
    return {Token::Kind::exponent, "E"};
  }
  if (is_one_of(c, "yYmMdDhHsS")) return {Token::Kind::letter, to_lower_ascii(std::string_view{&c, 1})};
  return {Token::Kind::text, std::string(1, c)};
}

// The sections of a format (positive; negative; zero; text).
std::vector<std::vector<Token>> sections_of(std::string_view format) {
  std::vector<std::vector<Token>> sections(1);
  std::size_t at = 0;
  while (at < format.size()) {
    if (format[at] == ';') {
      ++at;
      sections.emplace_back();
      continue;
    }
    Token token = next_token(format, at);
    if (!token.text.empty()) sections.back().push_back(std::move(token));
  }
  return sections;
}

bool has(const std::vector<Token>& section, Token::Kind kind) {
  return std::any_of(section.begin(), section.end(), [kind](const Token& token) { return token.kind == kind; });
}

bool has_letter(const std::vector<Token>& section, std::string_view letter) {
  return std::any_of(section.begin(), section.end(), [letter](const Token& token) {
    return token.kind == Token::Kind::letter && token.text == letter;
  });
}

std::string show_date(double serial, const std::vector<Token>& section, bool starts_1904) {
  if (has_letter(section, "elapsed")) return show_general(serial);
  constexpr double k_last_day = 2'958'465;  // 9999-12-31
  if (serial < 0 || serial >= k_last_day + 1) return "########";
  auto day = static_cast<std::int64_t>(std::floor(serial));
  auto second = static_cast<std::int64_t>(std::llround((serial - std::floor(serial)) * 86'400));
  if (second == 86'400) ++day, second = 0;
  std::string time = fmt::format("{:02}:{:02}:{:02}", second / 3600, second / 60 % 60, second % 60);
  const bool year = has_letter(section, "y");
  const bool day_of_month = has_letter(section, "d");
  if (!year && !day_of_month) return time;
  if (day == 0 && !starts_1904) return "1900-01-00";   // no day either: a formula's 0 for an empty cell
  if (day == 60 && !starts_1904) return "1900-02-29";  // a day that never was; spreadsheets count it
  const std::chrono::sys_days epoch = starts_1904
                                          ? std::chrono::sys_days{std::chrono::year{1904} / 1 / 1}
                                          : std::chrono::sys_days{std::chrono::year{1899} / 12 / (day < 60 ? 31 : 30)};
  const std::chrono::year_month_day date{epoch + std::chrono::days{day}};
  const unsigned month = static_cast<unsigned>(date.month());
  if (!year) return fmt::format("{}-{}", static_cast<unsigned>(date.day()), k_months[month - 1]);
  if (!day_of_month) return fmt::format("{}-{:02}", k_months[month - 1], static_cast<int>(date.year()) % 100);
  const std::string text =
      fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), month, static_cast<unsigned>(date.day()));
  return second == 0 ? text : text + " " + time;
}

std::string show_scientific(double value, const std::vector<Token>& section) {
  int decimals = 0;
  bool after_point = false;
  for (const Token& token : section) {
    if (token.kind == Token::Kind::exponent) break;
    if (token.kind == Token::Kind::point) after_point = true;
    if (token.kind == Token::Kind::digit && after_point) ++decimals;
  }
  return fmt::format("{:.{}E}", value, std::min(decimals, 30));
}

// Digits of a whole number, at least `width`, as a format of nothing but digit places and text shows them.
std::string fill_digits(std::string digits, const std::vector<Token>& section) {
  const auto places = static_cast<std::size_t>(std::count_if(
      section.begin(), section.end(), [](const Token& token) { return token.kind == Token::Kind::digit; }));
  std::size_t needed = 0;  // from the first 0 on, every place shows a digit
  std::size_t seen = 0;
  for (const Token& token : section) {
    if (token.kind != Token::Kind::digit) continue;
    if (token.text == "0" && needed == 0) needed = places - seen;
    ++seen;
  }
  if (digits == "0" && needed == 0) digits.clear();
  if (digits.size() < needed) digits.insert(0, needed - digits.size(), '0');
  std::string text;
  std::size_t place = 0;
  std::size_t used = 0;
  for (const Token& token : section) {
    if (token.kind == Token::Kind::text || token.kind == Token::Kind::percent) text += token.text;
    if (token.kind != Token::Kind::digit) continue;
    const std::size_t left = places - place++;
    while (digits.size() - used >= left && used < digits.size()) text += digits[used++];
  }
  return text;
}

std::string show_fixed(double value, std::vector<Token> section) {
  int decimals = 0;
  const auto point =
      std::find_if(section.begin(), section.end(), [](const Token& token) { return token.kind == Token::Kind::point; });
  std::vector<Token> after;
  if (point != section.end()) {
    after.assign(point + 1, section.end());
    section.erase(point, section.end());
    const auto required = [](const Token& token) { return token.kind == Token::Kind::digit && token.text == "0"; };
    decimals = static_cast<int>(std::count_if(after.begin(), after.end(), required));
  }
  if (has(section, Token::Kind::percent) || has(after, Token::Kind::percent)) value *= 100;
  std::string digits = show_general(value);
  if (digits.find('E') != std::string::npos) return digits;
  const std::size_t dot = digits.find('.');
  std::string fraction = dot == std::string::npos ? std::string{} : digits.substr(dot + 1);
  if (dot != std::string::npos) digits.resize(dot);
  if (fraction.size() < static_cast<std::size_t>(decimals))
    fraction.append(static_cast<std::size_t>(decimals) - fraction.size(), '0');
  // Without a point in the format there is nowhere to put a fraction but behind the last digit.
  std::string tail;
  if (point == section.end() && after.empty() && !fraction.empty()) return show_general(value);
  for (const Token& token : after)
    if (token.kind == Token::Kind::text || token.kind == Token::Kind::percent) tail += token.text;
  const std::string whole = fill_digits(digits, section);
  return fraction.empty() ? whole + tail : whole + "." + fraction + tail;
}

}  // namespace

std::string show_general(double value) {
  if (!std::isfinite(value)) return "#NUM!";
  if (value == 0) return "0";
  std::string text = fmt::format("{:.15g}", value);
  if (text.find('e') == std::string::npos) return text;
  if (std::abs(value) >= 1e15 || std::abs(value) < 1e-9) return to_upper_ascii(text);
  text = fmt::format("{:.{}f}", value, 14 - static_cast<int>(std::floor(std::log10(std::abs(value)))));
  text.erase(text.find_last_not_of('0') + 1);
  if (!text.empty() && text.back() == '.') text.pop_back();
  return text;
}

std::string show_number(double value, std::string_view format, bool starts_1904) {
  if (format.size() > 255 || to_lower_ascii(format) == "general" || format == "@" || format.empty())
    return show_general(value);
  if (!std::isfinite(value)) return "#NUM!";
  const std::vector<std::vector<Token>> sections = sections_of(format);
  const std::vector<Token>& first = sections.front();
  if (has(first, Token::Kind::letter)) return show_date(value, first, starts_1904);
  const bool own_negative = value < 0 && sections.size() > 1;
  const bool own_zero = value == 0 && sections.size() > 2;
  const std::vector<Token>& section = own_negative ? sections[1] : own_zero ? sections[2] : first;
  const bool fraction_bar =
      std::any_of(section.begin(), section.end(), [](const Token& token) { return token.text == "/"; });
  if (!has(section, Token::Kind::digit) || fraction_bar || format.find("General") != std::string_view::npos)
    return show_general(value);
  const double shown = std::abs(value);
  const std::string text =
      has(section, Token::Kind::exponent) ? show_scientific(shown, section) : show_fixed(shown, section);
  if (text.empty()) return show_general(value);
  return value < 0 && !own_negative ? "-" + text : text;
}

std::string_view builtin_format(int id) {
  switch (id) {
    case 1:
      return "0";
    case 2:
      return "0.00";
    case 3:
      return "#,##0";
    case 4:
      return "#,##0.00";
    case 9:
      return "0%";
    case 10:
      return "0.00%";
    case 11:
      return "0.00E+00";
    case 14:
      return "yyyy-mm-dd";
    case 15:
      return "d-mmm-yy";
    case 16:
      return "d-mmm";
    case 17:
      return "mmm-yy";
    case 18:
    case 19:
    case 20:
    case 21:
      return "h:mm:ss";
    case 22:
      return "yyyy-mm-dd h:mm";
    case 37:
    case 38:
      return "#,##0";
    case 39:
    case 40:
      return "#,##0.00";
    case 45:
    case 46:
    case 47:
      return "mm:ss";
    case 48:
      return "##0.0E+0";
    default:
      break;
  }
  // 27 to 36 and 50 to 58 are dates of East Asian versions.
  if ((id >= 27 && id <= 36) || (id >= 50 && id <= 58)) return "yyyy-mm-dd";
  return "General";
}

}  // namespace sherdmark
