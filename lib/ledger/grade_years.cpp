#include "sherdmark/ledger/grade_years.h"

#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "ledger/inventory_rows.h"

namespace sherdmark {
namespace {

std::size_t band_of(double grade) {
  constexpr std::array k_least{2.5, 1.5, 0.5};
  std::size_t band = 0;
  while (band < k_least.size() && grade < k_least[band]) ++band;
  return band;
}

}  // namespace

std::vector<GradeYear> grade_years(const Ledger& ledger, const std::string& inventory) {
  Database& db = core_of(ledger).db;
  std::vector<GradeYear> years;
  const std::int64_t id = row_of_inventory(db, inventory);
  Statement newest = db.prepare(
      "SELECT substr(time, 1, 4), serial, grade FROM grades WHERE id IN (SELECT max(id) FROM grades"
      " GROUP BY serial, substr(time, 1, 4)) ORDER BY 1");
  Statement bag = db.prepare("SELECT l.subject FROM prints p JOIN labels l ON l.id = p.label WHERE p.id = ?");
  Statement expected = db.prepare("SELECT 1 FROM inventory_expected WHERE inventory = ? AND bag = ?");
  newest.with();
  while (newest.step()) {
    if (!bag.with(row_of_serial(newest.view(1))).step()) continue;
    if (!expected.with(id, row_of_bag(bag.view(0))).step()) continue;
    if (years.empty() || years.back().year != newest.view(0)) years.push_back({newest.text(0), {}});
    ++years.back().labels[band_of(newest.decimal(2))];
  }
  return years;
}

}  // namespace sherdmark
