#include <memory>

#include "commands.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string standard;
};

int act(const Session& session, const Options& options) {
  const std::string person = session.person(options);
  const HouseStandard standard =
      parse_house_standard(read_text(session.seams().files, options.standard), options.standard);
  std::vector<WorstCase> worst = worst_cases(standard);
  const auto file = session.ledger_file(options);
  Ledger ledger = Ledger::create(file, standard, {person, session.environment().machine}, session.seams().clock,
                                 session.seams().random);
  const InitReport report{file.string(),    ledger.collection_key(), ledger.station_here(person), person, standard.name,
                          standard.version, std::move(worst)};
  session.say(options.json ? init_json(report) : init_text(report));
  return 0;
}

}  // namespace

Subcommand init_command(const Session& session) {
  return {
      "init", "Makes a ledger that carries its house standard, and says what that standard demands of paper and codes.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.required_text("--standard", options->standard, "The house standard (docs/house-standard.md)", "FILE");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example("sherdmark init --standard samples/standards/ostervane.toml --by \"R. Quill\"");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
