#include <fmt/format.h>

#include <algorithm>
#include <istream>
#include <iterator>
#include <memory>
#include <sstream>

#include "commands.h"
#include "inventory_scan.h"
#include "picture_sets.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/places.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/ledger/scan_log.h"
#include "sherdmark/report/inventory_report.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/verify/scan_set.h"

namespace sherdmark {
namespace {

constexpr int k_most_pieces = 1'000'000'000;
constexpr int k_most_numbers = 999;

struct Options : CommonOptions {
  std::string action = "status";
  std::vector<std::string> words;
  std::string inventory, place, box, accession, status, out, resolution;
  bool folder_is_set = false, csv = false, skip_bad = false, bells = false, nothing_read = false;
  int counted = -1;
  int count = 0;
};

std::string read_scans(const Session& session, const std::string& file) {
  if (file != "-") return read_text(session.seams().files, file);
  std::istream& in = session.seams().in;
  return {std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}};
}

// Places and boxes that a person names must be known: a slip of the pen would make every bag "elsewhere".
void settle_names(const Ledger& ledger, Options& options) {
  if (!options.place.empty()) {
    const auto path = place_named(ledger, options.place);
    if (!path)
      throw usage_error(fmt::format("the ledger knows no place \"{}\".", printable(options.place)),
                        "Write it as the ledger has it, from the outside in: \"Room 2/Range A/Shelf 3\".");
    options.place = *path;
  }
  if (options.box.empty()) return;
  const auto box = box_named(ledger, options.box);
  if (!box)
    throw usage_error(fmt::format("the ledger knows no box \"{}\".", printable(options.box)),
                      "Write its name as it stands on the box.");
  options.box = *box;
}

int open(const Session& session, const Options& options) {
  Ledger ledger = session.open_for_writing(options);
  const std::string id = open_inventory(ledger, ledger.actor(session.person(options)),
                                        {place_as_kept(options.place), options.accession, options.status});
  const InventoryReport report = inventory_report(ledger, find_inventory(ledger, id).value(), false);
  session.say(options.json ? inventory_json(report) : inventory_status_text(report));
  return 0;
}

// `verdicts`: of the pictures that the lines were read from; kept with what is taken in, or neither is.
int take(const Session& session, const Options& options, Ledger& ledger, const InventoryRecord& record,
         const InventoryLines& lines, const std::string& source, const std::vector<CheckRecord>& verdicts = {}) {
  for (const std::string& note : lines.notes) session.warn(note);
  const bool refuse = !lines.problems.empty() && !options.skip_bad;
  TakenIn taken;
  if (!refuse) {
    const Actor actor = ledger.actor(session.person(options));
    write_as_one(ledger, [&] {
      ledger.record_checks(actor, verdicts);
      taken = take_in(ledger, actor, record.id, lines.readings, source);
    });
  }
  session.say(options.json ? taken_in_json(record, taken, lines.problems)
                           : taken_in_text(record, taken, lines.problems));
  if (refuse)
    session.warn("sherdmark: nothing was taken in. Put these lines right, or leave them out with --skip-bad.");
  return lines.problems.empty() ? 0 : refuse ? static_cast<int>(ErrorFamily::data) : 1;
}

int take_scans(const Session& session, Options options) {
  Ledger ledger = session.open_for_writing(options);
  const InventoryRecord record = need_inventory(ledger, options.inventory);
  settle_names(ledger, options);
  InventoryLines all;
  if (options.words.empty()) options.words = {"-"};
  for (const std::string& file : options.words) {
    InventoryLines lines = read_inventory_lines(read_scans(session, file), ledger, options.place, options.box);
    std::move(lines.readings.begin(), lines.readings.end(), std::back_inserter(all.readings));
    std::move(lines.problems.begin(), lines.problems.end(), std::back_inserter(all.problems));
    std::move(lines.notes.begin(), lines.notes.end(), std::back_inserter(all.notes));
  }
  return take(session, options, ledger, record, all, join(options.words, ", "));
}

int scan_live(const Session& session, Options options) {
  if (options.words.size() > 1) throw usage_error("one file of recorded scans at a time.", "Name one, or none.");
  Ledger ledger = session.open_for_writing(options);
  const InventoryRecord record = need_inventory(ledger, options.inventory);
  settle_names(ledger, options);
  const std::string recorded = options.words.empty() ? std::string{} : read_scans(session, options.words.front());
  std::istringstream from{recorded};
  std::istream& in = options.words.empty() ? session.seams().in : from;
  const Actor actor = ledger.actor(session.person(options));
  return inventory_scan(session, ledger, actor, record, in, {options.place, options.box, options.json, options.bells});
}

int take_pictures(const Session& session, Options options) {
  if (options.words.empty()) throw usage_error("no picture was named.", "Name images or folders of them.");
  Ledger ledger = session.open_for_writing(options);
  const InventoryRecord record = need_inventory(ledger, options.inventory);
  settle_names(ledger, options);
  int code = 0;
  PictureHashes hashes;
  std::vector<ReadingSet> sets =
      read_picture_sets(session, ledger.standard(), options.words, options.folder_is_set, code, &hashes);
  if (options.counted >= 0 && sets.size() > 1)
    throw usage_error("--counted is for one bag, but there are several sets.", "Take that bag in alone.");
  std::vector<SetVerdict> verdicts;
  InventoryLines lines;
  for (ReadingSet& set : sets) {
    if (!options.place.empty()) set.place_given = place_as_kept(options.place);
    if (!options.box.empty()) set.readings.push_back(typed_box_reading(options.box));
    std::optional<std::int64_t> counted;
    if (options.counted >= 0) counted = options.counted;
    set.opened_and_counted = counted.has_value();
    set.counted_pieces = counted;
    verdicts.push_back(judge(set, ledger, ledger.standard()));
    for (InventoryReading& reading : inventory_readings(verdicts.back(), ledger, options.place, options.box, counted))
      lines.readings.push_back(std::move(reading));
  }
  return std::max(code, take(session, options, ledger, record, lines, join(options.words, ", "),
                             records_with_pictures(verdicts, hashes, session.ledger_file(options))));
}

// All four forms into a folder, or one of them to standard output.
int write_report(const Session& session, const Options& options, const Ledger& ledger, const InventoryRecord& record) {
  const InventoryReport report = inventory_report(ledger, record);
  const auto csv = [&](const ByteSink& sink) { write_inventory_csv(ledger, record, sink); };
  std::string written;
  if (!options.out.empty()) {
    const std::filesystem::path stem = std::filesystem::path{options.out} / ("inventory-" + record.id);
    const auto file = [&](const char* ending) { return std::filesystem::path{stem.string() + ending}; };
    const ReportHead head = session.page_head(ledger, options, "Inventory report",
                                              group_identity(record.id) + " · " + record.scope.words());
    session.write_file(file(".pdf"), [&](const ByteSink& sink) {
      write_report_pdf(inventory_pages(report, head), report_paper(ledger.standard()), sink);
    });
    session.write_file(file(".csv"), csv);
    session.write_file(file(".json"), inventory_json(report));
    session.write_file(file(".txt"), inventory_text(report));
    written = fmt::format("On paper: {} (the same as .csv, .json and .txt)\n", file(".pdf").string());
  }
  if (options.csv)
    csv([&](std::span<const std::byte> some) {
      session.say({reinterpret_cast<const char*>(some.data()), some.size()});
    });
  else
    session.say(options.json ? inventory_json(report) : inventory_text(report) + written);
  return report.totals.nothing_found() ? 0 : 1;
}

int close(const Session& session, const Options& options) {
  Ledger ledger = session.open_for_writing(options);
  const InventoryRecord record = need_inventory(ledger, options.inventory);
  if (record.open() && record.readings == 0 && record.expected > 0 && !options.nothing_read)
    throw usage_error(
        fmt::format("nothing was read in the inventory {}: closed now, it says that every bag is missing.",
                    group_identity(record.id)),
        "Take in scans or pictures first; if it really is to be closed like this, say --nothing-read.");
  const Actor actor = ledger.actor(session.person(options));
  close_inventory(ledger, actor, record.id);
  return write_report(session, options, ledger, find_inventory(ledger, record.id).value());
}

// The newest one when none is named and none is open.
InventoryRecord named_or_newest(const Ledger& ledger, const Options& options) {
  const std::vector<InventoryRecord> all = inventories(ledger);
  const bool any_open = std::ranges::any_of(all, [](const InventoryRecord& record) { return record.open(); });
  return options.inventory.empty() && !any_open && !all.empty() ? all.back()
                                                                : need_inventory(ledger, options.inventory);
}

int report(const Session& session, const Options& options) {
  const Ledger ledger = session.open_for_reading(options);
  return write_report(session, options, ledger, named_or_newest(ledger, options));
}

int status(const Session& session, const Options& options) {
  const Ledger ledger = session.open_for_reading(options);
  const InventoryReport report = inventory_report(ledger, named_or_newest(ledger, options), false);
  session.say(options.json ? inventory_json(report) : inventory_status_text(report));
  return 0;
}

int list(const Session& session, const Options& options) {
  const std::vector<InventoryRecord> all = inventories(session.open_for_reading(options));
  session.say(options.json ? inventories_json(all) : inventories_text(all));
  return 0;
}

int numbers(const Session& session, const Options& options) {
  if (options.words.empty()) {
    const std::vector<FoundNumber> all = found_numbers(session.open_for_reading(options));
    session.say(options.json ? found_numbers_json(all) : found_numbers_text(all));
    return 0;
  }
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  const std::vector<std::string> made =
      reserve_found_numbers(ledger, actor, options.words.front(), std::max(1, options.count));
  std::string written;
  if (!options.out.empty()) {
    const std::filesystem::path file = std::filesystem::path{options.out} / ("found-" + made.front() + ".pdf");
    const ReportHead head = session.page_head(ledger, options, "Labels for found things",
                                              fmt::format("{} to {}", made.front(), made.back()));
    session.write_file(file, [&](const ByteSink& sink) {
      write_report_pdf(found_number_pages(made, head), report_paper(ledger.standard()), sink);
    });
    written = fmt::format("Their labels: {}\n", file.string());
  }
  std::vector<FoundNumber> reserved;
  for (const std::string& number : made) reserved.push_back({number, FoundState::reserved, {}, {}, {}, {}, {}, {}});
  session.say(options.json ? found_numbers_json(reserved) : found_numbers_text(reserved) + written);
  return 0;
}

int resolve(const Session& session, const Options& options) {
  if (options.words.size() != 1 || options.resolution.empty())
    throw usage_error("a found number and what it turned out to be are needed.",
                      "Say: sherdmark inventory resolve NUMBER --as \"B-7KM-00042\".");
  Ledger ledger = session.open_for_writing(options);
  resolve_found_number(ledger, ledger.actor(session.person(options)), options.words.front(), options.resolution);
  std::vector<FoundNumber> one = found_numbers(ledger);
  std::erase_if(one, [&](const FoundNumber& number) { return number.number != options.words.front(); });
  session.say(options.json ? found_numbers_json(one) : found_numbers_text(one));
  return 0;
}

int act(const Session& session, const Options& options) {
  using Act = int (*)(const Session&, const Options&);
  constexpr std::pair<std::string_view, Act> k_acts[] = {{"open", open},      {"close", close}, {"report", report},
                                                         {"status", status},  {"list", list},   {"numbers", numbers},
                                                         {"resolve", resolve}};
  if (options.json && options.csv) throw usage_error("--json and --csv were both asked for.", "Choose one.");
  if (options.action == "scans") return take_scans(session, options);
  if (options.action == "scan") return scan_live(session, options);
  if (options.action == "pictures") return take_pictures(session, options);
  for (const auto& [name, one] : k_acts)
    if (name == options.action) return one(session, options);
  throw internal_error("an action of inventory without its function.");
}

}  // namespace

