#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "commands.h"
#include "label_roles.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/due_labels.h"
#include "sherdmark/ledger/label_sheets.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/ledger/role_labels.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/run_account.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string role;
  std::string out;
  std::string reprint;
  std::string pages;
  int preview_dpi = 0;
  std::string printer;
  bool keep_order = false;
  bool due = false;
  std::string only;
  int spares = 0;
  int count = 24;
  int first = 1;
};

// The role in names of files: no space in them.
std::string file_word(LabelRole role) {
  std::string word{to_text(role)};
  std::ranges::replace(word, ' ', '-');
  return word;
}

struct Started {
  std::string run;
  LabelRole role = LabelRole::artifact;
};

// Whoever counts the labels of a page by the old one must know why some are missing.
void tell_left_out(const Session& session, const Ledger& ledger, const std::string& run, const std::vector<int>& pages,
                   std::int64_t made) {
  std::int64_t asked = 0;
  ledger.for_each_print(run, [&](const RunPrint& print) {
    asked += pages.empty() || std::ranges::find(pages, print.page) != pages.end() ? 1 : 0;
  });
  if (asked > made)
    session.warn(
        fmt::format("{} of {} labels are not made again: void, superseded by a newer one, or not needed any "
                    "more.",
                    asked - made, asked));
}

Started start(const Session& session, Ledger& ledger, const Actor& actor, const Options& options) {
  if (!options.reprint.empty()) {
    const std::string id = parse_identity(IdentityKind::run, options.reprint).value_or(options.reprint);
    const auto before = ledger.find_run(id);
    if (!before)
      throw usage_error(fmt::format("there is no run {}.", printable(options.reprint)),
                        "The run stands at the head of every page it printed.");
    const std::vector<int> pages = parse_pages(options.pages);
    Started again{ledger.begin_reprint(actor, id, pages), before->role};
    tell_left_out(session, ledger, id, pages, ledger.find_run(again.run).value().prints);
    return again;
  }
  if (!options.pages.empty()) throw usage_error("--pages goes with --reprint only.", "Say which run: --reprint RUN.");
  const LabelRole role = parse_label_role(options.role);
  return {begin_role_run(ledger, actor, role, {parse_only(ledger.standard(), role, options.only), options.spares}),
          role};
}

// Writes the run's files into the folder asked for, and nowhere else. Names carry the run, so runs never collide.
class Writer {
 public:
  Writer(const Session& session, const Options& options, std::string stem)
      : session_(session), folder_(options.out), stem_(std::move(stem)) {}

  void write(std::string_view ending, const std::function<void(const ByteSink&)>& produce) {
    const std::filesystem::path file = folder_ / (stem_ + std::string{ending});
    Sha256 hash;
    session_.write_file(file, [&](const ByteSink& sink) {
      produce([&](std::span<const std::byte> some) {
        hash.add(some);
        sink(some);
      });
    });
    files_.push_back(file.string());
    fingerprints_.push_back(file.filename().string() + " " + hash.hex());
  }

  [[nodiscard]] const std::vector<std::string>& files() const { return files_; }
  [[nodiscard]] const std::vector<std::string>& fingerprints() const { return fingerprints_; }

 private:
  const Session& session_;
  std::filesystem::path folder_;
  std::string stem_;
  std::vector<std::string> files_;
  std::vector<std::string> fingerprints_;
};

// Drawn on all processors, a few pages at a time so that memory stays bounded; written in order.
void write_previews(const Session& session, const Options& options, const LabelSheets& sheets,
                    const HouseStandard& standard, Writer& writer) {
  const int pages = sheets.placements.pages;
  const int at_a_time = static_cast<int>(worker_count()) * 2;
  Progress progress{session, "pictures", static_cast<std::size_t>(pages)};
  for (int first = 1; first <= pages; first += at_a_time) {
    std::vector<Bytes> pictures(static_cast<std::size_t>(std::min(at_a_time, pages - first + 1)));
    for_each_index(pictures.size(), session.environment().workers, [&](std::size_t i) {
      const int page = first + static_cast<int>(i);
      const GreyPicture picture =
          draw_page(sheets.placements, sheets.carriers, sheets.header, standard, page, options.preview_dpi);
      write_png(picture.view(), [&bytes = pictures[i]](std::span<const std::byte> some) {
        bytes.insert(bytes.end(), some.begin(), some.end());
      });
      progress.step();
    });
    for (std::size_t i = 0; i < pictures.size(); ++i)
      writer.write(fmt::format("-page-{}.png", first + static_cast<int>(i)),
                   [&](const ByteSink& sink) { sink(pictures[i]); });
  }
}

RunReport make_run(const Session& session, const Options& options);

// Everything in the queue: texts that waited for a plan are made first, then one run a role.
int print_queue(const Session& session, const Options& options) {
  if (!options.role.empty() || !options.reprint.empty())
    throw usage_error("--due prints the whole queue.", "Leave out --for and --reprint.");
  std::vector<LabelRole> roles;
  {
    Ledger ledger = session.open_for_writing(options);
    const Actor actor = ledger.actor(session.person(options));
    (void)ledger.store_plan(actor, plan_labels(ledger).labels);
    refresh_role_plans(ledger, actor);
    for (const DueLabel& label : due_labels(ledger))
      if (std::ranges::find(roles, label.role) == roles.end()) roles.push_back(label.role);
  }
  if (roles.empty()) session.warn("No label is due.");
  std::vector<RunReport> reports;
  for (const LabelRole role : roles) {
    Options one = options;
    one.role = to_text(role);
    reports.push_back(make_run(session, one));
    if (!options.json) session.say(labels_text(reports.back()));
  }
  if (options.json) session.say(queue_json(reports));
  return 0;
}

