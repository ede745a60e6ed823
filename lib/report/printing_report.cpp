#include "sherdmark/report/printing_report.h"
#include "report/json_value.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

Json to_json(const PrinterRecord& printer) {
  const PrinterDescription& one = printer.description;
  return {{"printer", printer.name},
          {"dpi", one.dpi},
          {"scale_x", one.scale_x},
          {"scale_y", one.scale_y},
          {"skew_deg", one.skew_deg},
          {"least_module_dots", one.least_module_dots},
          {"paper", printer.paper},
          {"method", to_text(printer.method)},
          {"time", printer.time.empty() ? Json(nullptr) : Json(printer.time)},
          {"person", printer.person.empty() ? Json(nullptr) : Json(printer.person)}};
}

Json to_json(const SoakTest& test) {
  return {{"printer", test.printer}, {"toner", test.toner},     {"paper", test.paper},   {"adhesive", test.adhesive},
          {"date", test.date},       {"expires", test.expires}, {"person", test.person}, {"passed", test.passed}};
}

std::string description_text(const PrinterDescription& one) {
  return fmt::format("{:.2f} % across, {:.2f} % down, turned by {:.2f} degrees; {} dpi, modules of {} dots and more",
                     100 * one.scale_x, 100 * one.scale_y, one.skew_deg, one.dpi, one.least_module_dots);
}

}  // namespace

double farthest_off_mm(const PrinterDescription& printer, const SheetStock& stock) {
  const double turn = printer.skew_deg * std::numbers::pi / 180;
  double farthest = 0;
  for (const double x : {0.0, stock.width_mm})
    for (const double y : {0.0, stock.height_mm}) {
      const double to_x = printer.scale_x * x * std::cos(turn) - printer.scale_y * y * std::sin(turn);
      const double to_y = printer.scale_x * x * std::sin(turn) + printer.scale_y * y * std::cos(turn);
      farthest = std::max(farthest, std::hypot(to_x - x, to_y - y));
    }
  return farthest;
}

std::string calibration_page_text(const std::string& file, const SheetStock& stock) {
  const CalibrationMarks marks = calibration_marks(stock);
  return fmt::format(
      "{}\nPrint it at actual size (100 %), never \"fit to page\", on {} paper. Measure from centre to centre of the "
      "crosses:\n  A to B (made as {}), A to C (made as {}), and from the paper's left edge to A and to C."
      "\nThen enter them, or a flatbed scan: sherdmark calibrate enter --help\n",
      printable(file), printable(stock.name), length_to_measure(marks.across_mm(), stock),
      length_to_measure(marks.down_mm(), stock));
}

std::string calibration_page_json(const std::string& file, const SheetStock& stock) {
  const CalibrationMarks marks = calibration_marks(stock);
  return Json({{"schema", 1},
               {"file", file},
               {"paper", stock.name},
               {"a_to_b_mm", marks.across_mm()},
               {"a_to_c_mm", marks.down_mm()}})
      .document();
}

std::string calibration_text(const CalibrationReport& report) {
  const PrinterRecord& printer = report.printer;
  std::string text = fmt::format("Printer \"{}\" ({} on {}): {}.\n", printable(printer.name), to_text(printer.method),
                                 printable(printer.paper), description_text(printer.description));
  text += fmt::format(
      "Without correction the far corner of a sheet lies {:.1f} mm off. Later sheets come out true with\n"
      "  sherdmark labels --for artifacts --printer \"{}\" --out DIR\n",
      farthest_off_mm(printer.description, report.stock), printable(printer.name));
  if (looks_fitted_to_page(printer.description))
    text +=
        "Smaller both ways alike: that is how \"fit to page\" looks. Be sure that the page was printed at actual size, "
        "or\nevery later sheet comes out too large; if you are not, print it again and enter it again.\n";
  if (!report.measured.edge_to_a_mm)
    text +=
        "The turn was not measured and is taken as none: it needs the distances from the paper's left edge to A and "
        "C.\n";
  if (report.measured.smallest_clear_dots)
    text += fmt::format("Finest ladder whose lines stand apart: {} dots.\n", *report.measured.smallest_clear_dots);
  if (report.measured.smallest_read_dots)
    text +=
        fmt::format("Smallest module whose code was read in the scan: {} dots.\n", *report.measured.smallest_read_dots);
  else if (printer.method == CalibrationMethod::scanned)
    text +=
        "Not even the code of the largest module was read in the scan, so whether codes come out well is not known:\n"
        "scan the page again at 600 dpi, or try a printed label's code before you trust it.\n";
  return text;
}

