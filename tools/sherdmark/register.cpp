#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "sherdmark/report/register_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string person;
};

int act(const Session& session, const Options& options) {
  if (!options.person.empty()) {
    Ledger ledger = session.open_for_writing(options);
    ledger.register_person(ledger.actor(session.person(options)), options.person);
    session.say(options.json ? persons_json(ledger.persons()) : persons_text(ledger.persons()));
    return 0;
  }
  const Ledger ledger = session.open_for_reading(options);
  session.say(options.json ? persons_json(ledger.persons()) : persons_text(ledger.persons()));
  return 0;
}

}  // namespace

Subcommand register_command(const Session& session) {
  return {"register",
          "Enters a person in the ledger's register, by somebody who stands there already; without a name it shows "
          "the register.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.text("person", options->person, "The person's name, as it shall stand in the history", "NAME");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark register \"M. Oduya\" --by \"R. Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
