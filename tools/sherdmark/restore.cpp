#include <memory>

#include "commands.h"
#include "left_unfinished.h"
#include "sherdmark/base/unfinished.h"
#include "sherdmark/catalog/zip_files.h"
#include "sherdmark/report/proof_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string from;
};

int act(const Session& session, const Options& options) {
  const std::filesystem::path target = session.ledger_file(options);
  std::filesystem::path unpacked_beside = target;
  unpacked_beside += ".unpacked";
  for (const auto& name : {target, unpacked_beside}) say_removed(session, remove_unfinished(name));
  const Unfinished unpacked{unpacked_beside};
  std::filesystem::path package = options.from;
  if (std::filesystem::is_regular_file(package) && is_zip_file(package)) package = unpack_zip(package, unpacked.path());
  const std::filesystem::path backup = std::filesystem::is_directory(package) ? ledger_in_archive(package) : package;
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
            command.required_text("from", options->from, "The backup file, or an archive package (folder or .zip)",
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
