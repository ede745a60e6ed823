// Moves, splits, combinations, recounts and loans: each one event, refused in words when it cannot be.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "ledger/bag_rows.h"
#include "ledger/core.h"
#include "ledger/custody_checks.h"
#include "ledger/identity_rows.h"
#include "ledger/stale_labels.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/places.h"
#include "sherdmark/ledger/recount.h"

namespace sherdmark {
namespace {

std::int64_t need_quantity(const BagRecord& bag, const std::string& item) {
  const auto content = std::ranges::find(bag.contents, item, &BagContent::item);
  if (content == bag.contents.end())
    throw usage_error(fmt::format("the bag {} does not hold {}", group_identity(bag.id), printable(item)),
                      "check the number");
  if (!content->quantity)
    throw usage_error(fmt::format("how many pieces of {} are in bag {} is not recorded", item, group_identity(bag.id)),
                      "take a catalog in that gives the quantity first");
  return *content->quantity;
}

std::string next_identity(Database& db, IdentityKind kind, std::string_view counter_sql, const std::string& station) {
  const auto used = db.find_integer(counter_sql, station);
  if (!used) throw unknown_thing("station", station, "let this computer register itself as a station");
  return make_identity(kind, station, *used + 1);
}

// Bag ids a box goes by; a box may be named by its id or by its name.
std::string need_container(const Ledger& ledger, Database& db, const std::string& container) {
  if (row_of_bag(container) > 0) return need_bag(ledger, container).id;
  const auto box = db.find_text("SELECT code FROM boxes WHERE code = ?1 OR name = ?1", container);
  if (!box) throw unknown_thing("bag or box", container, "check the id or the name");
  return *box;
}

// Both bags, and those that will be another of another number of bags of an item.
std::vector<std::string> stale_when_combined(Database& db, const BagRecord& from, const BagRecord& into) {
  std::vector<std::string> stale{from.id, into.id};
  for (const BagContent& content : from.contents) {
    const bool fewer = std::ranges::find(into.contents, content.item, &BagContent::item) != into.contents.end();
    for (const std::string& bag : bags_of_item_alone(db, content.item)) {
      const bool overtaken = (row_of_bag(from.id) < row_of_bag(bag)) != (row_of_bag(into.id) < row_of_bag(bag));
      if ((fewer || overtaken) && std::ranges::find(stale, bag) == stale.end()) stale.push_back(bag);
    }
  }
  return stale;
}

void refuse_twice(std::set<std::string>& once, const std::string& bag) {
  if (!once.insert(bag).second)
    throw usage_error(fmt::format("the bag {} is named twice", group_identity(printable(bag))), "name it once");
}

}  // namespace

BagRecord need_bag(const Ledger& ledger, const std::string& bag) {
  auto record = ledger.find_bag(bag);
  if (!record) throw unknown_thing("bag", bag, "check the id under the code of the bag label");
  if (record->state == BagState::retired)
    throw usage_error(fmt::format("the bag {} is retired", group_identity(bag)), "name the bag its contents went into");
  return *std::move(record);
}

void refuse_lent(const BagRecord& bag) {
  if (bag.lent) throw usage_error(fmt::format("the bag {} is on loan", group_identity(bag.id)), "take it back first");
}

std::string need_place(const std::string& path) {
  std::string place = place_as_kept(path);
  if (place.empty() || place.front() == '/' || place.back() == '/' || place.find("//") != std::string::npos ||
      printable(place) != place)
    throw usage_error("this is not a place", "name it from the outside in, as \"Room 2/Range A/Shelf 3\"");
  return place;
}

void Ledger::move(const Actor& actor, const Move& move) {
  const std::string container = need_container(*this, core_->db, move.container);
  if (row_of_bag(container) > 0) refuse_lent(need_bag(*this, container));
  const std::string place = need_place(move.place);
  if (move.home && !move.until.empty())
    throw usage_error("a home is not temporary", "leave out the date, or move only for the time being");
  const std::vector<std::string> stay = bags_away(*this, container);
  JsonWriter out;
  out.begin_object().key("container").text(container).key("home").boolean(move.home).key("place").text(place);
  if (!stay.empty()) {
    out.key("stay").begin_array();
    for (const std::string& bag : stay) out.text(bag);
    out.end_array();
  }
  out.key("until").text(move.until).end_object();
  core_->write(actor, "moved", out.take());
}

std::string Ledger::split(const Actor& actor, const std::string& bag, const std::string& item, std::int64_t quantity,
                          const std::string& reason) {
  const BagRecord source = need_bag(*this, bag);
  refuse_lent(source);
  const std::int64_t there = need_quantity(source, item);
  if (there == 1)
    throw usage_error(fmt::format("the bag {} holds one piece of {}, and nothing can be split off", group_identity(bag),
                                  printable(item)),
                      "move the whole bag, or combine it with another");
  if (quantity < 1 || quantity >= there)
    throw usage_error(fmt::format("{} of {} pieces cannot be split off", quantity, there),
                      fmt::format("give a number from 1 to {}", there - 1));
  std::string made =
      next_identity(core_->db, IdentityKind::bag, "SELECT bags FROM stations WHERE code = ?", actor.station);
  JsonWriter out;
  out.begin_object().key("bag").text(bag).key("into").text(made).key("item").text(item);
  out.key("quantity").integer(quantity).key("reason").text(reason).key("revised");
  write_label_names(out, carrier_labels_of(core_->db, stale_when_counted(core_->db, bag, item)));
  out.end_object();
  core_->write(actor, "split", out.take());
  return made;
}

void Ledger::combine(const Actor& actor, const std::string& from, const std::string& into, const std::string& reason) {
  const BagRecord source = need_bag(*this, from);
  const BagRecord target = need_bag(*this, into);
  if (from == into) throw usage_error("a bag cannot be combined with itself", "name two bags");
  refuse_lent(source);
  refuse_lent(target);
  JsonWriter out;
  out.begin_object().key("from").text(from).key("into").text(into).key("reason").text(reason).key("revised");
  write_label_names(out, carrier_labels_of(core_->db, stale_when_combined(core_->db, source, target)));
  out.end_object();
  core_->write(actor, "combined", out.take());
}

void Ledger::recount(const Actor& actor, const std::string& bag, const std::string& item, std::int64_t quantity,
                     const std::string& reason) {
  if (trim(reason).empty()) throw usage_error("a recount needs a reason", "say why the count is another");
  (void)recount_item(*this, actor, {bag, item, quantity, {}, reason});
}

std::string Ledger::lend(const Actor& actor, const std::vector<std::string>& bags, const std::string& borrower,
                         const std::string& until) {
  if (bags.empty() || trim(borrower).empty())
    throw usage_error("a loan needs bags and a borrower", "name at least one bag and who gets it");
  std::set<std::string> once;
  for (const std::string& bag : bags) {
    if (need_bag(*this, bag).lent)
      throw usage_error(fmt::format("the bag {} is on loan already", group_identity(bag)), "take it back first");
    refuse_twice(once, bag);
  }
  std::string loan =
      next_identity(core_->db, IdentityKind::loan, "SELECT loans FROM stations WHERE code = ?", actor.station);
  JsonWriter out;
  out.begin_object().key("bags").begin_array();
  for (const std::string& bag : bags) out.text(bag);
  out.end_array().key("borrower").text(borrower).key("loan").text(loan).key("until").text(until).end_object();
  core_->write(actor, "lent", out.take());
  return loan;
}

void Ledger::take_back(const Actor& actor, const std::string& loan, const std::vector<std::string>& bags) {
  const auto known = loans();
  const auto record = std::ranges::find(known, loan, &LoanRecord::id);
  if (record == known.end()) throw unknown_thing("loan", loan, "list the loans to see their names");
  if (bags.empty()) throw usage_error("nothing to take back", "name at least one bag");
  std::set<std::string> once;
  for (const std::string& bag : bags) {
    refuse_twice(once, bag);
    if (std::ranges::find(record->out, bag) == record->out.end())
      throw usage_error(
          fmt::format("the bag {} is not out with loan {}", group_identity(printable(bag)), group_identity(loan)),
          "check the id");
  }
  JsonWriter out;
  out.begin_object().key("bags").begin_array();
  for (const std::string& bag : bags) out.text(bag);
  out.end_array().key("loan").text(loan).end_object();
  core_->write(actor, "returned", out.take());
}

std::vector<LoanRecord> Ledger::loans() const {
  std::vector<LoanRecord> loans;
  Statement rows = core_->db.prepare("SELECT id, code, borrower, lent, until FROM loans ORDER BY id");
  Statement bags = core_->db.prepare(
      "SELECT b.code, lb.returned FROM loan_bags lb JOIN bags b ON b.id = lb.bag WHERE lb.loan = ? ORDER BY b.id");
  rows.with();
  while (rows.step()) {
    LoanRecord loan{rows.text(1), rows.text(2), rows.text(3), rows.text(4), {}, {}};
    bags.with(rows.integer(0));
    while (bags.step()) (bags.view(1).empty() ? loan.out : loan.returned).push_back(bags.text(0));
    loans.push_back(std::move(loan));
  }
  return loans;
}

}  // namespace sherdmark
