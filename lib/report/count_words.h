// Counts and names in words. Private to report.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "sherdmark/standard/label_role.h"

namespace sherdmark {

// "1 label", "3 labels".
[[nodiscard]] std::string plural(std::int64_t n, std::string_view one, std::string_view many);

// "box 14", but "Box 14" where the box is called that.
[[nodiscard]] std::string box_words(const std::string& name);

// "bag label", but "tag", "field tag", "removal slip".
[[nodiscard]] std::string label_of_role(LabelRole role);

// A sentence in which every bag, box, run … goes by its grouped id, "B-7KM-00042" for "B7KM00042". A digit stands in
// each counter, so that no word of nine capitals is taken for one.
[[nodiscard]] std::string group_identities(std::string_view sentence);

}  // namespace sherdmark
