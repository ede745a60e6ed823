#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/standard_change.h"
#include "sherdmark/ledger/try_standard.h"
#include "sherdmark/report/register_report.h"
#include "sherdmark/standard/new_standard.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string adopt;
  bool source = false;
};

void require_fit(const Ledger& ledger, const HouseStandard& standard, const std::string& file) {
  const StandardMisfit misfit = numbers_that_do_not_fit(ledger, standard);
  if (misfit.numbers == 0) return;
  throw data_error(fmt::format("this edition does not read {} of the numbers in the ledger any more, among them {}",
                               misfit.numbers, printable(join(misfit.examples, ", "))),
                   {.file = file}, "Keep the schemes that those numbers were built by; add new ones beside them.");
}

int adopt(const Session& session, const Options& options) {
  const HouseStandard standard = parse_house_standard(read_text(session.seams().files, options.adopt), options.adopt);
  require_lots_with_numbers(standard, options.adopt);
  for (const std::string& refused : try_standard(standard, options.adopt)) session.warn(refused);
  Ledger ledger = session.open_for_writing(options);
  require_fit(ledger, standard, options.adopt);
  const bool same = ledger.standard().source == standard.source;
  ledger.revise_standard(ledger.actor(session.person(options)), standard);
  session.say(options.json ? standard_json(ledger.standard()) : standard_text(ledger.standard()));
  session.warn(same ? "This edition is in force already; nothing was changed."
                    : "Plan again, so that labels follow the new edition: sherdmark plan");
  return 0;
}

int act(const Session& session, const Options& options) {
  if (!options.adopt.empty()) return adopt(session, options);
  const Ledger ledger = session.open_for_reading(options);
  if (options.source)
    session.say(ledger.standard().source);
  else
    session.say(options.json ? standard_json(ledger.standard()) : standard_text(ledger.standard()));
  return 0;
}

}  // namespace

Subcommand standard_command(const Session& session) {
  return {"standard", "Shows the house standard in force, or adopts a new edition of it.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.text("--adopt", options->adopt, "A new edition; the old ones stay in the ledger", "FILE");
            command.flag("--source", options->source, "The standard in force as its TOML text, to edit and adopt");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark standard --source > standard.toml\n"
                "sherdmark standard --adopt standard.toml --by \"R. Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
