#include "sherdmark/ledger/bench.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>

#include "ledger/core.h"
#include "ledger/custody_checks.h"
#include "ledger/identity_rows.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/keyboard.h"
#include "sherdmark/ledger/scanned_code.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 3> k_fates = {"applied", "filed", "destroyed"};

void write_serials(JsonWriter& out, const std::vector<std::string>& serials, const std::string& reason) {
  out.begin_object().key("reason").text(reason).key("serials").begin_array();
  for (const std::string& serial : serials) out.text(serial);
  out.end_array().end_object();
}

BenchSubject of_print(const PrintRecord& print) {
  return {print.role, print.subject, print.role == LabelRole::artifact ? print.number : print.subject, print.serial};
}

// Copies that wait, filed ones last.
std::vector<std::string> waiting_copies(const Ledger& ledger, const BenchSubject& subject, const std::string& run) {
  std::vector<std::string> serials;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT p.serial FROM prints p JOIN labels l ON l.id = p.label JOIN runs r ON r.id = p.run LEFT JOIN filed_prints"
      " f ON f.print = p.id WHERE l.role = ?1 AND l.name = ?2 AND p.state = 'printed' AND (?3 = '' OR p.serial = ?3)"
      " AND (?4 = '' OR r.code = ?4) ORDER BY f.print IS NOT NULL, l.current DESC, p.id");
  rows.with(to_text(subject.role), subject.number, subject.serial, run);
  while (rows.step()) serials.push_back(rows.text(0));
  return serials;
}

std::string plus_hours(const std::string& time, int hours) {
  return format_time(parse_time(time) + std::chrono::hours{hours});
}

// Copies of every number planned for the bag, and how many of them are on their pieces: a number that lies in several
// bags counts as applied here only when copies for all its bags are.
std::int64_t copies_to_apply(Database& db, std::int64_t bag) {
  Statement rows = db.prepare(
      "SELECT p.copies, (SELECT sum(q.copies) FROM planned_pieces q WHERE q.number = p.number),"
      " (SELECT count(*) FROM prints t JOIN labels l ON l.id = t.label WHERE l.role = 'artifact' AND l.name = p.number"
      "  AND l.current = 1 AND t.state = 'applied') FROM planned_pieces p WHERE p.bag = ?");
  rows.with(bag);
  std::int64_t missing = 0;
  while (rows.step())
    missing += std::min(rows.integer(0), std::max<std::int64_t>(rows.integer(1) - rows.integer(2), 0));
  return missing;
}

// When the last label was glued onto something in the bag. A number that is planned for other bags only is not counted;
// whatever cannot be told apart counts, so that nothing wet is called dry.
std::string last_applied(Database& db, std::int64_t bag) {
  return db
      .find_text(
          "SELECT max(t.applied) FROM bag_contents c JOIN items i ON i.id = c.item JOIN labels l ON l.subject = "
          "i.number"
          " AND l.role = 'artifact' JOIN prints t ON t.label = l.id WHERE c.bag = ?1 AND t.applied <> ''"
          " AND (EXISTS(SELECT 1 FROM planned_pieces p WHERE p.number = l.number AND p.bag = ?1)"
          "  OR NOT EXISTS(SELECT 1 FROM planned_pieces p WHERE p.number = l.number AND p.bag IS NOT NULL))",
          bag)
      .value_or(std::string{});
}

Drying drying_row(Database& db, const HouseStandard& standard, const std::string& bag, std::int64_t row) {
  Drying drying;
  drying.bag = bag;
  drying.to_apply = copies_to_apply(db, row);
  drying.since = last_applied(db, row);
  if (!drying.since.empty()) drying.dry_from = plus_hours(drying.since, standard.drying_hours);
  Statement last = db.prepare("SELECT time, early FROM baggings WHERE bag = ? ORDER BY id DESC LIMIT 1");
  if (last.with(row).step() && last.view(0) >= drying.since) {
    drying.bagged = last.text(0);
    drying.early = last.integer(1) != 0;
  }
  return drying;
}

}  // namespace

std::string_view to_text(CopyFate fate) { return k_fates.at(static_cast<std::size_t>(fate)); }

