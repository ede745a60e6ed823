#include "sherdmark/verify/review.h"

#include "sherdmark/base/text.h"
#include "sherdmark/verify/typed_label.h"
#include "sherdmark/verify/typed_number.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_artifact_remedy =
    "Key an artifact label's number as it stands there; nothing if you cannot read it; - if it is no label.";
constexpr std::string_view k_small_code_remedy =
    "Key an artifact label's number as it stands there; nothing if you cannot read it. A small code of ours is on it, "
    "so it is a label.";
constexpr std::string_view k_carrier_remedy =
    "This is the code of a bag label or tag. Key two things that are printed round it: the serial, eight characters "
    "behind \"print\" at the foot, and the bag's id at the top; nothing if you cannot read them; - only if it is the "
    "code "
    "of something else, and no label that was printed here.";
constexpr std::string_view k_apart_remedy =
    "This serial and this bag id do not stand on one label that was printed here. Look at both again; nothing if you "
    "cannot read them.";

Keyed not_understood(std::string_view remedy) { return {KeyedSense::not_understood, {}, std::string{remedy}}; }

// What the person saw; of what the machine believed it had read only the small code, which was read by itself and
// which a person cannot key.
Reading placed_as(const Reading& seen, Reading reading) {
  reading.image = seen.image;
  reading.page = seen.page;
  reading.corners = seen.corners;
  reading.micro_number = seen.micro_number;
  return reading;
}

Keyed understand_carrier(const Reading& seen, std::string_view text, const CollectionView& records) {
  const TypedPrint typed = typed_print(records, text);
  if (typed.what == TypedLabel::not_together) return not_understood(k_apart_remedy);
  if (typed.what != TypedLabel::label) return not_understood(k_carrier_remedy);
  return {KeyedSense::understood, placed_as(seen, typed_reading(*typed.print, text)), {}};
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

bool is_code_of_carrier(const Reading& seen) { return seen.source == ReadingSource::qr; }

Keyed understand_keyed(const Reading& seen, std::string_view keyed, const CollectionView& records,
                       const HouseStandard& standard) {
  const std::string_view text = trim(keyed);
  if (text.empty()) return {KeyedSense::cannot_read, {}, {}};
  const bool carrier = is_code_of_carrier(seen);
  // What is merely seen of a code may be anybody's; what was read of it, if damaged, is ours.
  const bool code_of_ours = seen.source != ReadingSource::text && seen.text && !seen.text->empty();
  const bool on_a_label = code_of_ours || seen.micro_number;
  const std::string_view remedy = carrier ? k_carrier_remedy : on_a_label ? k_small_code_remedy : k_artifact_remedy;
  if (text == k_no_label && on_a_label) return not_understood(remedy);
  if (text == k_no_label) return {KeyedSense::no_label, {}, {}};
  if (carrier) return understand_carrier(seen, text, records);
  const TypedNumber number = typed_number(records, standard, text);
  if (number.sense == TypedSense::none) return not_understood(remedy);
  if (number.sense != TypedSense::number) return not_understood(typed_number_problem(number, text));
  Reading reading;
  reading.role = LabelRole::artifact;
  reading.sure = true;
  reading.source = ReadingSource::keyed;
  reading.number = number.number;
  reading.text = std::string{text};
  return {KeyedSense::understood, placed_as(seen, std::move(reading)), {}};
}

}  // namespace sherdmark
