// Storing what the planner found.
#include <fmt/format.h>

#include <map>
#include <set>

#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

struct CurrentLabel {
  std::string number;
  std::optional<std::string> text;
  std::int64_t revision = 1;
  std::int64_t copies = 0;
  std::int64_t live = 0;
};

// Compares a plan with the records and writes down only what differs.
class PlanWriter {
 public:
  explicit PlanWriter(Database& db) : db_(db) {
    for (JsonWriter* list : {&decisions_, &labels_, &pieces_, &retired_}) list->begin_array();
  }

  void add(const PlannedDecision& decision);
  void add_label(std::string_view role, const std::string& subject, const std::string& name, const std::string& number,
                 const std::string& text, std::int64_t copies);
  void add_pieces(const std::string& item, const std::vector<const PlannedArtifactLabel*>& labels);
  void retire_others(const std::string& item, const std::set<std::string>& kept);
  void retire(std::string_view role, const std::string& name);  // its prints are out of force

  [[nodiscard]] bool anything() const { return anything_; }
  [[nodiscard]] const PlanResult& result() const { return result_; }
  [[nodiscard]] std::string payload() {
    for (JsonWriter* list : {&decisions_, &labels_, &pieces_, &retired_}) list->end_array();
    JsonWriter out;
    out.begin_object().key("decisions").raw(decisions_.str()).key("labels").raw(labels_.str());
    out.key("pieces").raw(pieces_.str()).key("retired").raw(retired_.str()).end_object();
    return out.take();
  }

 private:
  [[nodiscard]] std::optional<CurrentLabel> current(std::string_view role, const std::string& name);
  [[nodiscard]] std::int64_t item_id(const std::string& number);
  void require_bag(const std::string& bag, const std::string& item, std::int64_t labelled);

  Database& db_;
  JsonWriter decisions_, labels_, pieces_, retired_;
  PlanResult result_;
  bool anything_ = false;
};

std::optional<CurrentLabel> PlanWriter::current(std::string_view role, const std::string& name) {
  Statement row = db_.prepare(
      "SELECT l.number, l.text, l.revision, l.copies, (SELECT count(*) FROM prints p WHERE p.label = l.id AND p.state "
      "IN"
      " ('generated', 'printed', 'applied')) FROM labels l WHERE l.role = ? AND l.name = ? AND l.current = 1");
  if (!row.with(role, name).step()) return std::nullopt;
  CurrentLabel label{row.text(0), std::nullopt, row.integer(2), row.integer(3), row.integer(4)};
  if (!row.is_null(1)) label.text = row.text(1);
  return label;
}

std::int64_t PlanWriter::item_id(const std::string& number) {
  const auto id = db_.find_integer("SELECT id FROM items WHERE number = ?", number);
  if (!id) throw unknown_thing("item", number, "take the catalog in first, then plan");
  return *id;
}

void PlanWriter::add(const PlannedDecision& decision) {
  const std::int64_t item = item_id(decision.item);
  if (db_.find_integer(
          "SELECT 1 FROM decisions WHERE item = ? AND decision = ? AND rule = ? AND reason = ? AND caution = ?", item,
          to_text(decision.decision), decision.rule, decision.reason, decision.caution))
    return;
  anything_ = true;
  decisions_.begin_array().text(decision.item).text(to_text(decision.decision)).text(decision.rule);
  decisions_.text(decision.reason).text(decision.caution).end_array();
}

// A label revised because its text went stale waits without a text: the plan gives it one at that same revision.
void PlanWriter::add_label(std::string_view role, const std::string& subject, const std::string& name,
                           const std::string& number, const std::string& text, std::int64_t copies) {
  const std::optional<CurrentLabel> before = current(role, name);
  if (before && before->text == text && before->number == number && before->copies == copies) {
    ++result_.labels_unchanged;
    return;
  }
  std::int64_t revision = before ? before->revision : 1;
  if (!before) {
    ++result_.labels_new;
  } else if (before->text && (*before->text != text || before->number != number)) {
    ++revision;
    ++result_.labels_revised;
    result_.prints_superseded += before->live;
  }
  anything_ = true;
  labels_.begin_array().text(role).text(subject).text(name).text(number).text(text);
  labels_.integer(revision).integer(copies).end_array();
}

