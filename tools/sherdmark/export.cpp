#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/report/export_tables.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string what = "catalog";
  std::string out;
  bool with_restricted = false;
};

std::string write(const Ledger& ledger, const Options& options) {
  if (options.what == "bags") return bags_csv(ledger, options.with_restricted);
  if (options.what == "labels") return labels_csv(ledger, options.with_restricted);
  if (options.what == "events") return events_jsonl(ledger);
  return write_catalog_csv(ledger.catalog_rows(), ledger.standard(), options.with_restricted);
}

int act(const Session& session, const Options& options) {
  if (options.what == "events" && !options.with_restricted)
    throw usage_error("events hold every column, the restricted ones too.",
                      "Ask for them with --with-restricted; it is written into the history.");
  Ledger ledger = options.with_restricted ? session.open_for_writing(options) : session.open_for_reading(options);
  if (options.with_restricted)  // first the record, then the copy: none leaves unrecorded
    ledger.record_export(ledger.actor(session.person(options)), restricted_columns(ledger),
                         options.out.empty() ? "standard output" : options.out);
  const std::string text = write(ledger, options);
  if (options.out.empty()) {
    session.say(text);
  } else {
    session.write_file(options.out, text);
    session.warn(fmt::format("{}: written.", printable(options.out)));
  }
  return 0;
}

}  // namespace

Subcommand export_command(const Session& session) {
  return {
      "export",
      "Writes the record in plain open formats. Restricted columns stay home unless you ask, and asking is recorded.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.one_of("what", options->what, {"catalog", "bags", "labels", "events"},
                       "The catalog (CSV, reads back the same), bags, labels (CSV) or events (JSON lines)");
        command.text("--out", options->out, "File to write (default: standard output)", "FILE");
        command.flag("--with-restricted", options->with_restricted,
                     "Include restricted columns; recorded with your name");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        command.example("sherdmark export --out catalog-copy.csv");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
