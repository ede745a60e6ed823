#include <fmt/format.h>

#include <filesystem>
#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/heap.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"
#include "to_the_end.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::vector<std::string> files;
  bool dry_run = false;
  bool vanished_are_missing = false;
  std::string set_aside;
};

struct Reading {
  std::vector<CatalogReading> files;
  std::vector<CatalogRow> joined;  // of several files; the rows of a single one stay where they are
  std::size_t bad = 0;
  bool header_bad = false;
  std::string source;

  [[nodiscard]] std::vector<CatalogRow>& rows() { return files.size() > 1 ? joined : files.front().rows; }
};

// The table of a file, and the SHA-256 of its bytes, which are given back before its rows are read.
Table read_file(const Session& session, const std::string& file, std::string& sum) {
  const Bytes bytes = session.seams().files.read(file, k_text_file_limit_bytes);
  sum = sha256_hex(bytes);
  return read_table(bytes, file);
}

Reading read_all(const Session& session, const Options& options, const HouseStandard& standard) {
  Reading all;
  for (const std::string& file : options.files) {
    std::string sum;
    all.files.push_back(read_catalog(read_file(session, file, sum), standard));
    CatalogReading& reading = all.files.back();
    if (reading.good()) reading.table.rows.forget_cells();  // none will be set aside: room for what comes
    if (options.files.size() > 1) all.joined.insert(all.joined.end(), reading.rows.begin(), reading.rows.end());
    all.bad += reading.bad_table_rows.size();
    all.header_bad = all.header_bad || reading.whole_file_bad;
    all.source +=
        fmt::format("{}{} {}", all.source.empty() ? "" : "; ", std::filesystem::path{file}.filename().string(), sum);
  }
  return all;
}

// The catalog is the only place where the good rows stand as they were typed.
void keep_catalogs(const Options& options) {
  std::error_code ignored;
  for (const std::string& file : options.files)
    if (!options.set_aside.empty() && std::filesystem::equivalent(file, options.set_aside, ignored))
      throw usage_error(
          fmt::format("--set-aside would write the rows that are wrong over the catalog {}", printable(file)),
          "name a new file for them");
}

// --set-aside FILE for one catalog; with several, the others get a number before the ending.
std::vector<std::string> set_aside(const Session& session, const Options& options, const Reading& all) {
  std::vector<std::string> written;
  for (const CatalogReading& reading : all.files) {
    if (reading.good()) continue;
    std::filesystem::path file = options.set_aside;
    if (!written.empty())
      file.replace_filename(
          fmt::format("{}-{}{}", file.stem().string(), written.size() + 1, file.extension().string()));
    session.write_file(file, write_set_aside(reading));
    written.push_back(file.string());
  }
  return written;
}

int act(const Session& session, const Options& options) {
  keep_catalogs(options);
  Ledger ledger = options.dry_run ? session.open_for_reading(options) : session.open_for_writing(options);
  give_threads_rooms_of_their_own();
  Reading& all = keep_to_the_end(read_all(session, options, ledger.standard()));
  std::vector<CatalogRow>& rows = all.rows();
  const bool refused = all.header_bad || (all.bad > 0 && options.set_aside.empty());
  std::vector<StandingRestriction> kept = keep_restrictions(ledger, rows);
  const IntakeDiff diff = ledger.diff_catalog(rows);
  IntakeReport report{all.files, rows, diff, {}, options.dry_run, {}, std::move(kept)};
  if (!refused && !options.dry_run) {
    if (all.bad > 0) report.set_aside = set_aside(session, options, all);
    report.result = ledger.apply_intake(ledger.actor(session.person(options)), rows, diff,
                                        {all.source, options.vanished_are_missing});
    report.reused = reused_numbers(ledger);
  }
  session.say(options.json ? intake_json(report) : intake_text(report));
  if (all.header_bad)
    throw data_error("the columns cannot be used, so nothing was taken in.", {.file = join(options.files, ", ")},
                     "Put the header right (docs/catalog.md lists the names) and try again.");
  if (refused)
    throw data_error(fmt::format("{} row{} wrong, so nothing was taken in.", all.bad, all.bad == 1 ? " is" : "s are"),
                     {.file = join(options.files, ", ")},
                     "Correct them and try again, or take the good ones with --set-aside FILE.");
  return all.bad > 0 ? 1 : 0;
}

}  // namespace

Subcommand intake_command(const Session& session) {
  return {"intake",
          "Reads a catalog (CSV or .xlsx), shows what it would change, and takes it in as one batch or not at all.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.required_many("file", options->files, "Catalogs: CSV or .xlsx (docs/catalog.md)");
            command.flag("--dry-run", options->dry_run, "Show what would change; change nothing");
            command.text("--set-aside", options->set_aside,
                         "Take the good rows; write the others here, in the same columns, with what is wrong", "FILE");
            command.flag("--vanished-are-missing", options->vanished_are_missing,
                         "Items of these accessions that are not in the files get the status \"missing\"");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark intake catalog.csv --dry-run\n"
                "sherdmark intake catalog.csv --set-aside to-correct.csv --by \"R. Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
