// Applying a catalog: one batch, one event, one transaction.
#include <algorithm>

#include "ledger/core.h"
#include "ledger/intake_payload.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_large_batch = 1000;

std::vector<std::string> to_mark_missing(Database& db, const IntakeDiff& diff, const IntakeOptions& options) {
  std::vector<std::string> numbers;
  if (!options.vanished_are_missing) return numbers;
  for (const std::string& number : diff.vanished)
    if (db.find_integer("SELECT 1 FROM items WHERE number = ? AND status <> 'missing'", number))
      numbers.push_back(number);
  return numbers;
}

}  // namespace

IntakeResult Ledger::apply_intake(const Actor& actor, std::span<const CatalogRow> rows, const IntakeDiff& diff,
                                  const IntakeOptions& options) {
  if (state_of(core_->db) != diff.ledger_state)
    throw usage_error("the ledger has changed since the catalog was compared with it", "compare again, then apply");
  const std::vector<std::string> vanished = to_mark_missing(core_->db, diff, options);
  IntakeResult result;
  if (diff.nothing_to_do() && vanished.empty()) return result;
  std::optional<Snapshot> snapshot{core_->db};
  IntakePayload payload = write_intake(core_->db, core_->standard, actor.station, rows, diff, vanished, options.source);
  snapshot.reset();
  // Row by row, checking references costs more than the rows: of a large batch, those that were looked up are checked
  // whole, before it is committed. What items, bags and their contents point at is picked from rows that were found or
  // made in this very transaction, and nowhere else.
  std::optional<UncheckedReferences> unchecked;
  if (diff.added.size() >= k_large_batch) unchecked.emplace(core_->db);
  core_->write(actor, "intake", std::move(payload.json), [&](Database& db) {
    if (unchecked) check_references(db, {"lots", "former_numbers", "field_numbers"});
  });
  result.added = diff.added.size();
  result.changed = diff.changed.size();
  result.vanished_marked = vanished.size();
  result.bags_made = payload.bags_made;
  result.without_bag = std::move(payload.without_bag);
  for (const StaleLabel& label : diff.stale)
    result.prints_superseded += static_cast<std::size_t>(std::max<std::int64_t>(label.live_prints, 0));
  return result;
}

}  // namespace sherdmark