// Cards are no prints of the ledger: it is only read.
int draw_cards(const Session& session, const Options& options, LabelRole role) {
  const Ledger ledger = session.open_for_reading(options);
  const std::string date = format_time(session.seams().clock.now()).substr(0, 10);
  const HouseStandard standard = printing_on(ledger, options.printer, date).standard;
  LabelSheets sheets;
  sheets.carriers =
      role == LabelRole::action ? action_cards(ledger) : divider_cards(ledger, options.first, options.count);
  sheets.placements = lay_out_carrier_labels(sheets.carriers, standard, "");
  sheets.header = {"", sheet_title(role), standard.repository, date, sheet_instructions(standard, role), {}};
  sheets.header.made = session.sheet_made(ledger, options);
  const std::string stem = role == LabelRole::action
                               ? std::string{"action-cards"}
                               : fmt::format("dividers-{}-{}", options.first, options.first + options.count - 1);
  Writer writer{session, options, stem};
  writer.write(".pdf", [&](const ByteSink& sink) {
    draw_pdf(sheets.placements, sheets.carriers, sheets.header, standard, sink);
  });
  writer.write(".json", [&](const ByteSink& sink) { write_placements_json(sheets.placements, sink); });
  if (options.preview_dpi > 0) write_previews(session, options, sheets, standard, writer);
  const CardsReport report{role, sheets.carriers.size(), sheets.placements.pages, writer.files()};
  session.say(options.json ? cards_json(report) : cards_text(report));
  return 0;
}

RunReport make_run(const Session& session, const Options& options) {
  Ledger ledger = session.open_for_writing(options);
  keep_little_in_memory(ledger);
  const Actor actor = ledger.actor(session.person(options));
  const std::string date = format_time(session.seams().clock.now()).substr(0, 10);
  Printing printing = printing_on(ledger, options.printer, date);
  printing.standard.trimmer.keep_order = printing.standard.trimmer.keep_order || options.keep_order;
  const HouseStandard& standard = printing.standard;
  const Started started = start(session, ledger, actor, options);
  const bool is_cut = started.role == LabelRole::artifact;
  std::optional<OtherOrder> other;
  if (is_cut) other = cut_in_other_order(ledger, started.run, printing);
  LabelSheets sheets = lay_out_run(ledger, started.run, started.role, date, printing);
  sheets.header.made = session.sheet_made(ledger, options);
  std::optional<CuttingPlan> plan;
  std::optional<CuttingCost> cutting;
  if (is_cut) {
    plan = plan_cutting(sheets.placements, standard.trimmer);
    cutting = cutting_cost(*plan, *other, printing);
    sheets.header.cutting_note = cutting_alternative(*cutting);
  }

  Writer writer{session, options, fmt::format("{}-{}", file_word(started.role), started.run)};
  writer.write(".pdf", [&](const ByteSink& sink) {
    draw_pdf(sheets.placements, sheets.carriers, sheets.header, standard, sink);
  });
  writer.write(".json", [&](const ByteSink& sink) { write_placements_json(sheets.placements, sink); });
  if (plan)
    writer.write(".cutting.json", [&](const ByteSink& sink) { write_cutting_json(*plan, standard.trimmer, sink); });
  if (options.preview_dpi > 0) write_previews(session, options, sheets, standard, writer);
  ledger.record_pages(actor, started.run, sheets.page_of_print, writer.fingerprints());

  return {ledger.find_run(started.run).value(), writer.files(), sheets.header.cautions, 0, cutting, options.printer};
}

int act(const Session& session, const Options& options) {
  if (options.due) return print_queue(session, options);
  if (!options.role.empty() && options.reprint.empty() && is_card(parse_label_role(options.role)))
    return draw_cards(session, options, parse_label_role(options.role));
  const RunReport report = make_run(session, options);
  session.say(options.json ? run_json(report) : labels_text(report));
  return 0;
}

}  // namespace

Subcommand labels_command(const Session& session) {
  return {
      "labels", "Draws the labels that are due as PDF sheets at true size, with a JSON file of where each one lies.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.text("--for", options->role,
                     "artifacts, bags, tags, boxes, shelves, field-tags, removal-slips, dividers or action-cards",
                     "ROLE");
        command.required_text("--out", options->out, "Folder for the files; nothing is written anywhere else", "DIR");
        command.text("--reprint", options->reprint, "Print labels of this run again: same text, new serials", "RUN");
        command.text("--pages", options->pages, "Which of its pages, like 1-3,5 (default: all)", "PAGES");
        command.text("--only", options->only,
                     "Only these: field numbers like 101-125; boxes, shelves or loans, with commas between", "NAMES");
        command.number("--spares", options->spares, 0, 100,
                       "So many copies of each label beyond what is due; see the command spares", "N");
        command.number("--count", options->count, 1, 999, "How many divider cards (default: 24)", "N");
        command.number("--first", options->first, 1, 9'999, "Number of the first divider card (default: 1)", "N");
        command.number("--preview-dpi", options->preview_dpi, 30, 1200,
                       "Also write every page as a PNG picture of this resolution", "DPI");
        command.text("--printer", options->printer, "Correct for this printer, as calibrate named it", "NAME");
        command.flag("--due", options->due, "Everything in the queue: new labels, and those that became stale");
        command.flag("--keep-order", options->keep_order,
                     "Artifact labels come off strictly in bench order, also where strips in bench order would cost "
                     "fewer strokes");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example(
            "sherdmark labels --for bags --out sheets --by \"R. Quill\"\n"
            "sherdmark labels --for field-tags --only 101-125 --out sheets --by \"R. Quill\"\n"
            "sherdmark labels --reprint R7KM00003 --pages 2 --out sheets --by \"R. Quill\"");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
