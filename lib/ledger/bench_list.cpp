// The working list: what a sheet's or a bag's labels go on, in working order.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

#include "ledger/carrier_fields.h"
#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/bench.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

void count_copies(CopyCounts& counts, std::string_view state, bool filed, std::int64_t n) {
  if (filed && state == "printed")
    counts.filed += n;
  else if (state == "generated")
    counts.unconfirmed += n;
  else if (state == "printed")
    counts.waiting += n;
  else if (state == "applied")
    counts.applied += n;
  else
    counts.destroyed += n;
}

void add(CopyCounts& sum, const CopyCounts& one) {
  sum.unconfirmed += one.unconfirmed;
  sum.waiting += one.waiting;
  sum.applied += one.applied;
  sum.filed += one.filed;
  sum.destroyed += one.destroyed;
}

class BenchLists {
 public:
  explicit BenchLists(const Ledger& ledger) : ledger_(ledger), db_(core_of(ledger).db) {}

  // What the ledger knows of the number's item; false when it must not be labelled (then it is named in `never`).
  bool describe(BenchLine& line, BenchList& list) {
    const auto item = ledger_.find_item(line.item);
    if (!item) return true;
    const HouseStandard& standard = ledger_.standard();
    const auto shown = [&](std::string_view column, const SharedText& text) {
      return is_restricted(standard, column) ? std::string{} : text.str();
    };
    line.object = shown("object", item->row.object);
    line.material = shown("material", item->row.material);
    line.surface = shown("surface", item->row.surface);
    line.advice = bench_advice(standard, item->row.material, item->row.surface);
    if (item->decision) line.caution = item->decision->caution;
    const bool care = has_care_flag(standard, item->row.flags);
    if (!care && !(item->decision && item->decision->decision == LabelDecision::never)) return true;
    const std::string why = care ? "restricted care: do not label; consult" : item->decision->reason;
    if (std::ranges::find(list.never, line.item + ": " + why) == list.never.end())
      list.never.push_back(line.item + ": " + why);
    return false;
  }

  void name_bags(BenchLine& line) {
    Statement rows =
        db_.prepare("SELECT b.code FROM planned_pieces p JOIN bags b ON b.id = p.bag WHERE p.number = ? ORDER BY b.id");
    rows.with(line.number);
    while (rows.step()) line.bags.push_back(rows.text(0));
  }

  void finish(BenchList& list, std::vector<BenchLine> lines) {
    for (BenchLine& line : lines) {
      if (!describe(line, list)) {
        if (line.copies.left_over() == 0) continue;
        line.caution = "Do not apply: restricted. Consult, and destroy by count what is unapplied.";
      }
      if (line.bags.empty()) name_bags(line);
      add(list.copies, line.copies);
      list.lines.push_back(std::move(line));
    }
    std::ranges::stable_sort(list.lines, {}, [](const BenchLine& line) {
      return std::tuple{line.advice.porosity, line.pages.empty() ? 0 : line.pages.front()};
    });
    list.cautions = ledger_.standard().cautions;
  }

  std::vector<BenchLine> lines_of_run(const std::string& run, const std::vector<int>& pages) {
    std::vector<BenchLine> lines;
    std::map<std::pair<std::string, int>, std::size_t> known;
    Statement rows = db_.prepare(
        "SELECT l.subject, l.number, coalesce(l.text, l.number), l.revision, p.page, p.state, f.print IS NOT NULL,"
        " count(*) FROM prints p JOIN labels l ON l.id = p.label JOIN runs r ON r.id = p.run LEFT JOIN filed_prints f"
        " ON f.print = p.id WHERE r.code = ? GROUP BY l.id, p.page, p.state, f.print IS NOT NULL"
        " ORDER BY min(p.id)");
    rows.with(run);
    while (rows.step()) {
      const int page = static_cast<int>(rows.integer(4));
      if (!pages.empty() && std::ranges::find(pages, page) == pages.end()) continue;
      const auto [at, fresh] = known.try_emplace({rows.text(1), static_cast<int>(rows.integer(3))}, lines.size());
      if (fresh) {
        BenchLine line;
        line.run = run;
        line.item = rows.text(0);
        line.number = rows.text(1);
        line.text = rows.text(2);
        line.revision = static_cast<int>(rows.integer(3));
        lines.push_back(std::move(line));
      }
      BenchLine& line = lines[at->second];
      if (std::ranges::find(line.pages, page) == line.pages.end()) line.pages.push_back(page);
      count_copies(line.copies, rows.view(5), rows.integer(6) != 0, rows.integer(7));
    }
    for (BenchLine& line : lines) std::ranges::sort(line.pages);
    return lines;
  }

