#include "sherdmark/verify/typed_label.h"

#include <algorithm>
#include <string>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_serial_length = 8;

// Empty when it is none. Letters that the alphabet of serials does not have stand for the digits they look like.
std::string as_serial(std::string_view text) {
  std::string serial;
  for (const char c : to_upper_ascii(trim(text))) {
    if (c == '-' || c == ' ') continue;
    serial.push_back(c == 'O' ? '0' : c == 'I' || c == 'L' ? '1' : c);
  }
  const bool fits = serial.size() == k_serial_length && std::ranges::all_of(serial, [](char c) {
                      return k_identity_alphabet.find(c) != std::string_view::npos;
                    });
  return fits ? serial : std::string{};
}

bool stands_on(const PrintRecord& print, std::string_view words) {
  if (print.role == LabelRole::bag || print.role == LabelRole::tag) {
    const auto bag = parse_identity(IdentityKind::bag, words);
    return bag && *bag == print.subject;
  }
  return print.role == LabelRole::field_tag && to_upper_ascii(trim(words)) == to_upper_ascii(print.number);
}

}  // namespace

TypedPrint typed_print(const CollectionView& records, std::string_view typed) {
  std::string text{trim(typed)};
  std::ranges::replace_if(
      text, [](char c) { return c == ',' || c == ';' || c == '\t'; }, ' ');
  if (const std::string serial = as_serial(text); !serial.empty())
    return {TypedLabel::serial_alone, records.find_print(serial)};
  TypedPrint found;
  for (std::size_t space = text.find(' '); space != std::string::npos; space = text.find(' ', space + 1)) {
    const std::string sides[] = {text.substr(0, space), text.substr(space + 1)};
    for (const std::size_t side : {std::size_t{0}, std::size_t{1}}) {
      const std::string serial = as_serial(sides[side]);
      if (serial.empty()) continue;
      const auto print = records.find_print(serial);
      if (print && stands_on(*print, sides[1 - side])) return {TypedLabel::label, print};
      found.what = TypedLabel::not_together;
    }
  }
  return found;
}

Reading typed_reading(const PrintRecord& print, std::string_view text) {
  Reading reading;
  reading.sure = true;
  reading.role = print.role;
  reading.number = print.number;
  reading.serial = print.serial;
  reading.revision = print.revision;
  reading.ordinal = print.ordinal;
  if (print.role == LabelRole::bag || print.role == LabelRole::tag) reading.bag = print.subject;
  reading.source = ReadingSource::keyed;
  reading.text = std::string{trim(text)};
  return reading;
}

}  // namespace sherdmark
