#include "sherdmark/verify/review.h"

#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_serial_length = 8;
constexpr std::string_view k_remedy =
    "Key an artifact label's number as it stands there, or of a bag label or tag the eight characters under its code; "
    "nothing if you cannot read it; - if it is no label.";

// Letters that the alphabet of serials does not have stand for the digits they look like.
std::string as_serial(std::string_view text) {
  std::string serial;
  for (const char c : to_upper_ascii(trim(text))) {
    if (c == '-' || c == ' ') continue;
    serial.push_back(c == 'O' ? '0' : c == 'I' || c == 'L' ? '1' : c);
  }
  return serial;
}

bool is_serial(const std::string& text) {
  return text.size() == k_serial_length &&
         std::ranges::all_of(text, [](char c) { return k_identity_alphabet.find(c) != std::string_view::npos; });
}

// What the person saw, and nothing of what the machine believed it had read.
Reading start_from(const Reading& seen, std::string_view keyed) {
  Reading reading;
  reading.sure = true;
  reading.source = ReadingSource::keyed;
  reading.image = seen.image;
  reading.page = seen.page;
  reading.corners = seen.corners;
  reading.text = std::string{trim(keyed)};
  return reading;
}

struct CarrierWords {
  std::string serial;
  std::string bag;  // may be empty
};

// "7KM00042", "7KM0-0042 B7KM-0001": the serial, then perhaps the bag's id.
std::optional<CarrierWords> carrier_words(std::string_view keyed) {
  const std::string text{trim(keyed)};
  if (is_serial(as_serial(text))) return CarrierWords{as_serial(text), {}};
  for (std::size_t space = text.find(' '); space != std::string::npos; space = text.find(' ', space + 1)) {
    const std::string serial = as_serial(text.substr(0, space));
    const auto bag = parse_identity(IdentityKind::bag, text.substr(space + 1));
    if (is_serial(serial) && bag) return CarrierWords{serial, *bag};
  }
  return std::nullopt;
}

Reading carrier_reading(Reading reading, const CarrierWords& words, const CollectionView& records) {
  reading.serial = words.serial;
  reading.role = LabelRole::bag;
  if (const auto print = records.find_print(words.serial)) {
    reading.role = print->role;
    reading.number = print->number;
    reading.revision = print->revision;
    reading.ordinal = print->ordinal;
    reading.bag = print->subject;
  }
  if (!words.bag.empty()) reading.bag = words.bag;
  return reading;
}

}  // namespace

std::vector<std::size_t> readings_to_key(const std::vector<Reading>& readings, const HouseStandard& standard) {
  std::vector<std::size_t> indices;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const Reading& reading = readings[i];
    const bool thin = reading.source == ReadingSource::text && reading.margin && standard.read_margin > 0 &&
                      *reading.margin < standard.read_margin;
    if (reading.corners && (!reading.sure || thin)) indices.push_back(i);
  }
  return indices;
}

Keyed understand_keyed(const Reading& seen, std::string_view keyed, const CollectionView& records,
                       const HouseStandard& standard) {
  const std::string_view text = trim(keyed);
  if (text.empty()) return {KeyedSense::cannot_read, {}, {}};
  if (text == k_no_label) return {KeyedSense::no_label, {}, {}};
  Reading reading = start_from(seen, text);
  if (const auto number = standard.parse_number(text)) {
    const NumberLevel level = number->number.level();
    if (level == NumberLevel::item || level == NumberLevel::piece) {
      reading.role = LabelRole::artifact;
      reading.number = number->number.text();
      return {KeyedSense::understood, std::move(reading), {}};
    }
  }
  if (const auto words = carrier_words(text)) {
    const auto print = records.find_print(words->serial);
    if (!print || print->role != LabelRole::artifact)
      return {KeyedSense::understood, carrier_reading(std::move(reading), *words, records), {}};
  }
  if (records.find_number(std::string{text}).meaning != NumberMeaning::unknown) {  // a former number
    reading.role = LabelRole::artifact;
    reading.number = std::string{text};
    return {KeyedSense::understood, std::move(reading), {}};
  }
  return {KeyedSense::not_understood, {}, std::string{k_remedy}};
}

}  // namespace sherdmark
