// What a person types for a bag label, tag or field tag whose code was not scanned or not read. A serial has no check
// character and serials run on: one slip of a finger is the next label's. So a serial alone names no label; what else
// is printed on that label must stand beside it and belong to it in the ledger. Pure; no errors.
#pragma once

#include <optional>
#include <string_view>

#include "sherdmark/verify/judge.h"

namespace sherdmark {

enum class TypedLabel {
  none,          // no serial is in it
  serial_alone,  // a serial and nothing else
  not_together,  // a serial and something else, which the ledger does not know as one label
  label          // a serial, and the id of its bag or the number of its field tag
};

struct TypedPrint {
  TypedLabel what = TypedLabel::none;
  std::optional<PrintRecord> print;  // serial_alone: when there is such a print; label: always
};

// "7KM00042 B-7KM-00007", in either order; with or without hyphens, in any case, O for 0, I and L for 1.
[[nodiscard]] TypedPrint typed_print(const CollectionView& records, std::string_view text);

// The reading it makes; all but the serial and the bag's id is the record's. `text`: as typed.
[[nodiscard]] Reading typed_reading(const PrintRecord& print, std::string_view text);

}  // namespace sherdmark
