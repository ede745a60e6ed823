#include <fmt/format.h>

#include <algorithm>
#include <istream>
#include <iterator>
#include <memory>

#include "commands.h"
#include "picture_sets.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/places.h"
#include "sherdmark/ledger/scan_log.h"
#include "sherdmark/report/audit_report.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {
namespace {

constexpr int k_largest_draw = 10'000'000;

struct Options : CommonOptions {
  std::string action = "show";
  std::vector<std::string> words;
  std::string audit, unit = "bag", place, accession, status, confidence = "95", tolerable = "5", level, aql = "1.0",
                     strata, clusters, design_effect, seed, redraw_of, reason, rest, out;
  std::vector<std::string> exclude, errors;
  bool object_to_record = false, show_counts = false, folder_is_set = false, skip_bad = false;
  int size = 0;
};

double percent(const std::string& text, const char* what) {
  const auto value = parse_decimal(trim(text));
  if (!value || *value <= 0 || *value >= 100)
    throw usage_error(fmt::format("\"{}\" is no {} in percent.", printable(text), what),
                      "Write a number like 95 or 2.5.");
  return *value / 100;
}

// "NAME=WORDS" into its halves.
std::pair<std::string, std::string> halves(const std::string& text, const char* example) {
  const std::size_t at = text.find('=');
  if (at == std::string::npos || trim(text.substr(0, at)).empty() || trim(text.substr(at + 1)).empty())
    throw usage_error(fmt::format("\"{}\" lacks a name or its words.", printable(text)), example);
  return {std::string{trim(text.substr(0, at))}, std::string{trim(text.substr(at + 1))}};
}

AuditGroups groups_named(const std::string& name) {
  for (const AuditGroups groups : {AuditGroups::place, AuditGroups::accession, AuditGroups::box})
    if (to_text(groups) == name) return groups;
  return AuditGroups::none;
}

AuditUnitKind unit_named(const std::string& name) {
  for (const AuditUnitKind unit : {AuditUnitKind::bag, AuditUnitKind::box, AuditUnitKind::item, AuditUnitKind::place})
    if (to_text(unit) == name) return unit;
  return AuditUnitKind::bag;
}

void set_method(const Options& options, AuditDesign& design) {
  if (!options.level.empty()) {
    const std::string level = to_upper_ascii(options.level);
    if (!inspection_level(level))
      throw usage_error(fmt::format("\"{}\" is no inspection level.", printable(options.level)),
                        "Say I, II or III, or S-1 to S-4.");
    design.method = AuditMethod::iso2859;
    design.level = level;
    design.aql_percent = percent(options.aql, "AQL") * 100;
  } else if (options.size > 0) {
    design.method = AuditMethod::fixed;
  }
  if (!options.level.empty() && options.size > 0)
    throw usage_error("--size and --level were both asked for.", "Choose one.");
}

void set_layout(const Options& options, AuditDesign& design) {
  if (!options.strata.empty() && !options.clusters.empty())
    throw usage_error("--strata and --clusters were both asked for.", "Choose one.");
  if (!options.strata.empty()) design.layout = AuditLayout::stratified;
  if (!options.clusters.empty()) design.layout = AuditLayout::cluster;
  design.groups = groups_named(options.strata.empty() ? options.clusters : options.strata);
  if (options.design_effect.empty()) return;
  const auto effect = parse_decimal(options.design_effect);
  if (!effect || *effect < 1 || design.layout != AuditLayout::cluster)
    throw usage_error("a design effect goes with --clusters and is 1 or more.", "Leave it away to have it measured.");
  design.design_effect = *effect;
}

AuditDesign design_of(const Session& session, const Ledger& ledger, const Options& options) {
  AuditDesign design;
  if (options.object_to_record) design.direction = AuditDirection::object_to_record;
  design.unit = unit_named(options.unit);
  design.scope = {place_as_kept(options.place), options.accession, options.status};
  design.confidence = percent(options.confidence, "confidence");
  design.tolerable = percent(options.tolerable, "tolerable rate");
  set_method(options, design);
  set_layout(options, design);
  for (const std::string& error : options.errors) {
    auto [name, definition] = halves(error, "Write it like --error \"wet=any water in the bag\".");
    design.errors.push_back({name, definition});
  }
  if (design.errors.empty()) design.errors = usual_errors(design.direction);
  for (const std::string& one : options.exclude) {
    auto [subject, reason] = halves(one, "Write it like --exclude \"B-7KM-00042=in the exhibition\".");
    if (design.unit == AuditUnitKind::bag) subject = parse_identity(IdentityKind::bag, subject).value_or(subject);
    design.exclusions.push_back({subject, reason});
  }
  if (!options.place.empty() && !place_named(ledger, options.place))
    throw usage_error(fmt::format("the ledger knows no place \"{}\".", printable(options.place)),
                      "Write it as the ledger has it, from the outside in.");
  design.counts_shown = options.show_counts;
  design.seed = options.seed.empty() ? fmt::format("{:016x}", session.seams().random.next()) : options.seed;
  design.reason = options.reason;
  if (!options.redraw_of.empty() && trim(options.reason).empty())
    throw usage_error("a redraw needs its reason.", "Say why with --reason.");
  return design;
}

// Writes it into --out, and says where; empty when it was not asked for.
std::string write_pick_list(const Session& session, const Options& options, const Ledger& ledger,
                            const AuditRecord& audit) {
  if (options.out.empty()) return {};
  const std::filesystem::path file = std::filesystem::path{options.out} / ("pick-list-" + audit.id + ".pdf");
  const ReportHead head =
      session.page_head(ledger, options, "Pick list", group_identity(audit.id) + " · " + audit.design.scope.words());
  session.write_file(file, [&](const ByteSink& sink) {
    write_report_pdf(pick_list_pages(ledger, audit, head), report_paper(ledger.standard()), sink);
  });
  return fmt::format("As a page to walk with: {}\n", file.string());
}

int draw(const Session& session, const Options& options) {
  Ledger ledger = session.open_for_writing(options);
  const AuditDesign wanted = design_of(session, ledger, options);
  const PlannedAudit plan =
      plan_audit(wanted, audit_frame(ledger, wanted.unit, wanted.scope, wanted.groups), options.size);
  const Actor actor = ledger.actor(session.person(options));
  const std::string id = store_draw(ledger, actor, plan.design, plan.draws, options.redraw_of);
  const AuditRecord audit = find_audit(ledger, id).value();
  const std::string written = write_pick_list(session, options, ledger, audit);
  const AuditReport report = audit_report(ledger, audit);
  session.say(options.json ? audit_json(report) : audit_text(report) + "\n" + pick_list_text(ledger, audit) + written);
  return 0;
}

AuditRecord named_or_newest(const Ledger& ledger, const Options& options) {
  const std::vector<AuditRecord> all = audits(ledger);
  const bool any_open = std::ranges::any_of(all, [](const AuditRecord& audit) { return audit.concluded.empty(); });
  return options.audit.empty() && !any_open && !all.empty() ? find_audit(ledger, all.back().id).value()
                                                            : need_audit(ledger, options.audit);
}

int pick_list(const Session& session, const Options& options) {
  const Ledger ledger = session.open_for_reading(options);
  const AuditRecord audit = named_or_newest(ledger, options);
  const std::string written = write_pick_list(session, options, ledger, audit);
  session.say(options.json ? audit_json(audit_report(ledger, audit)) : pick_list_text(ledger, audit) + written);
  return 0;
}

std::string read_lines(const Session& session, const std::string& file) {
  if (file != "-") return read_text(session.seams().files, file);
  std::istream& in = session.seams().in;
  return {std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}};
}