void PlanWriter::require_bag(const std::string& bag, const std::string& item, std::int64_t labelled) {
  Statement row = db_.prepare(
      "SELECT c.quantity FROM bag_contents c JOIN bags b ON b.id = c.bag JOIN items i ON i.id = c.item"
      " WHERE b.id = ? AND i.number = ?");
  if (!row.with(row_of_bag(bag), item).step())
    throw usage_error(fmt::format("the plan puts {} into bag {}, which does not hold it", item, bag),
                      "plan again from the ledger as it is now");
  if (const auto quantity = row.maybe_integer(0); quantity && *quantity < labelled)
    throw usage_error(fmt::format("the plan labels {} piece{} of {} in bag {}, which holds {}", labelled,
                                  labelled == 1 ? "" : "s", item, bag, *quantity),
                      "plan again from the ledger as it is now");
}

void PlanWriter::add_pieces(const std::string& item, const std::vector<const PlannedArtifactLabel*>& labels) {
  std::map<std::pair<std::string, std::string>, std::int64_t> wanted;  // (number, bag) → copies
  std::map<std::string, std::int64_t> per_bag;
  for (const PlannedArtifactLabel* label : labels) {
    if (label->number != item && db_.find_integer("SELECT 1 FROM items WHERE number = ?", label->number))
      throw usage_error(
          fmt::format("the plan gives a piece of {} the number {}, which is another item's", item, label->number),
          "number the pieces so that none has an item's number");
    for (const PlannedCopies& share : label->per_bag) {
      if (share.copies < 1) continue;
      wanted[{label->number, share.bag}] += share.copies;
      per_bag[share.bag] += share.copies;
    }
  }
  for (const auto& [bag, labelled] : per_bag)
    if (!bag.empty()) require_bag(bag, item, labelled);
  std::map<std::pair<std::string, std::string>, std::int64_t> stored;
  Statement rows = db_.prepare(
      "SELECT p.number, coalesce(b.code, ''), p.copies FROM planned_pieces p LEFT JOIN bags b ON b.id = p.bag"
      " WHERE p.item = ?");
  rows.with(item_id(item));
  while (rows.step()) stored[{rows.text(0), rows.text(1)}] = rows.integer(2);
  if (stored == wanted) return;
  anything_ = true;
  pieces_.begin_array().text(item).begin_array();
  for (const auto& [place, copies] : wanted)
    pieces_.begin_array().text(place.first).text(place.second).integer(copies).end_array();
  pieces_.end_array().end_array();
}

void PlanWriter::retire_others(const std::string& item, const std::set<std::string>& kept) {
  Statement rows = db_.prepare(
      "SELECT l.name, (SELECT count(*) FROM prints p WHERE p.label = l.id AND p.state IN ('generated', 'printed',"
      " 'applied')) FROM labels l WHERE l.subject = ? AND l.role = 'artifact' AND l.current = 1 AND l.copies > 0");
  rows.with(item);
  while (rows.step()) {
    if (kept.contains(rows.text(0))) continue;
    anything_ = true;
    result_.prints_superseded += rows.integer(1);
    retired_.begin_array().text("artifact").text(rows.view(0)).end_array();
  }
}

void PlanWriter::retire(std::string_view role, const std::string& name) {
  const std::optional<CurrentLabel> before = current(role, name);
  if (!before || before->copies == 0) return;
  anything_ = true;
  result_.prints_superseded += before->live;
  retired_.begin_array().text(role).text(name).end_array();
}

std::int64_t copies_of(const PlannedArtifactLabel& label) {
  std::int64_t copies = 0;
  for (const PlannedCopies& share : label.per_bag) copies += share.copies;
  return copies;
}

}  // namespace

PlanResult Ledger::store_plan(const Actor& actor, const LabelPlan& plan) {
  std::optional<Snapshot> snapshot{core_->db};
  PlanWriter writer{core_->db};
  std::map<std::string, std::vector<const PlannedArtifactLabel*>> by_item;
  for (const PlannedDecision& decision : plan.decisions) {
    writer.add(decision);
    by_item[decision.item];  // an item that is decided on and gets no label loses those it had
  }
  for (const PlannedArtifactLabel& label : plan.artifacts) {
    writer.add_label("artifact", label.item, label.number, label.number, label.text, copies_of(label));
    by_item[label.item].push_back(&label);
  }
  for (const auto& [item, labels] : by_item) {
    std::set<std::string> kept;
    for (const PlannedArtifactLabel* label : labels) kept.insert(label->number);
    writer.retire_others(item, kept);
    writer.add_pieces(item, labels);
  }
  for (const PlannedCarrierLabel& label : plan.carriers)
    if (label.role == LabelRole::removal_slip && label.sheets == 0)
      writer.retire(to_text(label.role), label.subject);
    else
      writer.add_label(to_text(label.role), label.subject, label.subject, label.number, label.text, label.sheets);
  snapshot.reset();
  if (writer.anything()) core_->write(actor, "planned", writer.payload());
  return writer.result();
}

}  // namespace sherdmark
