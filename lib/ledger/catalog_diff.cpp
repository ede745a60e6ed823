// What a catalog would change: compared row by row, nothing written.
#include <fmt/format.h>

#include <map>
#include <unordered_set>

#include "ledger/bag_finder.h"
#include "ledger/core.h"
#include "ledger/item_rows.h"
#include "ledger/row_fields.h"
#include "sherdmark/base/error.h"
#include "sherdmark/catalog/number_order.h"
#include "sherdmark/ledger/plan_labels.h"

namespace sherdmark {
namespace {

class CatalogDiffer {
 public:
  CatalogDiffer(Database& db, const HouseStandard& standard, std::span<const CatalogRow> rows)
      : db_(db), standard_(standard), rows_(rows), bags_(db) {}

  IntakeDiff run() {
    diff_.ledger_state = state_of(db_);
    const bool nothing_yet = !db_.find_integer("SELECT 1 FROM items LIMIT 1");
    if (!nothing_yet || !numbers_ascend(rows_)) note_numbers();
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      std::optional<StoredItem> before;
      if (!nothing_yet) before = find_stored_item(db_, rows_[i].number.text());
      if (before)
        compare(i, *before);
      else
        add(i);
    }
    if (!nothing_yet) find_vanished();
    for (auto& [key, label] : stale_) diff_.stale.push_back(label);
    return std::move(diff_);
  }

 private:
  void note_numbers();
  void add(std::size_t index);
  void compare(std::size_t index, const StoredItem& before);
  void find_vanished();
  // Labels of a bag that show one of the changed fields; `only_new_content` when a bag gains an item.
  void stale_of_bag(const std::string& bag, const std::vector<FieldChange>& fields, std::vector<StaleLabel>& into);
  void stale_of_item(const StoredItem& before, const CatalogRow& after, std::vector<StaleLabel>& into);
  void add_stale(LabelRole role, std::string_view subject, std::vector<StaleLabel>& into);

  Database& db_;
  const HouseStandard& standard_;
  std::span<const CatalogRow> rows_;
  BagFinder bags_;
  IntakeDiff diff_;
  std::unordered_set<std::string_view> numbers_;
  std::unordered_set<std::string_view> accessions_;
  std::map<std::string, StaleLabel> stale_;  // by role and name, so that each is listed once and in a fixed order
};

const std::vector<FieldChange>& contents_changed() {
  static const std::vector<FieldChange> k_change = {{"bags", "", "", false}};
  return k_change;
}

void CatalogDiffer::note_numbers() {
  numbers_.reserve(rows_.size());
  for (const CatalogRow& row : rows_) {
    if (!numbers_.insert(row.number.text()).second)
      throw data_error(fmt::format("the number {} stands in the catalog twice", row.number.text()),
                       {.file = {}, .row = row.row}, "give one of the two rows its own number");
    if (&row == rows_.data() || (&row)[-1].accession != row.accession) accessions_.insert(row.accession);
  }
}

void CatalogDiffer::add(std::size_t index) {
  const CatalogRow& row = rows_[index];
  diff_.added.push_back(index);
  std::vector<StaleLabel> ignored;  // added rows have no list of their own; diff_.stale names them
  for (const BagShare& share : row.bags)
    if (const auto bag = bags_.by_mark(mark_scope(row), share.mark)) stale_of_bag(*bag, contents_changed(), ignored);
  if (row.bags.empty() && standard_.bagging == Bagging::one_bag_per_lot)
    if (const auto bag = bags_.of_lot(lot_of(row, standard_))) stale_of_bag(*bag, contents_changed(), ignored);
}

void CatalogDiffer::compare(std::size_t index, const StoredItem& before) {
  const CatalogRow& after = rows_[index];
  std::vector<FieldChange> fields;
  if (!same_content(before.row, after)) fields = changed_fields(before.row, after, standard_);
  if (fields.empty()) {
    ++diff_.unchanged;
    return;
  }
  RowChange change{index, before.number, std::move(fields), {}};
  for (const std::string& bag : bags_holding(db_, before.id)) stale_of_bag(bag, change.fields, change.stale);
  for (const BagShare& share : after.bags)
    if (const auto bag = bags_.by_mark(mark_scope(after), share.mark)) stale_of_bag(*bag, change.fields, change.stale);
  stale_of_item(before, after, change.stale);
  diff_.changed.push_back(std::move(change));
}

void CatalogDiffer::stale_of_bag(const std::string& bag, const std::vector<FieldChange>& fields,
                                 std::vector<StaleLabel>& into) {
  const auto shows = [&](const CarrierDesign& design) {
    for (const FieldChange& change : fields)
      if (design_shows(design, change.field)) return true;
    return false;
  };
  if (shows(standard_.bag)) add_stale(LabelRole::bag, bag, into);
  if (shows(standard_.tag)) add_stale(LabelRole::tag, bag, into);
}

// An artifact label says only the number; it is stale when the object must no longer carry it.
void CatalogDiffer::stale_of_item(const StoredItem& before, const CatalogRow& after, std::vector<StaleLabel>& into) {
  const LabelDecision old_decision = decide_label(standard_, rule_subject(before.row)).decision;
  const LabelDecision new_decision = decide_label(standard_, rule_subject(after)).decision;
  if (old_decision == LabelDecision::direct && new_decision != LabelDecision::direct)
    add_stale(LabelRole::artifact, before.number, into);
}

void CatalogDiffer::add_stale(LabelRole role, std::string_view subject, std::vector<StaleLabel>& into) {
  Statement labels = db_.prepare(
      "SELECT l.subject, l.number, l.revision, l.name, (SELECT count(*) FROM prints p WHERE p.label = l.id AND"
      " p.state IN ('generated', 'printed', 'applied')) FROM labels l WHERE l.subject = ? AND l.role = ? AND"
      " l.current = 1 AND l.copies > 0 AND l.text IS NOT NULL");
  labels.with(subject, to_text(role));
  while (labels.step()) {
    StaleLabel label{role, labels.text(0), labels.text(1), static_cast<int>(labels.integer(2)), labels.integer(4)};
    const std::string key = fmt::format("{}\n{}", labels.view(3), to_text(role));
    bool listed = false;
    for (const StaleLabel& other : into)
      listed = listed || (other.role == role && other.subject == label.subject && other.number == label.number);
    if (!listed) into.push_back(label);
    stale_.emplace(key, std::move(label));
  }
}

void CatalogDiffer::find_vanished() {
  Statement items =
      db_.prepare("SELECT i.number, a.name FROM items i LEFT JOIN accessions a ON a.id = i.accession ORDER BY i.id");
  items.with();
  while (items.step())
    if (accessions_.contains(items.view(1)) && !numbers_.contains(items.view(0)))
      diff_.vanished.push_back(items.text(0));
}

}  // namespace

IntakeDiff Ledger::diff_catalog(std::span<const CatalogRow> rows) const {
  const Snapshot snapshot{core_->db};
  return CatalogDiffer{core_->db, core_->standard, rows}.run();
}

}  // namespace sherdmark
