#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string name;
};

int act(const Session& session, const Options& options) {
  const Ledger ledger = session.open_for_reading(options);
  const Shown shown = look_up(ledger, options.name);
  if (options.json || shown.found())
    session.say(options.json ? show_json(shown, ledger.standard()) : show_text(shown, ledger.standard()));
  if (shown.found()) return 0;
  session.warn(fmt::format("sherdmark: nothing in this ledger is called \"{}\".", printable(options.name)));
  return 1;
}

}  // namespace

Subcommand show_command(const Session& session) {
  return {"show",
          "Shows what the ledger has under a name: a bag, an item or lot number, a former or field number, a run, a "
          "serial.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.required_text("name", options->name, "Bag id, number, run, serial or scanned code");
            add_ledger_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark show B-7KM-00042");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
