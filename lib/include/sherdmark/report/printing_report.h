// Printers, soak tests and cutting, as text for people and JSON for programs.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sherdmark/ledger/printers.h"
#include "sherdmark/ledger/soak_tests.h"
#include "sherdmark/sheet/calibration.h"

namespace sherdmark {

// The page was written: what to do with it.
[[nodiscard]] std::string calibration_page_text(const std::string& file, const SheetStock& stock);
[[nodiscard]] std::string calibration_page_json(const std::string& file, const SheetStock& stock);

struct CalibrationReport {
  PrinterRecord printer;
  CalibrationMeasurement measured;
  SheetStock stock;
};
[[nodiscard]] std::string calibration_text(const CalibrationReport& report);
[[nodiscard]] std::string calibration_json(const CalibrationReport& report);
// How far the farthest corner of a sheet of that stock would lie off without correction, in mm.
[[nodiscard]] double farthest_off_mm(const PrinterDescription& printer, const SheetStock& stock);

[[nodiscard]] std::string printers_text(const std::vector<PrinterRecord>& printers);
[[nodiscard]] std::string printers_json(const std::vector<PrinterRecord>& printers);

[[nodiscard]] std::string soak_test_text(const SoakTest& test);
[[nodiscard]] std::string soak_test_json(const SoakTest& test);
// `today` decides which still hold.
[[nodiscard]] std::string soak_tests_text(const std::vector<SoakTest>& tests, const std::string& today);
[[nodiscard]] std::string soak_tests_json(const std::vector<SoakTest>& tests, const std::string& today);

}  // namespace sherdmark
