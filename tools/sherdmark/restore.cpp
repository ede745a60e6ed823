#include <memory>

#include "commands.h"
#include "sherdmark/report/proof_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string from;
};

int act(const Session& session, const Options& options) {
  const std::filesystem::path backup = std::filesystem::is_directory(options.from)
                                           ? ledger_in_archive(options.from)
                                           : std::filesystem::path{options.from};
  const std::filesystem::path target = session.ledger_file(options);
  const RestoredLedger restored =
      restore_ledger(backup, target, {session.person(options), session.environment().machine}, session.seams().clock,
                     session.seams().random);
  for (const std::string& notice : restored.notices) session.warn(notice);
  session.say(options.json ? restore_json(options.from, target.string(), restored)
                           : restore_text(options.from, target.string(), restored));
  return 0;
}

}  // namespace

Subcommand restore_command(const Session& session) {
  return {"restore", "Makes a ledger again from a backup or an archive package; this computer becomes a new station.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.required_text("from", options->from, "The backup file, or the folder of an archive package",
                                  "FILE|DIR");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark restore /media/stick/collection-2031-05-04.ledger --ledger collection.ledger --by \"R. "
                "Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
