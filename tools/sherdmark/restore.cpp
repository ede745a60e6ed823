#include <memory>
#include <optional>

#include "commands.h"
#include "sherdmark/catalog/zip_files.h"
#include "sherdmark/report/proof_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string from;
};

// Where a zipped package is unpacked: beside the ledger to be, and gone afterwards.
class Unpacked {
 public:
  explicit Unpacked(std::filesystem::path target) : folder_(std::move(target += ".unpacked")) {}
  ~Unpacked() {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  Unpacked(const Unpacked&) = delete;
  Unpacked& operator=(const Unpacked&) = delete;
  Unpacked(Unpacked&&) = delete;
  Unpacked& operator=(Unpacked&&) = delete;
  [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }

 private:
  std::filesystem::path folder_;
};

int act(const Session& session, const Options& options) {
  const std::filesystem::path target = session.ledger_file(options);
  std::optional<Unpacked> unpacked;
  std::filesystem::path package = options.from;
  if (std::filesystem::is_regular_file(package) && is_zip_file(package)) {
    unpacked.emplace(target);
    package = unpack_zip(package, unpacked->folder());
  }
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
