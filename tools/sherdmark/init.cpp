#include <memory>

#include "commands.h"
#include "new_standard.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/try_standard.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/standard/new_standard.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string standard;
};

bool can_ask(const Session& session, const Options& options) {
  return session.environment().in_is_terminal && !options.json;
}

std::string person_named_or_asked(const Session& session, const Options& options) {
  const bool named = !trim(session.person_if_named(options)).empty();
  return named || !can_ask(session, options) ? session.person(options) : ask_for_person(session);
}

// The one named; without one, a person at a terminal is asked, and the answers become a file beside the ledger.
std::string standard_named_or_asked(const Session& session, const Options& options,
                                    const std::filesystem::path& ledger) {
  if (!options.standard.empty()) return options.standard;
  if (!can_ask(session, options))
    throw usage_error("no house standard was named.",
                      "Say --standard FILE, or call init at a terminal, where it asks its questions.");
  const std::filesystem::path file = ledger.parent_path() / "house-standard.toml";
  ask_for_standard(session, file);
  return file.string();
}

int act(const Session& session, const Options& options) {
  const auto file = session.ledger_file(options);
  if (can_ask(session, options) && std::filesystem::exists(file))
    throw environment_error("this ledger is already there.", {.file = file.string()},
                            "Name another one with --ledger; nothing is overwritten.");
  const std::string person = person_named_or_asked(session, options);
  const std::string named = standard_named_or_asked(session, options, file);
  const HouseStandard standard = parse_house_standard(read_text(session.seams().files, named), named);
  require_lots_with_numbers(standard, named);
  for (const std::string& refused : try_standard(standard, named)) session.warn(refused);
  std::vector<WorstCase> worst = worst_cases(standard);
  Ledger ledger = Ledger::create(file, standard, {person, session.environment().machine}, session.seams().clock,
                                 session.seams().random);
  const InitReport report{file.string(),    ledger.collection_key(), ledger.station_here(person), person, standard.name,
                          standard.version, std::move(worst)};
  session.say(options.json ? init_json(report) : init_text(report));
  if (options.standard.empty())
    session.say("\nNext, try your catalog; nothing is changed by that: sherdmark intake CATALOG.xlsx --dry-run\n");
  return 0;
}

}  // namespace

Subcommand init_command(const Session& session) {
  return {"init",
          "Makes a ledger that carries its house standard, and says what that standard demands of paper and codes.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.text("--standard", options->standard,
                         "The house standard (docs/house-standard.md); without it, a person at a terminal is asked",
                         "FILE");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark init --standard samples/standards/ostervane.toml --by \"R. Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
