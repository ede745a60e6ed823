// Runs and what people say about their prints.
#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <set>
#include <tuple>

#include "ledger/bag_rows.h"
#include "ledger/core.h"
#include "ledger/fit_check.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/stored_labels.h"

namespace sherdmark {
namespace {

// A line of a run: one label at one ordinal.
struct RunLine {
  std::string name;
  std::int64_t revision = 1;
  std::int64_t ordinal = 1;
  std::int64_t copies = 1;
};

struct NewRun {
  LabelRole role = LabelRole::bag;
  std::vector<RunLine> lines;
  std::string reprint_of;
  std::vector<std::string> replaced;  // serials
};

void write_texts(JsonWriter& out, const std::vector<std::string>& texts) {
  out.begin_array();
  for (const std::string& text : texts) out.text(text);
  out.end_array();
}

void write_lines(JsonWriter& out, const std::vector<RunLine>& lines) {
  std::vector<std::size_t> alike(lines.size());  // lines of one label and ordinal one after the other
  std::iota(alike.begin(), alike.end(), std::size_t{0});
  std::ranges::stable_sort(alike, [&lines](std::size_t a, std::size_t b) {
    return std::tie(lines[a].name, lines[a].ordinal) < std::tie(lines[b].name, lines[b].ordinal);
  });
  std::vector<std::int64_t> first_copy(lines.size(), 1);
  for (std::size_t i = 1; i < alike.size(); ++i) {
    const RunLine& before = lines[alike[i - 1]];
    const RunLine& line = lines[alike[i]];
    if (line.name == before.name && line.ordinal == before.ordinal)
      first_copy[alike[i]] = first_copy[alike[i - 1]] + before.copies;
  }
  out.begin_array();
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const RunLine& line = lines[i];
    out.begin_array().text(line.name).integer(line.revision).integer(line.ordinal).integer(line.copies);
    out.integer(first_copy[i]).end_array();
  }
  out.end_array();
}

std::vector<std::string> open_runs(Database& db, LabelRole role) {
  std::vector<std::string> runs;
  Statement rows = db.prepare("SELECT code FROM runs WHERE role = ? AND state = 'open' ORDER BY id");
  rows.with(to_text(role));
  while (rows.step()) runs.push_back(rows.text(0));
  return runs;
}

std::string write_run(LedgerCore& core, const Actor& actor, const NewRun& run) {
  Database& db = core.db;
  const std::int64_t prints = db.find_integer("SELECT prints FROM stations WHERE code = ?", actor.station).value_or(0);
  const std::int64_t runs = db.find_integer("SELECT runs FROM stations WHERE code = ?", actor.station).value_or(0);
  std::string id = make_identity(IdentityKind::run, actor.station.empty() ? "???" : actor.station, runs + 1);
  JsonWriter out;
  out.begin_object().key("abandoned");
  write_texts(out, open_runs(db, run.role));
  out.key("first_serial").integer(prints + 1).key("prints");
  write_lines(out, run.lines);
  out.key("replaced");
  write_texts(out, run.replaced);
  out.key("reprint_of").text(run.reprint_of).key("role").text(to_text(run.role)).key("run").text(id).end_object();
  core.write(actor, "run", out.take());
  return id;
}

// Artifact labels go by their printed number, all others by their subject.
std::string label_name(LabelRole role, const std::string& subject, const std::string& number) {
  return role == LabelRole::artifact ? number : subject;
}

Error no_text(std::string_view name) {
  return usage_error(fmt::format("the label of {} has changed since the plan", name), "plan again, then make labels");
}

struct PlannedLabel {
  std::int64_t id = 0;
  std::int64_t revision = 1;
  std::int64_t copies = 1;
};

PlannedLabel planned_label(Database& db, LabelRole role, const std::string& name) {
  Statement row =
      db.prepare("SELECT id, revision, copies, text IS NULL FROM labels WHERE role = ? AND name = ? AND current = 1");
  if (!row.with(to_text(role), name).step() || row.integer(2) == 0)
    throw usage_error(fmt::format("no {} label of {} is planned", to_text(role), printable(name)),
                      "plan first, or check the number");
  if (row.integer(3) != 0) throw no_text(name);
  return {row.integer(0), row.integer(1), row.integer(2)};
}

// No copy of it is wanted any more: its item was renumbered, restricted, or decided otherwise; its bag was emptied.
bool is_withdrawn(Database& db, LabelRole role, const std::string& name) {
  if (is_retired_bag(db, role, name)) return true;
  return db.find_integer("SELECT copies FROM labels WHERE role = ? AND name = ? AND current = 1", to_text(role), name)
             .value_or(0) == 0;
}

// Ordinals of a continued carrier label that have no live print.
std::vector<std::int64_t> missing_sheets(Database& db, const PlannedLabel& label) {
  std::set<std::int64_t> there;
  Statement rows = db.prepare(
      "SELECT p.ordinal FROM prints p JOIN runs r ON r.id = p.run WHERE p.label = ? AND r.state <> 'open' AND p.state "
      "IN"
      " ('generated', 'printed', 'applied')");
  rows.with(label.id);
  while (rows.step()) there.insert(rows.integer(0));
  std::vector<std::int64_t> missing;
  for (std::int64_t ordinal = 1; ordinal <= label.copies; ++ordinal)
    if (!there.contains(ordinal)) missing.push_back(ordinal);
  return missing;
}

void add_due(Database& db, const LabelRecord& label, std::vector<RunLine>& lines) {
  const std::string name = label_name(label.role, label.subject, label.number);
  if (is_retired_bag(db, label.role, name)) return;
  if (label.role == LabelRole::artifact) {
    if (label.due() == 0) return;
    if (label.due() > k_most_labels_of_an_item)  // planned before there was a bound
      throw usage_error(fmt::format("{} labels of {} are planned, more than the {} that are made for one item",
                                    label.due(), printable(name), k_most_labels_of_an_item),
                        "put its count right in the catalog, take it in, and plan again");
    lines.push_back({name, planned_label(db, label.role, name).revision, 1, label.due()});
    return;
  }
  const PlannedLabel planned = planned_label(db, label.role, name);
  for (const std::int64_t ordinal : missing_sheets(db, planned)) lines.push_back({name, planned.revision, ordinal, 1});
}

void add_ordered(Database& db, const PrintOrder& order, std::vector<RunLine>& lines) {
  if (order.copies < 1) throw usage_error("an order of no copies", "ask for one copy or more");
  const std::string name = label_name(order.role, order.subject, order.number);
  const PlannedLabel label = planned_label(db, order.role, name);
  if (order.role == LabelRole::artifact) {
    lines.push_back({name, label.revision, 1, order.copies});
    return;
  }
  for (std::int64_t set = 0; set < order.copies; ++set)
    for (std::int64_t ordinal = 1; ordinal <= label.copies; ++ordinal)
      lines.push_back({name, label.revision, ordinal, 1});
}

void require_lines_may_be_shown(const Ledger& ledger, const NewRun& run) {
  if (run.role == LabelRole::artifact) return;  // the number alone, and no column
  std::set<std::string> subjects;
  for (const RunLine& line : run.lines) subjects.insert(line.name);
  require_labels_may_be_shown(ledger, run.role, subjects);
}

std::string serial_payload(const std::vector<std::string>& serials, const std::string& reason) {
  JsonWriter out;
  out.begin_object().key("reason").text(reason).key("serials");
  write_texts(out, serials);
  out.end_object();
  return out.take();
}

RunRecord need_run(const Ledger& ledger, const std::string& run) {
  auto record = ledger.find_run(run);
  if (!record) throw unknown_thing("run", run, "list the runs to see their names");
  return *std::move(record);
}

void require_open_prints(const Ledger& ledger, const std::vector<std::string>& serials, std::string_view act) {
  if (serials.empty()) throw usage_error(fmt::format("nothing to {}", act), "name at least one serial");
  for (const std::string& serial : serials) {
    const auto print = ledger.find_print(serial);
    if (!print) throw unknown_thing("print", serial, "check the serial under the code of the label");
    if (print->state == PrintState::void_ || print->state == PrintState::spoiled)
      throw usage_error(fmt::format("the print {} is out of use already", serial), "leave it out");
  }
}

bool on_pages(const RunPrint& print, const std::vector<int>& pages) {
  return pages.empty() || std::ranges::find(pages, print.page) != pages.end();
}

void require_pages(const RunRecord& run, const std::vector<int>& pages) {
  for (const int page : pages)
    if (page < 1 || page > run.pages)
      throw usage_error(fmt::format("the run {} has no page {}", run.id, page),
                        fmt::format("name pages from 1 to {}", run.pages));
}

// Whether a spoiled print still lacks its replacement; `lines` is what this run already makes.
bool room_for(Database& db, LabelRole role, const PlannedLabel& label, const RunPrint& print,
              const std::vector<RunLine>& lines) {
  const bool artifact = role == LabelRole::artifact;
  std::int64_t live = db.find_integer(
                            "SELECT count(*) FROM prints WHERE label = ? AND (ordinal = ? OR ?) AND state IN"
                            " ('generated', 'printed', 'applied')",
                            label.id, print.print.ordinal, artifact)
                          .value_or(0);
  const std::string name = label_name(role, print.print.subject, print.print.number);
  for (const RunLine& line : lines)
    if (line.name == name && (artifact || line.ordinal == print.print.ordinal)) live += line.copies;
  return live < (artifact ? label.copies : 1);
}

}  // namespace