int record(const Session& session, const Options& options) {
  Ledger ledger = session.open_for_writing(options);
  const AuditRecord audit = need_audit(ledger, options.audit);
  AuditLines all;
  const std::vector<std::string> files = options.words.empty() ? std::vector<std::string>{"-"} : options.words;
  for (const std::string& file : files) {
    AuditLines lines = read_audit_lines(read_lines(session, file), audit, ledger);
    std::move(lines.results.begin(), lines.results.end(), std::back_inserter(all.results));
    std::move(lines.problems.begin(), lines.problems.end(), std::back_inserter(all.problems));
  }
  const bool refuse = !all.problems.empty() && !options.skip_bad;
  if (refuse) all.results.clear();
  record_results(ledger, ledger.actor(session.person(options)), audit.id, all.results, join(files, ", "));
  const AuditRecord after = find_audit(ledger, audit.id).value();
  session.say(options.json ? audit_json(audit_report(ledger, after))
                           : recorded_text(after, all.results.size(), all.problems));
  if (options.json)
    for (const InventoryLineProblem& problem : all.problems)
      session.warn(fmt::format("line {}: {}; {}.", problem.line, problem.what, problem.remedy));
  if (refuse)
    session.warn("sherdmark: nothing was recorded. Put these lines right, or leave them out with --skip-bad.");
  return all.problems.empty() ? 0 : refuse ? static_cast<int>(ErrorFamily::data) : 1;
}

