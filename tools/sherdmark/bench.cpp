#include <fmt/format.h>

#include <istream>
#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/bench_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string what;
  std::vector<std::string> names;
  std::string run;
  std::string pages;
  std::string reason;
  std::string out;
  int copies = 1;
};

std::string now_text(const Session& session) { return format_time(session.seams().clock.now()); }

std::string bag_named(const std::string& name) { return parse_identity(IdentityKind::bag, name).value_or(name); }
std::string run_named(const std::string& name) { return parse_identity(IdentityKind::run, name).value_or(name); }

const std::string& only_name(const Options& options, std::string_view remedy) {
  if (options.names.size() != 1) throw usage_error("one name is needed.", std::string{remedy});
  return options.names.front();
}

int list(const Session& session, const Options& options) {
  const Ledger ledger = session.open_for_reading(options);
  const std::string& name = only_name(options, "Name the run at the head of the sheet, or a bag.");
  const std::string run = run_named(name);
  const BenchList found = ledger.find_run(run) ? bench_list_of_run(ledger, run, parse_pages(options.pages))
                                               : bench_list_of_bag(ledger, bag_named(name));
  const HouseStandard& standard = ledger.standard();
  if (!options.out.empty()) {
    const ReportHead head = session.page_head(ledger, options, "Bench list", bench_scope(found));
    const Report report = bench_list_pages(found, standard, head);
    session.write_file(options.out,
                       [&](const ByteSink& sink) { write_report_pdf(report, report_paper(standard), sink); });
  }
  session.say(options.json ? bench_list_json(found, standard, options.out) : bench_list_text(found, standard));
  if (!options.json && !options.out.empty())
    session.say(fmt::format("As a page to work from: {}\n", printable(options.out)));
  return 0;
}

// Numbers and scans from the command line, or line by line from standard input where the only name is "-".
int settle(const Session& session, const Options& options, CopyFate fate) {
  if (options.names.empty())
    throw usage_error("nothing was named.", "Name a number or a serial, scan a code, or give - to read them by line.");
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  const std::string run = options.run.empty() ? std::string{} : run_named(options.run);
  const auto one = [&](const std::string& name) {
    const BenchSubject subject = bench_subject(ledger, name);
    const auto serials = settle_copies(ledger, actor, subject, fate, options.copies, run, options.reason);
    session.say(options.json ? settled_json(subject, fate, serials) : settled_text(subject, fate, serials));
  };
  if (options.names.front() != "-") {
    for (const std::string& name : options.names) one(name);
    return 0;
  }
  int refused = 0;
  for (std::string line; std::getline(session.seams().in, line);) {
    if (trim(line).empty()) continue;
    try {
      one(line);
    } catch (const Error& error) {
      if (error.family() != ErrorFamily::usage) throw;
      ++refused;
      session.warn(fmt::format("sherdmark: {}", printable(error.what())));
    }
    session.seams().out.flush();
  }
  return refused == 0 ? 0 : 1;
}

int close(const Session& session, const Options& options) {
  Ledger ledger = session.open_for_writing(options);
  const std::string run = run_named(only_name(options, "Name the run at the head of the sheet."));
  const std::vector<int> pages = parse_pages(options.pages);
  if (pages.size() > 1) throw usage_error("one sheet is closed at a time.", "Name one page, or none for all.");
  const SheetClosing closing =
      close_sheet(ledger, ledger.actor(session.person(options)), run, pages.empty() ? 0 : pages.front());
  session.say(options.json ? sheet_closing_json(closing, run) : sheet_closing_text(closing, run));
  return closing.closed ? 0 : 1;
}

int drying(const Session& session, const Options& options) {
  const Ledger ledger = session.open_for_reading(options);
  std::vector<Drying> bags;
  if (options.names.empty())
    bags = drying_bags(ledger);
  else
    for (const std::string& name : options.names) bags.push_back(drying_of(ledger, bag_named(name)));
  const std::string now = now_text(session);
  session.say(options.json ? drying_json(bags, now) : drying_text(bags, now));
  return 0;
}

int bagged(const Session& session, const Options& options) {
  if (options.names.empty()) throw usage_error("no bag was named.", "Name the bags, or scan their labels.");
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  bool early = false;
  for (const std::string& name : options.names) {
    std::string bag = bag_named(name);
    if (!ledger.find_bag(bag)) bag = bench_subject(ledger, name).subject;
    const BagClosing closing = close_bag(ledger, actor, bag, options.reason, now_text(session));
    early = early || closing.early;
    session.say(options.json ? bag_closing_json(closing) : bag_closing_text(closing));
  }
  return early ? 1 : 0;
}

int act(const Session& session, const Options& options) {
  if (options.what == "list") return list(session, options);
  if (options.what == "applied") return settle(session, options, CopyFate::applied);
  if (options.what == "filed") return settle(session, options, CopyFate::filed);
  if (options.what == "destroyed") return settle(session, options, CopyFate::destroyed);
  if (options.what == "close") return close(session, options);
  if (options.what == "drying") return drying(session, options);
  if (options.what == "bagged") return bagged(session, options);
  throw usage_error("nothing was asked for.", "Say bench list, applied, filed, destroyed, close, drying or bagged.");
}

}  // namespace

Subcommand bench_command(const Session& session) {
  return {"bench", "The working list for applying labels, what became of each copy, and when a bag may be closed.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.one_of(
                "what", options->what, {"list", "applied", "filed", "destroyed", "close", "drying", "bagged"},
                "list: in working order; applied, filed, destroyed: what became of copies; close: a sheet of "
                "which none is left over; drying: what may be bagged when; bagged: bags that were closed");
            command.many("names", options->names,
                         "A run or bag (list), numbers, serials or scanned codes, - to read them line by line; a run "
                         "(close); bags (drying, bagged)");
            command.text("--out", options->out, "list: also write it as a PDF page to work from", "FILE");
            command.text("--pages", options->pages, "list, close: only these pages of the run", "PAGES");
            command.text("--run", options->run, "applied, filed, destroyed: copies of this run", "RUN");
            command.number("--copies", options->copies, 1, 100000, "How many copies (default: 1)", "N");
            command.text("--reason", options->reason, "Why: needed to close a bag before it is dry", "TEXT");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark bench list R7KM00003 --out bench.pdf\n"
                "sherdmark bench applied 16ZQ5/12.66 --copies 3 --by \"R. Quill\"\n"
                "sherdmark bench drying\n"
                "sherdmark bench bagged B-7KM-00042 --by \"R. Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
