#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/report/field_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string file;
  std::string crew;
  bool dry_run = false;
  bool rebind = false;
};

int act(const Session& session, const Options& options) {
  Ledger ledger = options.dry_run ? session.open_for_reading(options) : session.open_for_writing(options);
  const Table table = read_table(session.seams().files.read(options.file, k_text_file_limit_bytes), options.file);
  for (const std::string& warning : table.warnings) session.warn(fmt::format("{}: {}", options.file, warning));
  const FieldLogReading reading = read_field_log(table, ledger.standard());
  const std::vector<FieldBinding> bindings = field_bindings(reading.rows);
  const std::vector<FieldLogProblem> problems = ledger.check_field_log(bindings, options.crew);
  BindReport report{options.file, reading, problems, {}, options.dry_run, options.rebind, table.rows.size()};
  if (report.good() && !options.dry_run)
    report.result =
        ledger.bind_field_numbers(ledger.actor(session.person(options)), bindings, options.crew, options.rebind);
  session.say(options.json ? bind_json(report) : bind_text(report));
  return report.good() ? 0 : static_cast<int>(ErrorFamily::data);
}

}  // namespace

Subcommand bind_command(const Session& session) {
  return {
      "bind",
      "Ties field numbers to lots: takes a whole field log, CSV or .xlsx, and says at once everything that does not "
      "fit. One bad row, and nothing is bound.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.required_text("file", options->file, "The field log: a column for field numbers, one for lots", "FILE");
        command.text("--crew", options->crew, "Whose log this is; numbers of other crews' blocks do not fit", "NAME");
        command.flag("--dry-run", options->dry_run, "Only say what does not fit; bind nothing");
        command.flag("--rebind", options->rebind,
                     "Numbers that are bound to another lot move to the one in the log; labels that name them must "
                     "be printed anew");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example("sherdmark bind field_log.csv --dry-run\nsherdmark bind field_log.xlsx --by \"R. Quill\"");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