PrintRun Ledger::start_run(const Actor& actor, LabelRole role) {
  std::string id = begin_run(actor, role);
  std::vector<RunPrint> prints = prints_of_run(id);
  return {std::move(id), std::move(prints)};
}

PrintRun Ledger::start_run(const Actor& actor, LabelRole role, const std::vector<PrintOrder>& orders) {
  std::string id = begin_run(actor, role, orders);
  std::vector<RunPrint> prints = prints_of_run(id);
  return {std::move(id), std::move(prints)};
}

PrintRun Ledger::reprint(const Actor& actor, const std::string& run, const std::vector<int>& pages) {
  std::string id = begin_reprint(actor, run, pages);
  std::vector<RunPrint> prints = prints_of_run(id);
  return {std::move(id), std::move(prints)};
}

std::string Ledger::begin_run(const Actor& actor, LabelRole role) {
  NewRun run;
  run.role = role;
  for_each_label(role, [&](const LabelRecord& label) { add_due(core_->db, label, run.lines); });
  if (run.lines.empty())
    throw usage_error(fmt::format("no {} label is due", to_text(role)), "plan first, or ask for a reprint");
  require_lines_may_be_shown(*this, run);
  return write_run(*core_, actor, run);
}

std::string Ledger::begin_run(const Actor& actor, LabelRole role, const std::vector<PrintOrder>& orders) {
  NewRun run;
  run.role = role;
  for (const PrintOrder& order : orders) {
    if (order.role != role) throw usage_error("one run makes labels of one role", "make a run for each role");
    add_ordered(core_->db, order, run.lines);
  }
  if (run.lines.empty()) throw usage_error("a run of no labels", "name at least one label");
  require_lines_may_be_shown(*this, run);
  return write_run(*core_, actor, run);
}

