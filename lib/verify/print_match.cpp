#include "sherdmark/verify/print_match.h"

#include "verify/link_reading.h"

namespace sherdmark {

std::string field_unlike_print(const Reading& reading, const PrintRecord& print, const CollectionView& records) {
  if (reading.role != print.role) return "kind of label";
  const auto& subject =
      reading.role == LabelRole::box || reading.role == LabelRole::shelf ? reading.place : reading.bag;
  if (reading.role != LabelRole::field_tag && subject && *subject != print.subject) return "bag or place";
  if (reading.number && !reading.number->empty() && *reading.number != print.number) {
    const auto bag = records.find_bag(print.subject);
    const bool key_of_sensitive_bag = reading.number_is_opaque && bag && bag->sensitive;
    if (!key_of_sensitive_bag) return "number";
  }
  if (reading.revision && *reading.revision != print.revision) return "revision";
  if (reading.ordinal && *reading.ordinal != print.ordinal) return "sheet";
  return "";
}

std::string field_unlike_print(const LinkCode& link, const PrintRecord& print, const CollectionView& records) {
  Reading reading;
  fill_from_link(reading, link);
  return field_unlike_print(reading, print, records);
}

}  // namespace sherdmark
