#include "ledger/stale_labels.h"

#include <algorithm>

namespace sherdmark {
namespace {

void add_names(Statement& rows, std::vector<LabelName>& labels) {
  while (rows.step()) labels.emplace_back(rows.text(0), rows.text(1));
}

}  // namespace

std::vector<LabelName> carrier_labels_of(Database& db, const std::vector<std::string>& bags) {
  std::vector<LabelName> labels;
  Statement rows = db.prepare(
      "SELECT role, name FROM labels WHERE subject = ? AND role IN ('bag', 'tag') AND current = 1 AND copies > 0 AND"
      " text IS NOT NULL ORDER BY role");
  for (const std::string& bag : bags) add_names(rows.with(bag), labels);
  return labels;
}

std::vector<std::string> bags_of_item_alone(Database& db, const std::string& item) {
  std::vector<std::string> bags;
  Statement rows = db.prepare(
      "SELECT b.code FROM bag_contents c JOIN bags b ON b.id = c.bag WHERE c.item = (SELECT id FROM items WHERE number "
      "= ?) AND b.state = 'active' AND (SELECT count(*) FROM bag_contents o WHERE o.bag = c.bag) = 1 ORDER BY b.id");
  rows.with(item);
  while (rows.step()) bags.push_back(rows.text(0));
  return bags;
}

std::vector<std::string> stale_when_counted(Database& db, const std::string& bag, const std::string& item) {
  std::vector<std::string> stale = bags_of_item_alone(db, item);
  if (std::ranges::find(stale, bag) == stale.end()) stale.push_back(bag);
  return stale;
}

std::vector<LabelName> printed_labels_of(Database& db, const std::vector<std::string>& subjects) {
  std::vector<LabelName> labels;
  Statement rows = db.prepare(
      "SELECT l.role, l.name FROM labels l WHERE l.subject = ? AND l.current = 1 AND EXISTS(SELECT 1 FROM prints p "
      "WHERE"
      " p.label = l.id AND p.state IN ('generated', 'printed', 'applied')) ORDER BY l.role, l.name");
  for (const std::string& subject : subjects) add_names(rows.with(subject), labels);
  return labels;
}

void write_label_names(JsonWriter& out, const std::vector<LabelName>& labels) {
  out.begin_array();
  for (const auto& [role, name] : labels) out.begin_array().text(role).text(name).end_array();
  out.end_array();
}

}  // namespace sherdmark
