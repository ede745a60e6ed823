#include "sherdmark/ledger/box_lists.h"

#include <fmt/format.h>

#include "ledger/core.h"
#include "ledger/identity_rows.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/inventory.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

// "bowl, ceramic", as far as it may be shown.
std::string object_words(const HouseStandard& standard, const std::string& object, const std::string& material) {
  const bool says_material = !material.empty() && !is_restricted(standard, "material");
  return (is_restricted(standard, "object") ? "(restricted)" : object) + (says_material ? ", " + material : "");
}

// Items of one bag into its line.
void read_contents(const Ledger& ledger, const std::string& bag, BoxListLine& line) {
  Database& db = core_of(ledger).db;
  constexpr std::size_t k_most_objects = 4;
  Statement rows = db.prepare(
      "SELECT i.number, i.object, i.material, c.quantity, i.weight_g,"
      " (SELECT count(*) FROM bag_contents o WHERE o.item = i.id) FROM bags b JOIN bag_contents c ON c.bag = b.id"
      " JOIN items i ON i.id = c.item WHERE b.id = ? ORDER BY i.id");
  std::vector<std::string> objects;
  std::size_t items = 0;
  bool all_counted = true;
  bool all_weighed = true;
  std::int64_t pieces = 0;
  double weight = 0;
  rows.with(row_of_bag(bag));
  while (rows.step()) {
    ++items;
    all_counted = all_counted && !rows.is_null(3);
    pieces += rows.maybe_integer(3).value_or(0);
    const bool alone = rows.integer(5) == 1;
    all_weighed = all_weighed && !rows.is_null(4) && alone;
    weight += rows.maybe_decimal(4).value_or(0);
    if (objects.size() < k_most_objects) objects.push_back(object_words(ledger.standard(), rows.text(1), rows.text(2)));
  }
  if (items > objects.size()) objects.push_back(fmt::format("{} more", items - objects.size()));
  line.objects = join(objects, "; ");
  if (items > 0 && all_counted) line.pieces = pieces;
  if (items > 0 && all_weighed) line.weight_g = weight;
}

std::string fingerprint(const BoxList& list) {
  std::string text = list.box + "\n";
  for (const BoxListLine& line : list.lines)
    text += fmt::format("{}\t{}\t{}\t{}\t{}\t{}\n", line.bag, line.number, line.objects,
                        line.pieces ? std::to_string(*line.pieces) : "-",
                        line.lent   ? "lent"
                        : line.away ? "away"
                                    : "here",
                        line.restricted ? "restricted" : "open");
  return sha256_hex(text);
}

}  // namespace

std::vector<std::string> box_names(const Ledger& ledger) {
  std::vector<std::string> names;
  Statement rows = core_of(ledger).db.prepare("SELECT name FROM boxes ORDER BY length(name), name");
  rows.with();
  while (rows.step()) names.push_back(rows.text(0));
  return names;
}

BoxList box_list(const Ledger& ledger, const std::string& box) {
  Database& db = core_of(ledger).db;
  BoxList list;
  Statement row = db.prepare(
      "SELECT x.name, x.code, h.path, n.path FROM boxes x LEFT JOIN places h ON h.id = x.home LEFT JOIN places n"
      " ON n.id = x.now WHERE x.name = ?1 OR x.code = ?2");
  if (!row.with(box, parse_identity(IdentityKind::box, box).value_or("")).step())
    throw unknown_thing("box", box, "write its name as it stands on the box");
  list.box = row.text(0);
  list.code = row.text(1);
  list.home = row.text(2);
  list.now = row.text(3);
  row.reset();
  std::vector<std::string> bags;
  Statement rows = db.prepare(
      "SELECT b.code, coalesce(b.now <> x.now, 0) FROM bags b JOIN boxes x ON x.id = b.box"
      " WHERE x.name = ? AND b.state = 'active' ORDER BY b.id");
  rows.with(list.box);
  std::vector<bool> away;
  while (rows.step()) {
    bags.push_back(rows.text(0));
    away.push_back(rows.integer(1) != 0);
  }
  for (std::size_t i = 0; i < bags.size(); ++i) {
    const std::string& bag = bags[i];
    BoxListLine line;
    line.bag = bag;
    line.away = away[i];
    line.lent = ledger.find_bag(bag).value().lent;
    line.restricted = is_withheld(ledger, bag);
    if (!line.restricted) {
      line.number = bag_words(ledger, bag, {}).number;
      read_contents(ledger, bag, line);
    }
    if (line.weight_g) {
      ++list.weighed;
      list.weight_g += *line.weight_g;
    }
    list.lines.push_back(std::move(line));
  }
  list.contents = fingerprint(list);
  Statement last = db.prepare(
      "SELECT l.revision, l.contents, l.time, l.person FROM box_lists l JOIN boxes x ON x.id = l.box WHERE x.name = ?"
      " ORDER BY l.revision DESC LIMIT 1");
  if (last.with(list.box).step()) {
    list.revision = static_cast<int>(last.integer(0));
    list.current = last.view(1) == list.contents;
    list.printed = last.text(2);
    list.printed_by = last.text(3);
  }
  return list;
}

int record_box_list(Ledger& ledger, const Actor& actor, const BoxList& list) {
  if (list.current) return list.revision;
  const int revision = list.revision + 1;
  JsonWriter out;
  out.begin_object().key("box").text(list.box).key("contents").text(list.contents);
  out.key("revision").integer(revision).end_object();
  core_of(ledger).write(actor, "box list", out.take());
  return revision;
}

}  // namespace sherdmark