  std::vector<BenchLine> lines_of_bag(const std::string& bag) {
    std::vector<BenchLine> lines;
    Statement rows = db_.prepare(
        "SELECT i.number, p.number, coalesce(l.text, p.number), l.revision, p.copies, l.id FROM planned_pieces p"
        " JOIN items i ON i.id = p.item JOIN labels l ON l.role = 'artifact' AND l.name = p.number AND l.current = 1"
        " WHERE p.bag = ? AND l.copies > 0 ORDER BY i.id, length(p.number), p.number");
    Statement prints = db_.prepare(
        "SELECT p.state, f.print IS NOT NULL, count(*), min(p.page), r.code FROM prints p JOIN runs r ON r.id = p.run"
        " LEFT JOIN filed_prints f ON f.print = p.id WHERE p.label = ? AND r.state <> 'open' AND p.state IN"
        " ('generated', 'printed', 'applied') GROUP BY p.state, f.print IS NOT NULL ORDER BY min(p.id)");
    rows.with(row_of_bag(bag));
    while (rows.step()) {
      BenchLine line;
      line.item = rows.text(0);
      line.number = rows.text(1);
      line.text = rows.text(2);
      line.revision = static_cast<int>(rows.integer(3));
      line.bags = {bag};
      std::int64_t room = rows.integer(4);
      prints.with(rows.integer(5));
      while (prints.step()) {
        const std::int64_t n = std::min(room, prints.integer(2));
        room -= n;
        count_copies(line.copies, prints.view(0), prints.integer(1) != 0, n);
        line.run = prints.text(4);
        const int page = static_cast<int>(prints.integer(3));
        if (page > 0 && std::ranges::find(line.pages, page) == line.pages.end()) line.pages.push_back(page);
      }
      lines.push_back(std::move(line));
    }
    return lines;
  }

 private:
  const Ledger& ledger_;
  Database& db_;
};

}  // namespace

BenchList bench_list_of_run(const Ledger& ledger, const std::string& run, const std::vector<int>& pages) {
  const auto record = ledger.find_run(run);
  if (!record) throw unknown_thing("run", run, "the run stands at the head of every page it printed");
  if (record->role != LabelRole::artifact)
    throw usage_error(fmt::format("the run {} made {} labels, which are not glued", run, to_text(record->role)),
                      "name a run of artifact labels, or a bag");
  for (const int page : pages)
    if (page < 1 || page > record->pages)
      throw usage_error(fmt::format("the run {} has no page {}", run, page),
                        fmt::format("name pages from 1 to {}", record->pages));
  const Snapshot snapshot{core_of(ledger).db};
  BenchList list;
  list.run = run;
  BenchLists lists{ledger};
  lists.finish(list, lists.lines_of_run(run, pages));
  return list;
}

BenchList bench_list_of_bag(const Ledger& ledger, const std::string& bag) {
  const auto record = ledger.find_bag(bag);
  if (!record) throw unknown_thing("bag", bag, "check the id under the code of the bag label");
  const Snapshot snapshot{core_of(ledger).db};
  BenchList list;
  list.bag = bag;
  list.withheld = record->sensitive;
  BenchLists lists{ledger};
  lists.finish(list, lists.lines_of_bag(bag));
  for (const BagContent& content : record->contents) {  // contents without a label are told too
    BenchLine line;
    line.item = content.item;
    (void)lists.describe(line, list);
  }
  return list;
}

std::string working_order_in_words() {
  return "Non-porous surfaces first, while the adhesive is thin; porous ones last, when it has thickened (common "
         "practice). Within that by page of the sheet, then in the catalog's order; the list always comes out the "
         "same.";
}

}  // namespace sherdmark
