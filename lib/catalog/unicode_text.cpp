#include "catalog/unicode_text.h"

#include <fmt/format.h>
#include <unicode/uchar.h>
#include <unicode/unorm2.h>
#include <unicode/uscript.h>
#include <unicode/uspoof.h>
#include <unicode/ustring.h>

#include <algorithm>
#include <array>
#include <memory>
#include <optional>
#include <unordered_map>
#include <utility>

#include "sherdmark/base/error.h"
#include "sherdmark/base/late_library.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

// Opened by the first text that is not ASCII: its tables are 30 MB. The macros of ICU's headers put the version into
// each name ("u_isalpha_72"), here as well.
class UnicodeLibrary {
  LateLibrary library_{SHERDMARK_UNICODE_LIBRARY, "Characters beyond ASCII are read",
                       "Install it (the package of ICU)."};

 public:
  SHERDMARK_LATE_FUNCTION(, u_charDigitValue);
  SHERDMARK_LATE_FUNCTION(, u_charName);
  SHERDMARK_LATE_FUNCTION(, u_charType);
  SHERDMARK_LATE_FUNCTION(, u_isUWhiteSpace);
  SHERDMARK_LATE_FUNCTION(, u_isalnum);
  SHERDMARK_LATE_FUNCTION(, u_isalpha);
  SHERDMARK_LATE_FUNCTION(, u_strFromUTF8WithSub);
  SHERDMARK_LATE_FUNCTION(, u_strToUTF8WithSub);
  SHERDMARK_LATE_FUNCTION(, unorm2_getNFCInstance);
  SHERDMARK_LATE_FUNCTION(, unorm2_getNFKCInstance);
  SHERDMARK_LATE_FUNCTION(, unorm2_normalize);
  SHERDMARK_LATE_FUNCTION(, uscript_getScript);
  SHERDMARK_LATE_FUNCTION(, uspoof_close);
  SHERDMARK_LATE_FUNCTION(, uspoof_getSkeletonUTF8);
  SHERDMARK_LATE_FUNCTION(, uspoof_open);
};

const UnicodeLibrary& unicode() {
  static const UnicodeLibrary library;
  return library;
}

std::u16string to_utf16(std::string_view text) {
  std::u16string wide(text.size() + 1, u'\0');
  int32_t length = 0;
  UErrorCode status = U_ZERO_ERROR;
  unicode().u_strFromUTF8WithSub(wide.data(), static_cast<int32_t>(wide.size()), &length, text.data(),
                                 static_cast<int32_t>(text.size()), 0xFFFD, nullptr, &status);
  if (U_FAILURE(status)) throw internal_error("A text could not be turned into UTF-16.");
  wide.resize(static_cast<std::size_t>(length));
  return wide;
}

std::string to_utf8(std::u16string_view wide) {
  std::string text(wide.size() * 3 + 1, '\0');
  int32_t length = 0;
  UErrorCode status = U_ZERO_ERROR;
  unicode().u_strToUTF8WithSub(text.data(), static_cast<int32_t>(text.size()), &length, wide.data(),
                               static_cast<int32_t>(wide.size()), 0xFFFD, nullptr, &status);
  if (U_FAILURE(status)) throw internal_error("A text could not be turned into UTF-8.");
  text.resize(static_cast<std::size_t>(length));
  return text;
}

std::u32string code_points(std::string_view text) {
  const auto decoded = decode_utf8(text);
  return decoded ? *decoded : std::u32string(1, U'\uFFFD');
}

std::string normalise(std::string_view text, const UNormalizer2* form) {
  const std::u16string wide = to_utf16(text);
  std::u16string out(wide.size() * 18 + 1, u'\0');  // the longest growth of any normal form
  UErrorCode status = U_ZERO_ERROR;
  const int32_t length =
      unicode().unorm2_normalize(form, reinterpret_cast<const UChar*>(wide.data()), static_cast<int32_t>(wide.size()),
                                 out.data(), static_cast<int32_t>(out.size()), &status);
  if (U_FAILURE(status)) throw internal_error("A text could not be brought into a normal form.");
  out.resize(static_cast<std::size_t>(length));
  return to_utf8(out);
}

