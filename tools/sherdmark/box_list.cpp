#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/inventory.h"
#include "sherdmark/report/box_list_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::vector<std::string> boxes;
  std::string out, measured, limit;
  bool stale = false, csv = false;
};

std::optional<double> kilograms(const std::string& text) {
  if (text.empty()) return std::nullopt;
  const auto value = parse_decimal(trim(text));
  if (!value || *value <= 0)
    throw usage_error(fmt::format("\"{}\" is no weight in kilograms.", printable(text)), "Write it like 14.5.");
  return value;
}

// A box's name may hold what no file name should.
std::string file_name_of(const BoxList& list) {
  std::string name;
  for (const char letter : list.box)
    name += (letter >= '0' && letter <= '9') || (letter >= 'A' && letter <= 'Z') || (letter >= 'a' && letter <= 'z')
                ? letter
                : '-';
  return fmt::format("box-list-{}-{}-r{}.pdf", list.code, name, list.revision);
}

std::vector<BoxList> chosen(const Ledger& ledger, const Options& options) {
  std::vector<BoxList> lists;
  for (const std::string& name : options.boxes.empty() ? box_names(ledger) : options.boxes) {
    BoxList list = box_list(ledger, box_named(ledger, name).value_or(name));
    if (!options.stale || !list.current) lists.push_back(std::move(list));
  }
  return lists;
}

// The files written.
std::vector<std::string> print(const Session& session, const Options& options, const BoxWeight& weight,
                               std::vector<BoxList>& lists) {
  std::vector<std::string> files;
  const auto file_named = [&](const std::string& name) {
    return std::filesystem::path{files.emplace_back((std::filesystem::path{options.out} / name).string())};
  };
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  for (BoxList& list : lists) {
    (void)record_box_list(ledger, actor, list);
    list = box_list(ledger, list.box);
    const ReportHead head = session.page_head(ledger, options, "Box list", {});
    session.write_file(file_named(file_name_of(list)), [&](const ByteSink& sink) {
      write_report_pdf(box_list_pages(list, weight, head), report_paper(ledger.standard()), sink);
    });
  }
  if (!lists.empty()) session.write_file(file_named("box-lists.csv"), box_lists_csv(lists, ledger.heads()));
  return files;
}

int act(const Session& session, const Options& options) {
  if (options.json && options.csv) throw usage_error("--json and --csv were both asked for.", "Choose one.");
  BoxWeight weight{kilograms(options.measured), kilograms(options.limit)};
  if (weight.measured_kg && options.boxes.size() != 1)
    throw usage_error("--weighs is for one box.", "Name the box that stood on the scales.");
  std::vector<BoxList> lists;
  {
    const Ledger ledger = session.open_for_reading(options);
    if (!weight.limit_kg) weight.limit_kg = ledger.standard().box_weight_limit_kg;
    lists = chosen(ledger, options);
  }
  std::vector<std::string> files;
  if (!options.out.empty()) files = print(session, options, weight, lists);
  const std::vector<StationHead> heads = session.open_for_reading(options).heads();
  if (options.stale && lists.empty() && !options.json && !options.csv)
    session.say("Every list says what is in its box.\n");
  else
    session.say(options.json  ? box_lists_json(lists, weight, heads, files)
                : options.csv ? box_lists_csv(lists, heads)
                              : box_lists_text(lists, weight, files));
  const bool too_heavy = std::ranges::any_of(lists, [&](const BoxList& list) { return weight.too_heavy(list); });
  return too_heavy || (options.stale && options.out.empty() && !lists.empty()) ? 1 : 0;
}

}  // namespace

Subcommand box_list_command(const Session& session) {
  return {"box-list", "Says what is in a box, prints it with its revision, and finds lists that are not true any more.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.many("box", options->boxes, "Boxes by name or code (default: all)", "BOX");
            command.flag("--stale", options->stale, "Only boxes whose list was never printed, or is not true any more");
            command.text("--out", options->out, "Print: a PDF a box and one CSV into this folder", "DIR");
            command.text("--weighs", options->measured, "What the one box named weighs", "KG");
            command.text("--limit", options->limit, "What a box may weigh (default: as the house standard says)", "KG");
            command.flag("--csv", options->csv, "Write CSV instead of text, one line a bag");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark box-list 14 --weighs 15.5 --limit 18\nsherdmark box-list --stale --out lists");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
