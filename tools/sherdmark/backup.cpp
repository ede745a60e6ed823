#include <memory>

#include "commands.h"
#include "left_unfinished.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/unfinished.h"
#include "sherdmark/report/archive.h"
#include "sherdmark/report/export_tables.h"
#include "sherdmark/report/proof_report.h"

#ifndef SHERDMARK_VERSION
#define SHERDMARK_VERSION "0"
#endif

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string out;
  std::string archive;
  bool zip = false;
  bool with_restricted = false;
  std::vector<std::string> placements;
};

std::string package_of(const Options& options) {
  return options.zip ? zip_of_archive(options.archive).string() : options.archive;
}

ArchiveRequest request_of(const Session& session, const Options& options) {
  return {options.archive,
          options.with_restricted,
          {options.placements.begin(), options.placements.end()},
          session.seams().clock.now(),
          "sherdmark " SHERDMARK_VERSION};
}

std::vector<ArchivedFile> make_package(const Session& session, const Options& options, const Ledger& ledger) {
  const ArchiveRequest request = request_of(session, options);
  return options.zip ? write_zipped_archive(ledger, session.seams().files, request)
                     : write_archive(ledger, session.seams().files, request);
}

// What is made, and under which name it is made before.
std::vector<std::string> names_of(const Options& options) {
  std::vector<std::string> names;
  if (!options.out.empty()) names.push_back(options.out);
  if (!options.archive.empty()) names.push_back(options.archive);
  if (options.zip) names.push_back(package_of(options));
  return names;
}

int act(const Session& session, const Options& options) {
  if (options.out.empty() && options.archive.empty())
    throw usage_error("no backup was asked for.", "Say --out FILE for a copy, --archive DIR for a package, or both.");
  if (options.zip && (options.archive.empty() || options.archive.ends_with('/')))
    throw usage_error("--zip goes with --archive NAME.", "Say --archive NAME; the file is called NAME.zip.");
  if (options.zip && std::filesystem::exists(package_of(options)))
    throw environment_error("this is already there.", {.file = package_of(options)},
                            "Name a new file; an archive is never written over another.");
  if (options.archive.empty() && (options.with_restricted || !options.placements.empty()))
    throw usage_error("--with-restricted and --placements go with --archive only.", "Say --archive DIR.");
  if (!options.archive.empty() && !options.zip && std::filesystem::exists(options.archive))
    throw environment_error("this is already there.", {.file = options.archive},
                            "Name a new folder; an archive is never written over another.");
  Ledger ledger = options.with_restricted ? session.open_for_writing(options) : session.open_for_reading(options);
  if (options.with_restricted)  // first the record, then the copy: none leaves unrecorded
    ledger.record_export(ledger.actor(session.person(options)), restricted_columns(ledger), options.archive);
  BackupReport report{ledger.file().string(), options.out, package_of(options), 0, {}, {}, options.with_restricted};
  for (const std::string& name : names_of(options)) say_removed(session, remove_unfinished(name));
  if (!options.out.empty()) (void)ledger.backup(options.out);
  if (!options.archive.empty()) report.archived = make_package(session, options, ledger);
  for (const std::string& name : names_of(options)) say_removed(session, remove_older_unfinished(name));
  report.heads = ledger.heads();
  for (const StationHead& head : report.heads) report.events += head.sequence;
  session.say(options.json ? backup_json(report) : backup_text(report));
  return 0;
}

}  // namespace

Subcommand backup_command(const Session& session) {
  return {"backup", "Copies the ledger and proves the copy; or packs an archive that needs no program to be read.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.text("--out", options->out, "File for the copy; never written over another", "FILE");
            command.text("--archive", options->archive, "New folder for a package of plain files with a README", "DIR");
            command.flag("--zip", options->zip, "Make the package one file, DIR.zip, instead of a folder");
            command.flag("--with-restricted", options->with_restricted,
                         "Put everything into the package, so that it can be restored; recorded with your name");
            command.many("--placements", options->placements,
                         "A run's placements file to put into the package; may be given several times", "FILE");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark backup --out /media/stick/collection-2031-05-04.ledger\n"
                "sherdmark backup --archive archive-2031 --with-restricted --by \"R. Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
