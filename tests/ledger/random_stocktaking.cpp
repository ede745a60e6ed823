#include "ledger/random_stocktaking.h"

#include <algorithm>

#include "sherdmark/ledger/box_lists.h"
#include "sherdmark/ledger/boxing.h"
#include "sherdmark/ledger/inventory_sight.h"
#include "sherdmark/ledger/recount.h"
#include "sherdmark/ledger/reviews.h"
#include "sherdmark/ledger/standing_restrictions.h"

namespace sherdmark::testing {

void RandomStocktaking::act(Ledger& ledger, const Actor& actor) {
  switch (random_.below(7)) {
    case 0:
    case 1:
      return inventory(ledger, actor);
    case 2:
      return audit(ledger, actor);
    case 3:
      return weigh(ledger, actor);
    case 4:
      return grade(ledger, actor);
    case 5:
      return box(ledger, actor);
    default: {
      const std::vector<std::string> boxes = box_names(ledger);
      if (!boxes.empty()) (void)record_box_list(ledger, actor, box_list(ledger, any_of(boxes)));
    }
  }
}

void RandomStocktaking::box(Ledger& ledger, const Actor& actor) {
  const std::vector<std::string> boxes = box_names(ledger);
  const std::vector<BagRecord> bags = ledger.bags();
  if (boxes.empty() || bags.empty()) return;
  const std::string bag = any_of(bags).id;
  chance(4) ? take_out_of_box(ledger, actor, bag, "Room 1/Shelf 2") : put_into_box(ledger, actor, bag, any_of(boxes));
}

void RandomStocktaking::inventory(Ledger& ledger, const Actor& actor) {
  std::vector<InventoryRecord> open = inventories(ledger);
  std::erase_if(open, [](const InventoryRecord& record) { return !record.open(); });
  if (open.empty() || chance(12)) {
    (void)open_inventory(ledger, actor, {chance(2) ? "" : "Room 0", "", chance(6) ? "missing" : ""});
    return;
  }
  const std::string id = any_of(open).id;
  switch (random_.below(8)) {
    case 0:
      if (chance(3)) (void)reserve_found_numbers(ledger, actor, "FIC-", 4);
      return;
    case 1:
      if (chance(3)) close_inventory(ledger, actor, id);
      return;
    case 2:
      for (const FoundNumber& number : found_numbers(ledger))
        if (number.state == FoundState::open) return resolve_found_number(ledger, actor, number.number, "a bead");
      return;
    case 3:
    case 4:
      if (!taken_.empty()) take_back(ledger, actor, id, any_of(taken_));
      return;
    default:
      return see(ledger, actor, id);
  }
}

InventoryReading RandomStocktaking::random_reading(const Ledger& ledger) {
  static const std::vector<std::string> k_places = {"", "Room 0/Shelf 1", "Room 1/Shelf 2"};
  InventoryReading reading;
  reading.kind = static_cast<SeenKind>(random_.below(5));
  reading.text = "as \"heard\"";
  reading.place = any_of(k_places);
  if (chance(4)) reading.box = "Box 1";
  if (reading.kind == SeenKind::label || reading.kind == SeenKind::typed) {
    const BagRecord bag = any_of(ledger.bags());
    reading.bag = bag.id;
    if (reading.kind == SeenKind::label)
      for (const PrintRecord& print : ledger.live_prints(bag.id, chance(2) ? LabelRole::bag : LabelRole::tag))
        reading.serial = print.serial;
    if (chance(3)) reading.count = static_cast<std::int64_t>(random_.below(9));
    reading.evidence = "seen outside";
  }
  return reading;
}

void RandomStocktaking::see(Ledger& ledger, const Actor& actor, const std::string& inventory) {
  std::vector<InventoryReading> readings;
  for (std::uint64_t n = 1 + random_.below(4); n > 0; --n) readings.push_back(random_reading(ledger));
  const TakenIn taken = take_in(ledger, actor, inventory, readings, "random");
  auto number = taken.found_numbers.begin();
  for (InventoryReading& reading : readings) {
    if (reading.kind == SeenKind::unlabelled) reading.text = *number++ + ": " + reading.text;
    taken_.push_back(std::move(reading));
  }
}

void RandomStocktaking::audit(Ledger& ledger, const Actor& actor) {
  std::vector<AuditRecord> open = audits(ledger);
  std::erase_if(open, [](const AuditRecord& record) { return !record.concluded.empty(); });
  if (open.empty()) return draw(ledger, actor);
  const AuditRecord record = find_audit(ledger, any_of(open).id).value();
  if (chance(6)) return store_conclusion(ledger, actor, record.id, {}, "As far as anybody knows.");
  const AuditDraw& one = any_of(record.draws);
  static const std::vector<std::string> k_outcomes = {"correct", "not found", "not inspected", "no such outcome"};
  const AuditResult result{one.rank, one.subject, any_of(k_outcomes), "why", "seen outside"};
  record_results(ledger, actor, record.id, std::vector{result}, "by hand");
}

void RandomStocktaking::draw(Ledger& ledger, const Actor& actor) {
  AuditDesign design;
  design.unit = chance(2) ? AuditUnitKind::bag : AuditUnitKind::item;
  design.errors = {{"not found", "it is not there"}};
  design.seed = "seed " + std::to_string(random_.below(100));
  design.method = AuditMethod::fixed;
  const std::vector<AuditUnit> frame = audit_frame(ledger, design.unit, design.scope, AuditGroups::place);
  design.frame = static_cast<std::int64_t>(frame.size());
  std::vector<AuditDraw> draws;
  for (std::size_t i = 0; i < std::min<std::size_t>(frame.size(), 4); ++i) {
    AuditDraw one;
    one.rank = static_cast<std::int64_t>(i + 1);
    one.subject = frame[i].subject;
    one.place = frame[i].place;
    draws.push_back(std::move(one));
  }
  const std::vector<AuditRecord> all = audits(ledger);
  (void)store_draw(ledger, actor, design, draws, all.empty() || chance(2) ? "" : any_of(all).id);
}

void RandomStocktaking::weigh(Ledger& ledger, const Actor& actor) {
  if (chance(4))
    for (const ItemRecord& item : ledger.items())
      for (const StandingRestriction& one : standing_restrictions(ledger, item.row.number.text())) {
        (void)lift_restriction(ledger, actor, one.item, one.flag, "consultation");
        return;
      }
  const BagRecord bag = any_of(ledger.bags());
  if (bag.contents.empty()) return;
  const std::string item = any_of(bag.contents).item;
  Recount recount{bag.id, item, {}, random_.unit() * 500, chance(4) ? "" : "weighed again"};
  if (chance(2)) recount.pieces = static_cast<std::int64_t>(random_.below(12));
  (void)recount_item(ledger, actor, recount);
}

void RandomStocktaking::grade(Ledger& ledger, const Actor& actor) {
  std::vector<SeenGrade> grades;
  for (const BagRecord& bag : ledger.bags())
    for (const PrintRecord& print : ledger.live_prints(bag.id, LabelRole::bag))
      if (chance(5)) grades.push_back({print.serial, random_.unit() * 4, "by eye"});
  record_grades(ledger, actor, grades);
}

}  // namespace sherdmark::testing