void Ledger::record_pages(const Actor& actor, const std::string& run, const std::vector<int>& page_of_print,
                          const std::vector<std::string>& files) {
  const RunRecord record = need_run(*this, run);
  if (static_cast<std::int64_t>(page_of_print.size()) != record.prints)
    throw internal_error(fmt::format("{} pages for {} prints", page_of_print.size(), record.prints));
  int pages = 0;
  std::vector<std::pair<int, std::int64_t>> page_runs;
  for (const int page : page_of_print) {
    if (page < 1) throw internal_error("pages count from 1");
    pages = std::max(pages, page);
    if (page_runs.empty() || page_runs.back().first != page) page_runs.emplace_back(page, 0);
    ++page_runs.back().second;
  }
  JsonWriter out;
  out.begin_object().key("files");
  write_texts(out, files);
  out.key("page_runs").begin_array();
  for (const auto& [page, prints] : page_runs) out.begin_array().integer(page).integer(prints).end_array();
  out.end_array().key("pages").integer(pages).key("run").text(run).end_object();
  core_->write(actor, "pages", out.take());
}

std::int64_t Ledger::confirm_printed(const Actor& actor, const std::string& run, const std::vector<int>& pages) {
  const RunRecord record = need_run(*this, run);
  if (record.state == RunState::open || record.state == RunState::abandoned)
    throw usage_error(fmt::format("the pages of run {} were never written", run), "make the labels again");
  require_pages(record, pages);
  std::set<int> confirmed;
  std::int64_t prints = 0;
  for (const RunPrint& print : prints_of_run(run)) {
    if (print.print.state != PrintState::generated || !on_pages(print, pages)) continue;
    confirmed.insert(print.page);
    ++prints;
  }
  if (prints == 0) return 0;
  JsonWriter out;
  out.begin_object().key("pages").begin_array();
  for (const int page : confirmed) out.integer(page);
  out.end_array().key("run").text(run).end_object();
  core_->write(actor, "printed", out.take());
  return prints;
}

