// Printers by name, as they were last calibrated; every calibration is an event, so each has its past. Free functions
// over a Ledger, for the tools and reports. Errors as the Ledger's own.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/base/error.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

enum class CalibrationMethod { measured, scanned };  // with a steel rule, or on a flatbed

struct PrinterRecord {
  std::string name;  // "Front office"; how people call it
  PrinterDescription description;
  std::string paper;  // name of the stock it was calibrated on
  CalibrationMethod method = CalibrationMethod::measured;
  std::string time;  // when, and by whom; filled when read back
  std::string person;
};

// One event. The same name again replaces the description; the history keeps both. usage_error for a name that is
// empty or not fit to print.
void describe_printer(Ledger& ledger, const Actor& actor, const PrinterRecord& printer);
[[nodiscard]] std::vector<PrinterRecord> printers(const Ledger& ledger);  // by name
[[nodiscard]] std::optional<PrinterRecord> find_printer(const Ledger& ledger, const std::string& name);
// A usage_error to throw, that says which printers there are.
[[nodiscard]] Error no_such_printer(const Ledger& ledger, std::string_view name);

[[nodiscard]] std::string_view to_text(CalibrationMethod method);  // "measured", "scanned"

}  // namespace sherdmark