const USpoofChecker& spoof_checker() {
  struct Closer {
    void operator()(USpoofChecker* checker) const { unicode().uspoof_close(checker); }
  };
  static const std::unique_ptr<USpoofChecker, Closer> checker = [] {
    UErrorCode status = U_ZERO_ERROR;
    std::unique_ptr<USpoofChecker, Closer> opened{unicode().uspoof_open(&status)};
    if (U_FAILURE(status)) throw internal_error("The table of look-alike characters could not be opened.");
    return opened;
  }();
  return *checker;
}

std::string name_of(char32_t c) {
  std::array<char, 128> name{};
  UErrorCode status = U_ZERO_ERROR;
  unicode().u_charName(static_cast<UChar32>(c), U_EXTENDED_CHAR_NAME, name.data(), static_cast<int32_t>(name.size()),
                       &status);
  return fmt::format("U+{:04X} {}", static_cast<std::uint32_t>(c), U_SUCCESS(status) ? name.data() : "");
}

bool is_direction_control(char32_t c) {
  return (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) || c == 0x200E || c == 0x200F || c == 0x061C;
}

// U+200C and U+200D are needed to write several scripts; they count as invisible only in identifiers.
bool is_invisible(char32_t c) {
  return c == 0x00AD || c == 0x034F || c == 0x180E || c == 0x200B || (c >= 0x2060 && c <= 0x2064) || c == 0xFEFF ||
         (c >= 0xE0000 && c <= 0xE007F);
}

bool is_dash(char32_t c) {
  return c == 0x2212 || c == 0x2043 || c == 0x02D7 ||
         (c > 0x7F && unicode().u_charType(static_cast<UChar32>(c)) == U_DASH_PUNCTUATION);
}

bool is_space(char32_t c) { return c > 0x7F && unicode().u_isUWhiteSpace(static_cast<UChar32>(c)); }

// Capitals whose UTS #39 prototype is a small letter or a digit, though a person takes them for the capital: a table
// of our own ("common practice, no source").
std::optional<char32_t> own_table(char32_t c) {
  switch (c) {
    case 0x0406:
    case 0x0399:
    case 0x04C0:
      return U'I';  // Ukrainian I, Iota, Palochka
    case 0x041E:
    case 0x039F:
      return U'O';
    case 0x0417:
      return U'3';  // Ze stands for a digit, not for a letter
    case 0x0443:
      return U'y';
    case 0x0456:
      return U'i';
    case 0x0392:
    case 0x0412:
      return U'B';
    case 0x041A:
    case 0x039A:
      return U'K';
    case 0x043A:
      return U'k';
    case 0x041C:
    case 0x039C:
      return U'M';
    case 0x041D:
    case 0x0397:
      return U'H';
    case 0x0422:
    case 0x03A4:
      return U'T';
    case 0x0423:
    case 0x03A5:
      return U'Y';
    default:
      return std::nullopt;
  }
}

std::optional<char32_t> single_ascii(std::string_view text) {
  if (text.size() == 1 && text[0] > 0x20 && text[0] < 0x7F) return static_cast<char32_t>(text[0]);
  return std::nullopt;
}

// The Latin letter that a letter of another alphabet is taken for.
std::optional<char32_t> latin_look_alike(char32_t c) {
  if (c < 0x80 || !unicode().u_isalpha(static_cast<UChar32>(c))) return std::nullopt;
  UErrorCode status = U_ZERO_ERROR;
  if (unicode().uscript_getScript(static_cast<UChar32>(c), &status) == USCRIPT_LATIN) return std::nullopt;
  if (const auto own = own_table(c)) return own;
  return single_ascii(look_alike_key(encode_utf8(std::u32string_view{&c, 1})));
}

// Full-width forms, superscripts and mathematical letters, by compatibility (NFKC).
std::optional<char32_t> compatible_ascii(char32_t c) {
  const int digit = unicode().u_charDigitValue(static_cast<UChar32>(c));
  if (digit >= 0) return static_cast<char32_t>('0' + digit);
  UErrorCode status = U_ZERO_ERROR;
  const UNormalizer2* nfkc = unicode().unorm2_getNFKCInstance(&status);
  if (U_FAILURE(status)) return std::nullopt;
  return single_ascii(normalise(encode_utf8(std::u32string_view{&c, 1}), nfkc));
}

void note(std::vector<std::string>& list, std::string text) {
  if (list.size() < 8 && std::find(list.begin(), list.end(), text) == list.end()) list.push_back(std::move(text));
}

}  // namespace

bool is_plain_ascii(std::string_view text) {
  return std::all_of(text.begin(), text.end(), [](char c) { return c >= 0x20 && c < 0x7F; });
}