void Ledger::mark_applied(const Actor& actor, LabelRole role, const std::string& subject, const std::string& number,
                          std::int64_t copies) {
  if (copies < 1) throw usage_error("no copy to mark as applied", "give a count of one or more");
  const std::string name = label_name(role, subject, number);
  std::vector<std::string> serials;
  Statement rows = core_->db.prepare(
      "SELECT p.serial FROM prints p JOIN labels l ON l.id = p.label WHERE l.role = ? AND l.name = ? AND l.current = 1"
      " AND p.state = 'printed' ORDER BY p.id LIMIT ?");
  rows.with(to_text(role), name, copies);
  while (rows.step()) serials.push_back(rows.text(0));
  if (static_cast<std::int64_t>(serials.size()) < copies)
    throw usage_error(fmt::format("{} copies of {} were to be applied, {} are printed and not yet applied", copies,
                                  printable(name), serials.size()),
                      "confirm the printed pages first, or check the count");
  core_->write(actor, "applied", serial_payload(serials, {}));
}

void Ledger::void_prints(const Actor& actor, const std::vector<std::string>& serials, const std::string& reason) {
  require_open_prints(*this, serials, "void");
  core_->write(actor, "voided", serial_payload(serials, reason));
}

void Ledger::spoil_prints(const Actor& actor, const std::vector<std::string>& serials, const std::string& reason) {
  require_open_prints(*this, serials, "spoil");
  core_->write(actor, "spoiled", serial_payload(serials, reason));
}

std::string Ledger::begin_reprint(const Actor& actor, const std::string& run, const std::vector<int>& pages) {
  const RunRecord record = need_run(*this, run);
  require_pages(record, pages);
  NewRun again;
  again.role = record.role;
  again.reprint_of = run;
  for (const RunPrint& print : prints_of_run(run)) {
    if (!on_pages(print, pages) || print.print.state == PrintState::void_ ||
        print.print.state == PrintState::superseded)
      continue;  // void forbids use; superseded means a newer revision is due instead
    const std::string name = label_name(record.role, print.print.subject, print.print.number);
    if (is_withdrawn(core_->db, record.role, name)) continue;
    const PlannedLabel label = planned_label(core_->db, record.role, name);
    if (label.revision != print.print.revision) continue;
    if (print.print.state == PrintState::spoiled && !room_for(core_->db, record.role, label, print, again.lines))
      continue;
    again.lines.push_back({name, print.print.revision, print.print.ordinal, 1});
    if (print.print.state != PrintState::spoiled) again.replaced.push_back(print.print.serial);
  }
  if (again.lines.empty())
    throw usage_error(fmt::format("nothing on those pages of run {} is still in use", run),
                      "make the labels that are due instead");
  require_lines_may_be_shown(*this, again);
  return write_run(*core_, actor, again);
}

void Ledger::revise(const Actor& actor, LabelRole role, const std::string& subject, const std::string& number,
                    const std::string& reason) {
  const std::string name = label_name(role, subject, number);
  (void)planned_label(core_->db, role, name);
  JsonWriter out;
  out.begin_object().key("name").text(name).key("reason").text(reason);
  out.key("role").text(to_text(role)).end_object();
  core_->write(actor, "revised", out.take());
}

}  // namespace sherdmark