int pictures(const Session& session, const Options& options) {
  if (options.words.empty()) throw usage_error("no picture was named.", "Name images or folders of them.");
  Ledger ledger = session.open_for_writing(options);
  const AuditRecord audit = need_audit(ledger, options.audit);
  int code = 0;
  PictureHashes hashes;
  std::vector<ReadingSet> sets =
      read_picture_sets(session, ledger.standard(), options.words, options.folder_is_set, code, &hashes);
  std::vector<SetVerdict> verdicts;
  std::vector<AuditResult> results;
  for (ReadingSet& set : sets) {
    if (!options.place.empty()) set.place_given = place_as_kept(options.place);
    verdicts.push_back(judge(set, ledger, ledger.standard()));
    if (auto result = audit_result(verdicts.back(), audit))
      results.push_back(*std::move(result));
    else
      session.warn(fmt::format("{}: decides nothing ({}); look at it and record the result by hand.",
                               printable(set.name), to_text(verdicts.back().verdict)));
  }
  const Actor actor = ledger.actor(session.person(options));
  write_as_one(ledger, [&] {
    ledger.record_checks(actor, records_with_pictures(verdicts, hashes, session.ledger_file(options)));
    record_results(ledger, actor, audit.id, results, join(options.words, ", "));
  });
  const AuditRecord after = find_audit(ledger, audit.id).value();
  session.say(options.json ? audit_json(audit_report(ledger, after)) : recorded_text(after, results.size(), {}));
  return code;
}

int say_report(const Session& session, const Options& options, const Ledger& ledger, const AuditRecord& audit) {
  const AuditReport report = audit_report(ledger, audit);
  std::string written;
  if (!options.out.empty()) {
    const std::filesystem::path stem = std::filesystem::path{options.out} / ("audit-" + audit.id);
    const ReportHead head =
        session.page_head(ledger, options, "Audit", group_identity(audit.id) + " · " + audit.design.scope.words());
    session.write_file(stem.string() + ".pdf", [&](const ByteSink& sink) {
      write_report_pdf(audit_pages(report, head), report_paper(ledger.standard()), sink);
    });
    session.write_file(stem.string() + ".json", audit_json(report));
    session.write_file(stem.string() + ".txt", audit_text(report));
    written = fmt::format("On paper: {}.pdf (the same as .json and .txt)\n", stem.string());
  }
  session.say(options.json ? audit_json(report) : audit_text(report) + written);
  if (!report.conclusion) return 0;
  const bool fine = report.conclusion->accepted.value_or(report.conclusion->tolerable_met.value_or(false));
  return fine ? 0 : 1;
}

int conclude(const Session& session, const Options& options) {
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  AuditRecord audit = need_audit(ledger, options.audit);
  if (!options.rest.empty()) {
    std::vector<AuditResult> rest;
    for (const AuditDraw& one : audit.draws)
      if (one.outcome.empty()) rest.push_back({one.rank, one.subject, std::string{k_not_inspected}, options.rest, {}});
    record_results(ledger, actor, audit.id, rest, "concluding");
    audit = find_audit(ledger, audit.id).value();
  }
  const AuditConclusion conclusion = conclude_audit(audit, chain_of(ledger, audit));
  store_conclusion(ledger, actor, audit.id, conclusion.bounds, conclusion.statement);
  return say_report(session, options, ledger, find_audit(ledger, audit.id).value());
}

