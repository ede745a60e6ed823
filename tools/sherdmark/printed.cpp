#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string run;
  std::string pages;
};

int act(const Session& session, const Options& options) {
  Ledger ledger = session.open_for_writing(options);
  const std::string id = parse_identity(IdentityKind::run, options.run).value_or(options.run);
  if (!ledger.find_run(id))
    throw usage_error(fmt::format("there is no run {}.", printable(options.run)),
                      "The run stands at the head of every page it printed.");
  const std::int64_t confirmed =
      ledger.confirm_printed(ledger.actor(session.person(options)), id, parse_pages(options.pages));
  const RunReport report{ledger.find_run(id).value(), {}, {}, confirmed};
  session.say(options.json ? run_json(report) : confirmation_text(report));
  return 0;
}

}  // namespace

Subcommand printed_command(const Session& session) {
  return {"printed",
          "You confirm what came out of the printer well. A label that nobody confirmed never makes an \"agree\".",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.required_text("run", options->run, "The run, as it stands at the head of every page", "RUN");
            command.text("--pages", options->pages, "Only these pages, like 1-3,5 (default: all)", "PAGES");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark printed R7KM00003 --pages 1-3 --by \"R. Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
