#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "lengths.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/ledger/label_sheets.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/report/type_report.h"
#include "sherdmark/sheet/label_geometry.h"
#include "sherdmark/standard/printer.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string standard;
  std::string catalog;
  std::string font;
  std::string size_pt;
  std::string toner_mm;
  std::string distance_mm;
  std::string printer;
  std::string out;
  int dpi = 0;
};

// What is judged: from a ledger, or from a catalog that is in none.
struct Subject {
  HouseStandard standard;
  std::vector<std::string> numbers;
  std::string source;
  SoakStanding soak;
  ReportHead head;
};

std::string counted(std::size_t count, std::string_view thing) {
  return fmt::format("{} {}{}", count, thing, count == 1 ? "" : "s");
}

constexpr const char* k_title = "Type on artifact labels";

Subject from_ledger(const Session& session, const Options& options, const std::string& time) {
  const Ledger ledger = session.open_for_reading(options);
  const Printing printing = printing_on(ledger, options.printer, time.substr(0, 10));
  Subject subject{printing.standard, {}, {}, printing.soak, {}};
  const std::string file = session.ledger_file(options).filename().string();
  for (const LabelRecord& label : ledger.labels(LabelRole::artifact)) subject.numbers.push_back(label.number);
  subject.source = fmt::format("{}, {}", file, counted(subject.numbers.size(), "planned artifact label"));
  if (subject.numbers.empty()) {
    const std::vector<CatalogRow> rows = ledger.catalog_rows();
    subject.numbers = label_numbers(subject.standard, rows);
    subject.source =
        fmt::format("{}, {} to come; nothing is planned yet", file, counted(subject.numbers.size(), "artifact label"));
  }
  subject.head = session.page_head(ledger, options, k_title, subject.source);
  return subject;
}

Subject from_catalog(const Session& session, const Options& options, const std::string& time) {
  if (options.catalog.empty())
    throw usage_error("a standard alone has no numbers.", "Name a catalog too: type --standard FILE CATALOG");
  if (!options.printer.empty())
    throw usage_error("a printer is known by its ledger.", "Leave out --standard, or give --dpi instead of --printer.");
  FileSystem& files = session.seams().files;
  Subject subject;
  subject.standard = parse_house_standard(read_text(files, options.standard), options.standard);
  const CatalogReading reading =
      read_catalog(read_table(files.read(options.catalog, k_text_file_limit_bytes), options.catalog), subject.standard);
  if (!reading.good())
    session.warn(fmt::format("{}: {} left out; sherdmark intake says what is wrong with them.",
                             printable(options.catalog), counted(reading.bad_table_rows.size(), "bad row")));
  subject.numbers = label_numbers(subject.standard, reading.rows);
  subject.source = fmt::format("{}, {} to come", std::filesystem::path{options.catalog}.filename().string(),
                               counted(subject.numbers.size(), "artifact label"));
  subject.soak = soak_standing({}, {}, {}, time.substr(0, 10));
  subject.head = {.title = k_title,
                  .scope = subject.source,
                  .date = time,
                  .person = {},
                  .station = {},
                  .ledger = {},
                  .repository = subject.standard.repository};
  return subject;
}

TypeQuestion question_of(const Subject& subject, const Options& options) {
  const ArtifactLabelDesign& design = subject.standard.artifact;
  const PrinterDescription& printer = subject.standard.printer;
  TypeQuestion question;
  for (const Scheme& scheme : subject.standard.schemes)
    if (NumberGrammar grammar = scheme.grammar(NumberLevel::item, false); !grammar.states.empty())
      question.grammars.push_back(std::move(grammar));
  question.numbers = subject.numbers;
  if (design.check_character) {
    for (const Scheme& scheme : subject.standard.schemes)
      if (NumberGrammar grammar = scheme.grammar(NumberLevel::item, true); !grammar.states.empty())
        question.printed_grammars.push_back(std::move(grammar));
    for (const std::string& number : subject.numbers)
      if (const auto parsed = subject.standard.parse_number(number))
        question.printed.push_back(artifact_text(subject.standard, parsed->number));
  }
  question.font = options.font.empty() ? design.font : options.font;
  question.conditions.size_pt = decimal_option("--size-pt", options.size_pt, 2, 72).value_or(design.size_pt);
  question.conditions.printer_dpi = options.dpi > 0 ? options.dpi : printer.dpi;
  question.conditions.toner_spread_mm =
      decimal_option("--toner-mm", options.toner_mm, 0, 0.2).value_or(printer.toner_spread_mm);
  question.conditions.distance_mm =
      decimal_option("--distance-mm", options.distance_mm, 100, 2000).value_or(design.reading_distance_mm);
  question.rule = {design.rule_mm, k_rule_gap_em};
  question.candidates = label_fonts();
  return question;
}

int act(const Session& session, const Options& options) {
  if (options.standard.empty() && !options.catalog.empty())
    throw usage_error("a catalog is read by a house standard.", "Say which: type --standard FILE CATALOG");
  const std::string time = format_time(session.seams().clock.now());
  const Subject subject =
      options.standard.empty() ? from_ledger(session, options, time) : from_catalog(session, options, time);
  const TypeJudgement judgement = judge_type(question_of(subject, options));
  TypeReport report{judgement, subject.source, subject.standard.artifact.check_character, subject.soak, {}};
  if (!options.out.empty()) {
    const auto file = std::filesystem::path{options.out} / "type.pdf";
    const Report pages = type_pages(report, subject.head);
    session.write_file(file,
                       [&](const ByteSink& sink) { write_report_pdf(pages, report_paper(subject.standard), sink); });
    report.file = file.string();
  }
  session.say(options.json ? type_json(report) : type_text(report));
  return judgement.findings() == 0 ? 0 : 1;
}

}  // namespace

Subcommand type_command(const Session& session) {
  return {
      "type", "Are these very numbers safe to read in this font, size and print? Measured, with the best fonts ranked.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.text("--standard", options->standard, "Judge a catalog by this house standard, without a ledger",
                     "FILE");
        command.text("catalog", options->catalog, "The catalog, CSV or .xlsx; with --standard only");
        command.text("--font", options->font, "Judge this font (default: the house font)", "FAMILY");
        command.text("--size-pt", options->size_pt, "Size of the type (default: the standard's)", "PT");
        command.number("--dpi", options->dpi, 72, 4800, "Printer's resolution (default: the standard's)", "DPI");
        command.text("--toner-mm", options->toner_mm, "How far toner spreads (default: the standard's)", "MM");
        command.text("--distance-mm", options->distance_mm, "Eye to label (default: the standard's)", "MM");
        command.text("--printer", options->printer, "A printer the ledger knows: its resolution and soak tests",
                     "NAME");
        command.text("--out", options->out, "Folder for a report on paper, type.pdf", "DIR");
        add_ledger_option(command, *options);
        add_json_option(command, *options);
        command.example(
            "sherdmark type --out report\n"
            "sherdmark type --standard samples/standards/ostervane.toml samples/ostervane/catalog.csv --size-pt 4.5");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