Subcommand inventory_command(const Session& session) {
  return {
      "inventory",
      "Freezes what should be where, takes in scans and pictures over days, and says what was found, where, and what "
      "was not.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.one_of("action", options->action,
                       {"open", "scan", "scans", "pictures", "status", "close", "report", "list", "numbers", "resolve"},
                       "What to do: open one; scan, bag after bag, with an answer to each; take in scans (text files, "
                       "or - for standard input) or pictures; status; "
                       "close; report; list all; numbers for found things; resolve such a number");
        command.many("words", options->words, "Files, images or folders; a beginning for numbers; a found number",
                     "WORDS");
        command.text("--inventory", options->inventory, "Which one (default: the one that is open)", "ID");
        command.text("--place", options->place, "open: only this place and below. scan, scans, pictures: where you are",
                     "PLACE");
        command.text("--box", options->box, "scan, scans, pictures: in which box you are", "BOX");
        command.text("--accession", options->accession, "open: only bags with items of this accession", "NAME");
        command.text("--status", options->status, "open: only bags with items of this status", "STATUS");
        command.flag("--set", options->folder_is_set, "pictures: all images named, or all of a folder, are one set");
        command.number("--counted", options->counted, 0, k_most_pieces,
                       "pictures: you opened this one bag and counted so many pieces", "N");
        command.flag("--skip-bad", options->skip_bad, "scans: take in the good lines though others are not understood");
        command.flag("--nothing-read", options->nothing_read, "close: although no label was read");
        command.flag("--bells", options->bells,
                     "scan: ring even when no terminal is seen: 1 fine, 2 not read, 3 finding");
        command.number("--count", options->count, 1, k_most_numbers, "numbers: how many to reserve", "N");
        command.text("--as", options->resolution, "resolve: the bag, number or words it turned out to be", "WORDS");
        command.text("--out", options->out, "Folder for the report's files (PDF, CSV, JSON, text), or for labels",
                     "DIR");
        command.flag("--csv", options->csv, "close, report: write CSV instead of text, one line a bag");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example(
            "sherdmark inventory open --place \"Room 2\" --by \"R. Quill\"\n"
            "sherdmark inventory scan\n"
            "sherdmark inventory scans monday.txt --place \"Room 2/Range A/Shelf 3\"\n"
            "sherdmark inventory pictures photos --place \"Room 2/Range B\"\n"
            "sherdmark inventory close --out reports");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
