// Does a label say what was printed under its serial?
#pragma once

#include <string>

#include "sherdmark/code/link_code.h"
#include "sherdmark/ledger/records.h"
#include "sherdmark/verify/readings.h"

namespace sherdmark {

// The field in which a reading and the record of its serial differ ("revision"); empty when it says what was printed.
// A keyed label may lack some fields; an opaque key stands for the number of a sensitive bag only.
[[nodiscard]] std::string field_unlike_print(const Reading& reading, const PrintRecord& print,
                                             const CollectionView& records);
[[nodiscard]] std::string field_unlike_print(const LinkCode& link, const PrintRecord& print,
                                             const CollectionView& records);

}  // namespace sherdmark
