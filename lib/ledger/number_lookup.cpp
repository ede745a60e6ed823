// Where a number leads, and what one bag should show.
#include "ledger/bag_rows.h"
#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "ledger/item_rows.h"
#include "sherdmark/ledger/plan_labels.h"

namespace sherdmark {
namespace {

std::vector<std::string> texts(Statement& rows) {
  std::vector<std::string> found;
  while (rows.step()) found.push_back(rows.text(0));
  return found;
}

// A plan decides; before there is one, the house standard's rules do. Care flags set since the plan always hold.
void add_decision(LedgerCore& core, const std::string& number, NumberRecord& record) {
  const std::optional<StoredItem> item = find_stored_item(core.db, number);
  if (!item) return;
  const RuleOutcome rule = decide_label(core.standard, rule_subject(item->row));
  record.decision = rule.decision;
  if (const auto planned = core.db.find_text("SELECT decision FROM decisions WHERE item = ?", item->id);
      planned && rule.decision != LabelDecision::never)
    record.decision = parse_decision(*planned);
  record.never_label = record.decision == LabelDecision::never;
}

NumberRecord item_record(LedgerCore& core, std::string number) {
  NumberRecord record;
  record.meaning = NumberMeaning::item;
  add_decision(core, number, record);
  record.items.push_back(std::move(number));
  return record;
}

std::optional<NumberRecord> find_lot_number(Database& db, const std::string& number) {
  const auto lot = db.find_integer("SELECT id FROM lots WHERE number = ?", number);
  if (!lot) return std::nullopt;
  NumberRecord record;
  record.meaning = NumberMeaning::lot;
  Statement rows = db.prepare("SELECT number FROM items WHERE lot = ? ORDER BY id");
  record.items = texts(rows.with(*lot));
  return record;
}

std::optional<NumberRecord> find_field_number(Database& db, const std::string& number) {
  Statement row = db.prepare(
      "SELECT coalesce(l.number, '') FROM field_numbers f LEFT JOIN lots l ON l.id = f.lot WHERE f.number = ?");
  if (!row.with(number).step()) return std::nullopt;
  NumberRecord record;
  record.meaning = NumberMeaning::field_number;
  record.bound_to = row.text(0);
  Statement rows = db.prepare("SELECT number FROM items WHERE field_number = ? AND field_number <> '' ORDER BY id");
  record.items = texts(rows.with(number));
  return record;
}

// Items for which a number is a former one, as written or as the house standard writes it.
std::vector<std::string> items_formerly(Database& db, const std::string& number) {
  if (number.empty()) return {};
  Statement rows = db.prepare(
      "SELECT i.number FROM items i WHERE i.id IN (SELECT item FROM former_numbers WHERE written = ?1 UNION SELECT item"
      " FROM former_numbers WHERE canonical = ?1 AND canonical <> '' UNION SELECT item FROM concordance WHERE written ="
      " ?1 UNION SELECT item FROM concordance WHERE canonical = ?1 AND canonical <> '') ORDER BY i.id");
  return texts(rows.with(number));
}

std::optional<NumberRecord> find_former_number(Database& db, const std::string& number) {
  NumberRecord record;
  record.items = items_formerly(db, number);
  if (record.items.empty()) return std::nullopt;
  record.meaning = NumberMeaning::former_number;
  return record;
}

// A number that is in use and was in use before, for something else: whoever reads it must know.
NumberRecord present_number(LedgerCore& core, const std::string& item, const std::string& number) {
  NumberRecord record = item_record(core, item);
  for (std::string& other : items_formerly(core.db, number))
    if (other != item) record.formerly.push_back(std::move(other));
  return record;
}

}  // namespace

NumberRecord Ledger::find_number(const std::string& canonical) const {
  Database& db = core_->db;
  if (const auto item = db.find_text("SELECT number FROM items WHERE number = ?", canonical))
    return present_number(*core_, *item, canonical);
  if (const auto item =
          db.find_text("SELECT i.number FROM pieces p JOIN items i ON i.id = p.item WHERE p.number = ?", canonical))
    return present_number(*core_, *item, canonical);
  if (auto lot = find_lot_number(db, canonical)) return *std::move(lot);
  if (auto field_number = find_field_number(db, canonical)) return *std::move(field_number);
  if (auto former = find_former_number(db, canonical)) return *std::move(former);
  return {};
}

std::vector<ExpectedArtifact> Ledger::expected_artifacts(const std::string& bag_id) const {
  std::vector<ExpectedArtifact> expected;
  Statement rows = core_->db.prepare(
      "SELECT p.number, i.number, p.copies FROM bags b JOIN planned_pieces p ON p.bag = b.id JOIN items i"
      " ON i.id = p.item WHERE b.id = ? ORDER BY i.id, length(p.number), p.number");
  rows.with(row_of_bag(bag_id));
  while (rows.step()) expected.push_back({rows.text(0), rows.text(1), rows.integer(2)});
  return expected;
}

}  // namespace sherdmark