std::string to_nfc(std::string_view text) {
  UErrorCode status = U_ZERO_ERROR;
  const UNormalizer2* nfc = unicode().unorm2_getNFCInstance(&status);
  if (U_FAILURE(status)) throw internal_error("The table of normal forms could not be opened.");
  return normalise(text, nfc);
}

std::string look_alike_key(std::string_view text) {
  std::string out(text.size() * 8 + 64, '\0');
  UErrorCode status = U_ZERO_ERROR;
  int32_t length = unicode().uspoof_getSkeletonUTF8(&spoof_checker(), 0, text.data(), static_cast<int32_t>(text.size()),
                                                    out.data(), static_cast<int32_t>(out.size()), &status);
  if (status == U_BUFFER_OVERFLOW_ERROR) {
    out.resize(static_cast<std::size_t>(length) + 1);
    status = U_ZERO_ERROR;
    length = unicode().uspoof_getSkeletonUTF8(&spoof_checker(), 0, text.data(), static_cast<int32_t>(text.size()),
                                              out.data(), static_cast<int32_t>(out.size()), &status);
  }
  if (U_FAILURE(status)) throw internal_error("A text could not be compared for look-alike characters.");
  out.resize(static_cast<std::size_t>(length));
  return out;
}

HiddenCharacters find_hidden(std::string_view text) {
  HiddenCharacters found;
  const std::u32string characters = code_points(text);
  for (std::size_t i = 0; i < characters.size(); ++i) {
    const char32_t c = characters[i];
    if (is_direction_control(c)) note(found.direction, name_of(c));
    if (is_invisible(c)) note(found.invisible, name_of(c));
    const bool control = (c < 0x20 && c != '\t' && c != '\n' && c != '\r') || (c >= 0x7F && c < 0xA0);
    if (control || c == 0xFFFD) note(found.lost, name_of(c));
    // A two-byte sequence of UTF-8 shows as one of these letters and a character of the Latin-1 supplement.
    const char32_t next = i + 1 < characters.size() ? characters[i + 1] : 0;
    if ((c == 0xC3 || c == 0xC2) && ((next >= 0xA0 && next <= 0xBF) || next == 0x20AC || next == 0x2122))
      found.mis_decoded = true;
  }
  return found;
}

std::string without_invisible(std::string_view text) {
  std::u32string kept;
  for (const char32_t c : code_points(text)) {
    if (is_invisible(c)) continue;
    kept.push_back(is_space(c) && c != 0x2028 && c != 0x2029 ? U' ' : c == 0x2028 || c == 0x2029 ? U'\n' : c);
  }
  return encode_utf8(kept);
}

TypedText as_typed(std::string_view text, bool letters) {
  TypedText typed;
  std::u32string kept;
  for (const char32_t c : code_points(text)) {
    if (c >= 0x20 && c < 0x7F) {
      kept.push_back(c);
    } else if (is_invisible(c) || c == 0x200C || c == 0x200D) {
      note(typed.changes, fmt::format("{} was removed", name_of(c)));
    } else if (is_dash(c)) {
      kept.push_back(U'-');
      note(typed.changes, fmt::format("{} was read as -", name_of(c)));
    } else if (is_space(c) || c == '\n' || c == '\r' || c == '\t') {
      kept.push_back(U' ');
      note(typed.changes, fmt::format("{} was read as a space", name_of(c)));
    } else if (const auto ascii = compatible_ascii(c)) {
      kept.push_back(*ascii);
      note(typed.changes, fmt::format("{} was read as {}", name_of(c), static_cast<char>(*ascii)));
    } else if (const auto latin = letters ? latin_look_alike(c) : std::nullopt) {
      kept.push_back(*latin);
      typed.letters_changed = true;
      note(typed.changes, fmt::format("{} was read as {}", name_of(c), static_cast<char>(*latin)));
    } else {
      kept.push_back(c);
    }
  }
  typed.text = std::string{trim(encode_utf8(kept))};
  return typed;
}

bool mixes_alphabets(std::string_view text) {
  bool latin = false;
  bool alike = false;
  for (const char32_t c : code_points(text)) {
    if (!unicode().u_isalnum(static_cast<UChar32>(c))) {
      if (latin && alike) return true;
      latin = alike = false;
      continue;
    }
    if (c < 0x80) latin = true;
    if (latin_look_alike(c)) alike = true;
  }
  return latin && alike;
}

}  // namespace sherdmark
