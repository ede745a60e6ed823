// What can be drawn: bags, boxes, items or places of a scope, and what must not be.
#include <algorithm>
#include <map>

#include "ledger/care_flags.h"
#include "ledger/core.h"
#include "sherdmark/ledger/audits.h"

namespace sherdmark {
namespace {

// Bags as inventories freeze them; care flags come as a JSON list.
constexpr std::string_view k_bags =
    "SELECT b.code, coalesce(h.path, ''), coalesce(x.name, ''),"
    " coalesce((SELECT a.name FROM bag_contents c JOIN items i ON i.id = c.item JOIN accessions a ON a.id = i.accession"
    "  WHERE c.bag = b.id ORDER BY i.id LIMIT 1), ''),"
    " CASE WHEN EXISTS(SELECT 1 FROM bag_contents c JOIN items i ON i.id = c.item WHERE c.bag = b.id AND i.flags <> "
    "'[]'"
    "   AND EXISTS(SELECT 1 FROM json_each(i.flags) f JOIN json_each(?4) r ON r.value = f.value)) THEN 'care flag'"
    "  WHEN EXISTS(SELECT 1 FROM loan_bags lb WHERE lb.bag = b.id AND lb.returned = '') THEN 'on loan' ELSE '' END"
    " FROM bags b LEFT JOIN boxes x ON x.id = b.box"
    " LEFT JOIN places h ON h.id = coalesce(b.now, x.now, b.home, x.home)"
    " WHERE b.state = 'active' AND (?1 = '' OR h.path = ?1 OR substr(h.path, 1, length(?1) + 1) = ?1 || '/')"
    " AND (?2 = '' OR EXISTS(SELECT 1 FROM bag_contents c JOIN items i ON i.id = c.item JOIN accessions a"
    "  ON a.id = i.accession WHERE c.bag = b.id AND a.name = ?2))"
    " AND (?3 = '' OR EXISTS(SELECT 1 FROM bag_contents c JOIN items i ON i.id = c.item WHERE c.bag = b.id"
    "  AND i.status = ?3)) ORDER BY b.id";

struct FramedBag {
  AuditUnit unit;
  std::string box, accession;
};

std::string group_of(const FramedBag& bag, AuditGroups groups) {
  switch (groups) {
    case AuditGroups::none:
      return {};
    case AuditGroups::place:
      return bag.unit.place.empty() ? "(no place)" : bag.unit.place;
    case AuditGroups::box:
      return bag.box.empty() ? "(no box)" : bag.box;
    case AuditGroups::accession:
      return bag.accession.empty() ? "(no accession)" : bag.accession;
  }
  return {};
}

// One unit from several bags: it may be drawn when any of them may; else the first bag's reason stands.
void merge(std::map<std::string, AuditUnit>& units, const std::string& subject, const AuditUnit& from,
           const std::string& group) {
  if (subject.empty()) return;
  auto [known, fresh] = units.try_emplace(subject, AuditUnit{subject, from.place, group, from.exclude});
  if (!fresh && known->second.exclude != "care flag" && (from.exclude.empty() || from.exclude == "care flag"))
    known->second.exclude = from.exclude;
}

}  // namespace

std::vector<AuditUnit> audit_frame(const Ledger& ledger, AuditUnitKind unit, const InventoryScope& scope,
                                   AuditGroups groups) {
  const LedgerCore& core = core_of(ledger);
  const std::string flags = care_flag_spellings(core);
  std::map<std::string, AuditUnit> units;
  std::vector<AuditUnit> bags;
  Statement rows = core.db.prepare(k_bags);
  rows.with(scope.place, scope.accession, scope.status, flags);
  while (rows.step()) {
    FramedBag bag{{rows.text(0), rows.text(1), {}, rows.text(4)}, rows.text(2), rows.text(3)};
    const std::string group = group_of(bag, groups);
    switch (unit) {
      case AuditUnitKind::bag:
        bag.unit.group = group;
        bags.push_back(bag.unit);
        break;
      case AuditUnitKind::box:
        merge(units, bag.box, bag.unit, group);
        break;
      case AuditUnitKind::place:
        merge(units, bag.unit.place, bag.unit, group);
        break;
      case AuditUnitKind::item: {
        const BagRecord record = ledger.find_bag(bag.unit.subject).value();
        for (const BagContent& content : record.contents) merge(units, content.item, bag.unit, group);
        break;
      }
    }
  }
  for (auto& [subject, one] : units) bags.push_back(std::move(one));
  std::ranges::sort(bags, {}, &AuditUnit::subject);
  return bags;
}

}  // namespace sherdmark