int show(const Session& session, const Options& options) {
  const Ledger ledger = session.open_for_reading(options);
  return say_report(session, options, ledger, named_or_newest(ledger, options));
}

int list(const Session& session, const Options& options) {
  const std::vector<AuditRecord> all = audits(session.open_for_reading(options));
  session.say(options.json ? audits_json(all) : audits_text(all));
  return 0;
}

int act(const Session& session, const Options& options) {
  using Act = int (*)(const Session&, const Options&);
  constexpr std::pair<std::string_view, Act> k_acts[] = {
      {"draw", draw},         {"pick-list", pick_list}, {"record", record}, {"pictures", pictures},
      {"conclude", conclude}, {"show", show},           {"list", list}};
  for (const auto& [name, one] : k_acts)
    if (name == options.action) return one(session, options);
  throw internal_error("an action of audit without its function.");
}

void declare_draw(Command& command, Options& options) {
  command.one_of("--unit", options.unit, {"bag", "box", "item", "place"}, "draw: what is drawn");
  command.flag("--object-to-record", options.object_to_record,
               "draw: by position on the shelves, then look for the record (otherwise record to object)");
  command.text("--place", options.place, "draw: only this place and below. pictures: where you are", "PLACE");
  command.text("--accession", options.accession, "draw: only bags with items of this accession", "NAME");
  command.text("--status", options.status, "draw: only bags with items of this status", "STATUS");
  command.many("--exclude", options.exclude, "draw: leave this out of the frame, and why", "NAME=WHY");
  command.many("--error", options.errors, "draw: a class of error and when a unit has it", "NAME=WHEN");
  command.text("--confidence", options.confidence, "draw: in percent (default 95)", "PERCENT");
  command.text("--tolerable", options.tolerable, "draw: the rate to be excluded, in percent (default 5)", "PERCENT");
  command.text("--level", options.level, "draw: size by ISO 2859-1, at this inspection level", "I|II|III|S-1…S-4");
  command.text("--aql", options.aql, "draw: the acceptable quality limit with --level (default 1.0)", "PERCENT");
  command.number("--size", options.size, 1, k_largest_draw, "draw: so many, whatever the bound will be", "N");
  command.text("--strata", options.strata, "draw: within each place, box or accession", "place|box|accession");
  command.text("--clusters", options.clusters, "draw: whole places, boxes or accessions", "place|box|accession");
  command.text("--design-effect", options.design_effect, "draw: of clusters (default: measured)", "N");
  command.text("--seed", options.seed, "draw: words the draw follows from (default: chance)", "WORDS");
  command.flag("--show-counts", options.show_counts,
               "draw: the list shows how many pieces to expect; this is recorded");
  command.text("--redraw-of", options.redraw_of, "draw: the audit this one replaces", "ID");
  command.text("--reason", options.reason, "draw: why it is drawn again", "WORDS");
}

}  // namespace

Subcommand audit_command(const Session& session) {
  return {
      "audit", "Draws a fair sample, gives a list to walk with, takes the results and says what they allow to be said.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.one_of("action", options->action,
                       {"draw", "pick-list", "record", "pictures", "conclude", "show", "list"},
                       "What to do: draw; print the list to walk with; record results from text (- for standard "
                       "input) or pictures; conclude; show one; list all");
        command.many("words", options->words, "Files, images or folders", "FILE");
        command.text("--audit", options->audit, "Which one (default: the one that is open)", "ID");
        declare_draw(command, *options);
        command.flag("--skip-bad", options->skip_bad, "record: take the good lines though others are not understood");
        command.flag("--set", options->folder_is_set, "pictures: all images named, or all of a folder, are one set");
        command.text("--rest", options->rest, "conclude: why what has no result was not inspected", "WORDS");
        command.text("--out", options->out, "Folder for the list or the report's files", "DIR");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example(
            "sherdmark audit draw --place \"Room 2\" --tolerable 2 --out audit --by \"Ana Quill\"\n"
            "sherdmark audit record results.txt --by \"Ana Quill\"\n"
            "sherdmark audit conclude --out audit");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