BenchSubject bench_subject(const Ledger& ledger, const std::string& text) {
  const HeardCode code = understand(text, ledger.collection_key(), {});  // also from a scanner of another layout
  const std::string& heard = code.text;
  const LinkReading& reading = code.reading;
  if (reading.status == LinkStatus::ours && reading.link) {
    require_ours(ledger, *reading.link);
    const auto print = ledger.find_print(reading.link->serial);
    if (!print)
      throw unknown_thing("print", reading.link->serial, "the label is ours, but no such print was made here");
    return of_print(*print);
  }
  if (reading.status == LinkStatus::damaged)
    throw usage_error("the code was not read whole", "scan it again, or type what stands on the label");
  if (const auto print = ledger.find_print(to_upper_ascii(heard))) return of_print(*print);
  std::string number = reading.micro ? reading.micro->number : heard;
  const auto parsed = ledger.standard().parse_number(number);
  if (parsed) number = parsed->number.text();
  const auto item = core_of(ledger).db.find_text(
      "SELECT subject FROM labels WHERE role = 'artifact' AND name = ? AND current = 1", number);
  if (!item && parse_identity(IdentityKind::bag, heard) && heard.starts_with("B-"))
    throw usage_error(fmt::format("the ledger knows no bag \"{}\"", printable(heard)),
                      "check the id under the code of the bag label");
  if (!item)
    throw usage_error(fmt::format("no artifact label of \"{}\" is planned", printable(heard)),
                      "check the number, and look it up with show");
  return {LabelRole::artifact, *item, number, {}};
}

std::vector<std::string> settle_copies(Ledger& ledger, const Actor& actor, const BenchSubject& subject, CopyFate fate,
                                       std::int64_t copies, const std::string& run, const std::string& reason) {
  if (copies < 1) throw usage_error("no copy was named", "give a count of one or more");
  std::vector<std::string> serials = waiting_copies(ledger, subject, run);
  if (static_cast<std::int64_t>(serials.size()) < copies)
    throw usage_error(fmt::format("{} {} of {} cannot be {}: {} wait", copies, copies == 1 ? "copy" : "copies",
                                  printable(subject.number), to_text(fate), serials.size()),
                      "confirm the printed pages first, or check the count");
  serials.resize(static_cast<std::size_t>(copies));
  JsonWriter out;
  write_serials(out, serials, fate == CopyFate::destroyed && reason.empty() ? "destroyed, not needed" : reason);
  constexpr std::array<std::string_view, 3> k_kinds = {"applied", "filed", "spoiled"};
  core_of(ledger).write(actor, k_kinds.at(static_cast<std::size_t>(fate)), out.take());
  return serials;
}

SheetClosing close_sheet(Ledger& ledger, const Actor& actor, const std::string& run, int page) {
  const BenchList list = bench_list_of_run(ledger, run, page == 0 ? std::vector<int>{} : std::vector<int>{page});
  SheetClosing closing;
  for (const BenchLine& line : list.lines)
    if (line.copies.left_over() > 0) closing.left_over.push_back(line);
  if (!closing.left_over.empty()) return closing;
  LedgerCore& core = core_of(ledger);
  const int pages = ledger.find_run(run).value().pages;
  JsonWriter out;
  out.begin_object().key("pages").begin_array();
  bool anything = false;
  for (int one = 1; one <= pages; ++one) {
    if (page != 0 && one != page) continue;
    if (core.db.find_integer(
            "SELECT 1 FROM closed_sheets c JOIN runs r ON r.id = c.run WHERE r.code = ? AND c.page = ?", run, one))
      continue;
    anything = true;
    out.integer(one);
  }
  out.end_array().key("run").text(run).end_object();
  closing.closed = true;
  closing.was_closed = !anything;
  if (anything) core.write(actor, "sheet closed", out.take());
  return closing;
}

Drying drying_of(const Ledger& ledger, const std::string& bag) {
  (void)need_bag(ledger, bag);
  return drying_row(core_of(ledger).db, ledger.standard(), bag, row_of_bag(bag));
}

std::vector<Drying> drying_bags(const Ledger& ledger) {
  Database& db = core_of(ledger).db;
  const Snapshot snapshot{db};
  std::vector<Drying> all;
  Statement rows = db.prepare(
      "SELECT b.id, b.code FROM bags b WHERE b.state = 'active' AND EXISTS(SELECT 1 FROM bag_contents c JOIN items i ON"
      " i.id = c.item JOIN labels l ON l.subject = i.number AND l.role = 'artifact' WHERE c.bag = b.id) ORDER BY b.id");
  rows.with();
  while (rows.step()) {
    Drying one = drying_row(db, ledger.standard(), rows.text(1), rows.integer(0));
    if (one.to_apply > 0 || !one.since.empty()) all.push_back(std::move(one));
  }
  return all;
}

BagClosing close_bag(Ledger& ledger, const Actor& actor, const std::string& bag, const std::string& reason,
                     const std::string& now) {
  BagClosing closing;
  closing.before = drying_of(ledger, bag);
  closing.early = !closing.before.dry_at(now) || closing.before.to_apply > 0;
  if (closing.early && trim(reason).empty()) return closing;
  JsonWriter out;
  out.begin_object().key("bag").text(bag).key("dry_from").text(closing.before.dry_from);
  out.key("early").boolean(closing.early).key("reason").text(trim(reason));
  out.key("to_apply").integer(closing.before.to_apply).end_object();
  core_of(ledger).write(actor, "bagged", out.take());
  closing.written = true;
  return closing;
}

}  // namespace sherdmark
