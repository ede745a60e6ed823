#include "sherdmark/ledger/printers.h"

#include <fmt/format.h>

#include "ledger/core.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_all =
    "SELECT name, dpi, scale_x, scale_y, skew_deg, least_module_dots, paper, method, time, person FROM printers"
    " ORDER BY name";
constexpr std::string_view k_one =
    "SELECT name, dpi, scale_x, scale_y, skew_deg, least_module_dots, paper, method, time, person FROM printers"
    " WHERE name = ?";
constexpr std::size_t k_longest_name = 40;  // it stands in the head of every sheet

PrinterRecord read_row(const Statement& row) {
  PrinterRecord printer;
  printer.name = row.text(0);
  printer.description.dpi = static_cast<int>(row.integer(1));
  printer.description.scale_x = row.decimal(2);
  printer.description.scale_y = row.decimal(3);
  printer.description.skew_deg = row.decimal(4);
  printer.description.least_module_dots = static_cast<int>(row.integer(5));
  printer.paper = row.text(6);
  printer.method = row.text(7) == "scanned" ? CalibrationMethod::scanned : CalibrationMethod::measured;
  printer.time = row.text(8);
  printer.person = row.text(9);
  return printer;
}

}  // namespace

std::string_view to_text(CalibrationMethod method) {
  return method == CalibrationMethod::scanned ? "scanned" : "measured";
}

void describe_printer(Ledger& ledger, const Actor& actor, const PrinterRecord& printer) {
  if (trim(printer.name).empty() || printer.name != trim(printer.name) || printable(printer.name) != printer.name ||
      code_point_count(printer.name) > k_longest_name)
    throw usage_error(fmt::format("\"{}\" is no name for a printer", printable(printer.name)),
                      fmt::format("give it a short name of its own, at most {} characters", k_longest_name));
  const PrinterDescription& one = printer.description;
  JsonWriter out;
  out.begin_object().key("dpi").integer(one.dpi).key("least_module_dots").integer(one.least_module_dots);
  out.key("method").text(to_text(printer.method)).key("paper").text(printer.paper).key("printer").text(printer.name);
  out.key("scale_x").decimal(one.scale_x).key("scale_y").decimal(one.scale_y);
  out.key("skew_deg").decimal(one.skew_deg).end_object();
  core_of(ledger).write(actor, "printer", out.take());
}

std::vector<PrinterRecord> printers(const Ledger& ledger) {
  std::vector<PrinterRecord> found;
  Statement rows = core_of(ledger).db.prepare(k_all);
  rows.with();
  while (rows.step()) found.push_back(read_row(rows));
  return found;
}

std::optional<PrinterRecord> find_printer(const Ledger& ledger, const std::string& name) {
  Statement rows = core_of(ledger).db.prepare(k_one);
  if (!rows.with(name).step()) return std::nullopt;
  return read_row(rows);
}

Error no_such_printer(const Ledger& ledger, std::string_view name) {
  std::vector<std::string> known;
  for (const PrinterRecord& one : printers(ledger)) known.push_back("\"" + printable(one.name) + "\"");
  return usage_error(fmt::format("there is no printer \"{}\".", printable(name)),
                     known.empty() ? "Calibrate it first: sherdmark calibrate page --out DIR"
                                   : fmt::format("Name one of {}, or calibrate it first.", join(known, ", ")));
}

}  // namespace sherdmark