std::string calibration_json(const CalibrationReport& report) {
  Json document{{"schema", 1}};
  document.update(to_json(report.printer));
  document["measured"] = {{"across_mm", report.measured.across_mm}, {"down_mm", report.measured.down_mm}};
  const auto maybe = [&](const char* name, const auto& value) {
    document["measured"][name] = value ? Json(*value) : Json(nullptr);
  };
  maybe("edge_to_a_mm", report.measured.edge_to_a_mm);
  maybe("edge_to_c_mm", report.measured.edge_to_c_mm);
  maybe("finest_ladder_dots", report.measured.smallest_clear_dots);
  maybe("smallest_module_read_dots", report.measured.smallest_read_dots);
  document["looks_fitted_to_page"] = looks_fitted_to_page(report.printer.description);
  document["farthest_off_mm"] = farthest_off_mm(report.printer.description, report.stock);
  return document.document();
}

std::string printers_text(const std::vector<PrinterRecord>& printers) {
  if (printers.empty())
    return "No printer is calibrated yet. Begin with the page: sherdmark calibrate page --out DIR\n";
  std::string text;
  for (const PrinterRecord& one : printers)
    text += fmt::format("{}\n  {}\n  {} on {} by {}, {}\n", printable(one.name), description_text(one.description),
                        to_text(one.method), printable(one.paper), printable(one.person), one.time.substr(0, 10));
  return text;
}

std::string printers_json(const std::vector<PrinterRecord>& printers) {
  Json list = Json::array();
  for (const PrinterRecord& one : printers) list.push_back(to_json(one));
  return Json({{"schema", 1}, {"printers", list}}).document();
}

std::string soak_test_text(const SoakTest& test) {
  return fmt::format("Soak test of {} {}: printer \"{}\", toner {}, paper {}, adhesive {}{}.\n", test.date,
                     test.passed ? "passed" : "failed", printable(test.printer), printable(test.toner),
                     printable(test.paper), printable(test.adhesive),
                     test.passed ? fmt::format("; it holds until {}", test.expires) : "");
}

std::string soak_test_json(const SoakTest& test) {
  Json document{{"schema", 1}};
  document.update(to_json(test));
  return document.document();
}

std::string soak_tests_text(const std::vector<SoakTest>& tests, const std::string& today) {
  if (tests.empty())
    return "No soak test is recorded. Soak a printed scrap in the adhesive before any label is glued.\n";
  std::string text;
  for (const SoakTest& test : tests) {
    const std::string standing = !test.passed ? "failed" : test.expires < today ? "expired" : "passed";
    text += fmt::format("{}  {:<8}until {}  printer \"{}\", toner {}, paper {}, adhesive {}; {}\n", test.date, standing,
                        test.expires, printable(test.printer), printable(test.toner), printable(test.paper),
                        printable(test.adhesive), printable(test.person));
  }
  return text;
}

std::string soak_tests_json(const std::vector<SoakTest>& tests, const std::string& today) {
  Json list = Json::array();
  for (const SoakTest& test : tests) {
    Json one = to_json(test);
    one["expired"] = test.expires < today;
    list.push_back(one);
  }
  return Json({{"schema", 1}, {"soak_tests", list}}).document();
}

}  // namespace sherdmark
