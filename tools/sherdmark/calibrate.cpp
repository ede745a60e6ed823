#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "lengths.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/regular_file.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/printing_report.h"
#include "sherdmark/scan/calibration_scan.h"
#include "sherdmark/scan/image.h"

namespace sherdmark {
namespace {

constexpr int k_least_module_dots = 4;

struct Options : CommonOptions {
  std::string what;
  std::string standard;
  std::string paper = "artifact";
  std::string out;
  std::string printer;
  std::string measured;
  std::string scan;
  std::string edges;
  int scan_dpi = 0;
  int printer_dpi = 0;
  int finest = 0;
};

const SheetStock& stock_of(const HouseStandard& standard, const Options& options) {
  return options.paper == "carrier" ? standard.carrier_stock : standard.artifact_stock;
}

// A paper's name in the name of a file: "Letter 8.5/11" is one file, and no name leads out of the folder.
std::string file_word(std::string_view name) {
  std::string word{name};
  for (char& c : word)
    if (c == '/' || c == '\\' || c == ':') c = '-';
  return word;
}

int write_page(const Session& session, const Options& options) {
  if (options.out.empty()) throw usage_error("no folder was named for the page.", "Say --out DIR.");
  const HouseStandard standard =
      options.standard.empty()
          ? session.open_for_reading(options).standard()
          : parse_house_standard(read_text(session.seams().files, options.standard), options.standard);
  const int dpi = options.printer_dpi > 0 ? options.printer_dpi : standard.printer.dpi;
  const SheetStock& stock = stock_of(standard, options);
  const auto file =
      std::filesystem::path{options.out} / fmt::format("calibration-{}-{}dpi.pdf", file_word(stock.name), dpi);
  session.write_file(file,
                     [&](const ByteSink& sink) { draw_calibration_pdf(stock, dpi, standard.carrier_font, sink); });
  session.say(options.json ? calibration_page_json(file.string(), stock) : calibration_page_text(file.string(), stock));
  return 0;
}

CalibrationMeasurement measure(const Session& session, const Options& options, const SheetStock& stock, int dpi) {
  if (options.measured.empty() == options.scan.empty())
    throw usage_error("how the page was measured must be said once.",
                      "Give --measured ACROSS,DOWN or --scan FILE --dpi N.");
  CalibrationMeasurement measured;
  if (!options.measured.empty()) {
    const std::vector<double> lengths = lengths_option("--measured", options.measured, 2, 4);
    if (lengths.size() == 3)
      throw usage_error("--measured: only one of the two distances from the paper's edge was given.",
                        "Give both, or neither: A to B, A to C, edge to A, edge to C.");
    measured.across_mm = lengths[0];
    measured.down_mm = lengths[1];
    if (lengths.size() == 4) {
      measured.edge_to_a_mm = lengths[2];
      measured.edge_to_c_mm = lengths[3];
    }
  } else {
    if (options.scan_dpi == 0) throw usage_error("the scan's resolution is missing.", "Say --dpi N.");
    const Bytes bytes = read_regular(session.seams().files, options.scan, k_image_file_limit_bytes);
    const std::vector<ImagePage> pages = read_image(bytes, options.scan);
    measured = measure_calibration_scan(pages.front().grey.view(), options.scan_dpi, stock, dpi);
    if (!options.edges.empty()) {
      const std::vector<double> edges = lengths_option("--edges", options.edges, 2, 2);
      measured.edge_to_a_mm = edges[0];
      measured.edge_to_c_mm = edges[1];
    }
    if (!measured.smallest_clear_dots && options.finest == 0)
      throw data_error("not even the coarsest ladder stands apart in the scan.", {.file = options.scan},
                       "Scan at 600 dpi or more; or look through a lens and say --finest N, the finest ladder whose "
                       "lines stand apart.");
  }
  if (options.finest > 0) measured.smallest_clear_dots = options.finest;
  return measured;
}

int enter(const Session& session, const Options& options) {
  if (options.printer.empty())
    throw usage_error("no printer was named.", "Give it the name people call it by: --printer \"Front office\".");
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  const SheetStock& stock = stock_of(ledger.standard(), options);
  const int dpi = options.printer_dpi > 0 ? options.printer_dpi : ledger.standard().printer.dpi;
  const CalibrationMeasurement measured = measure(session, options, stock, dpi);
  PrinterRecord printer;
  printer.name = options.printer;
  printer.description = fit_printer(stock, dpi, measured);
  printer.description.least_module_dots = std::max(ledger.standard().printer.least_module_dots,
                                                   std::max(measured.smallest_clear_dots.value_or(k_least_module_dots),
                                                            measured.smallest_read_dots.value_or(k_least_module_dots)));
  printer.paper = stock.name;
  printer.method = options.scan.empty() ? CalibrationMethod::measured : CalibrationMethod::scanned;
  describe_printer(ledger, actor, printer);
  const CalibrationReport report{find_printer(ledger, printer.name).value_or(printer), measured, stock};
  session.say(options.json ? calibration_json(report) : calibration_text(report));
  return 0;
}

int act(const Session& session, const Options& options) {
  if (options.what == "page") return write_page(session, options);
  if (options.what == "enter") return enter(session, options);
  if (options.what.empty()) throw usage_error("nothing was asked for.", "Say calibrate page, enter or list.");
  const std::vector<PrinterRecord> known = printers(session.open_for_reading(options));
  session.say(options.json ? printers_json(known) : printers_text(known));
  return 0;
}

}  // namespace

Subcommand calibrate_command(const Session& session) {
  return {
      "calibrate", "A page to print and measure, so that later sheets come out true to size from that printer.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.one_of("what", options->what, {"page", "enter", "list"},
                       "page: write the page; enter: what was measured on the print; list: printers that are known");
        command.text("--out", options->out, "page: folder for the PDF", "DIR");
        command.text("--standard", options->standard, "page: by this house standard, without a ledger", "FILE");
        command.one_of("--paper", options->paper, {"artifact", "carrier"}, "The standard's paper it is printed on");
        command.number("--printer-dpi", options->printer_dpi, 300, 2400,
                       "The printer's resolution (default: the standard's)", "DPI");
        command.text("--printer", options->printer, "enter: the printer's name", "NAME");
        command.text("--measured", options->measured,
                     "enter: A to B and A to C in mm (or 6.925in); better also left edge to A and left edge to C",
                     "MM,MM[,MM,MM]");
        command.text("--scan", options->scan, "enter: a flatbed scan of the print instead", "FILE");
        command.number("--dpi", options->scan_dpi, 150, 4800, "enter: the scan's resolution", "DPI");
        command.text("--edges", options->edges, "enter: with --scan, left edge to A and to C, by steel rule", "MM,MM");
        command.number("--finest", options->finest, 3, 6, "enter: finest ladder whose lines stand apart", "DOTS");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example(
            "sherdmark calibrate page --out sheets\n"
            "sherdmark calibrate enter --printer \"Front office\" --measured 177.6,237.1,20.1,19.3 --by \"R. Quill\"\n"
            "sherdmark calibrate enter --printer \"Front office\" --scan page.png --dpi 600 --by \"R. Quill\"");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
