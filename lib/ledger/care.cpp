#include "sherdmark/ledger/care.h"

#include <fmt/format.h>

#include <algorithm>

#include "ledger/core.h"
#include "ledger/item_rows.h"
#include "ledger/stale_labels.h"
#include "sherdmark/base/text.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

std::string need_item(const Ledger& ledger, Database& db, const std::string& number) {
  const auto parsed = ledger.standard().parse_number(number);
  const auto item = db.find_text("SELECT number FROM items WHERE number = ?", parsed ? parsed->number.text() : number);
  if (!item) throw unknown_thing("item", number, "check the number; a piece follows its item");
  return *item;
}

// Live prints of the labels named, applied or not.
std::vector<PrintRecord> live_prints_of(const Ledger& ledger, Database& db, const std::vector<LabelName>& labels,
                                        bool applied) {
  std::vector<PrintRecord> prints;
  Statement rows = db.prepare(
      "SELECT p.serial FROM prints p JOIN labels l ON l.id = p.label WHERE l.role = ? AND l.name = ? AND"
      " (p.state = 'applied') = ? AND p.state IN ('generated', 'printed', 'applied') ORDER BY p.id");
  std::vector<std::string> serials;
  for (const auto& [role, name] : labels) {
    rows.with(role, name, applied);
    while (rows.step()) serials.push_back(rows.text(0));
  }
  for (const std::string& serial : serials) prints.push_back(ledger.find_print(serial).value());
  return prints;
}

// Current labels that this item's restriction withdraws: its own, and those of the bags that hold it.
std::vector<LabelName> withdrawn_labels(Database& db, const std::string& item, const std::vector<std::string>& bags) {
  std::vector<LabelName> labels;
  Statement rows = db.prepare(
      "SELECT role, name FROM labels WHERE subject = ? AND (role = 'artifact') = ? AND role IN ('artifact', 'bag', "
      "'tag')"
      " AND current = 1 ORDER BY role, name");
  rows.with(item, true);
  while (rows.step()) labels.emplace_back(rows.text(0), rows.text(1));
  for (const std::string& bag : bags) {
    rows.with(bag, false);
    while (rows.step()) labels.emplace_back(rows.text(0), rows.text(1));
  }
  return labels;
}

void write_members(LedgerCore& core, const Actor& actor, const std::string& assembly,
                   const std::vector<std::string>& items, bool joined, const std::string& reason) {
  JsonWriter out;
  out.begin_object().key("assembly").text(assembly).key("items").begin_array();
  for (const std::string& item : items) out.text(item);
  out.end_array().key("joined").boolean(joined).key("reason").text(trim(reason)).end_object();
  core.write(actor, "assembled", out.take());
}

}  // namespace

LateRestriction restrict_item(Ledger& ledger, const Actor& actor, const std::string& item, const std::string& flag,
                              const std::string& reason) {
  LedgerCore& core = core_of(ledger);
  const std::vector<std::string>& care = ledger.standard().care_flags;
  if (!is_care_flag(ledger.standard(), flag))
    throw usage_error(fmt::format("\"{}\" is no care flag of the house standard", printable(flag)),
                      fmt::format("name one of: {}", join(care, ", ")));
  if (trim(reason).empty()) throw usage_error("a restriction needs a reason", "say who asked for it, and why");
  LateRestriction late;
  late.item = need_item(ledger, core.db, item);
  const StoredItem stored = find_stored_item(core.db, late.item).value();
  std::vector<std::string> flags = stored.row.flags;
  if (std::ranges::any_of(flags, [&](const std::string& one) { return same_flag(one, flag); }))
    throw usage_error(fmt::format("{} has that flag already", late.item), "nothing is to be done");
  flags.push_back(flag);
  late.bags = bags_holding(core.db, stored.id);
  const std::vector<LabelName> labels = withdrawn_labels(core.db, late.item, late.bags);
  late.forbidden = live_prints_of(ledger, core.db, labels, false);
  late.applied = live_prints_of(ledger, core.db, labels, true);
  JsonWriter out;
  out.begin_object().key("decision");
  out.text("Restricted care: no label, picture or draw without the consultation the law asks for.");
  out.key("flags").begin_array();
  for (const std::string& one : flags) out.text(one);
  out.end_array().key("item").text(late.item).key("reason").text(trim(reason)).key("void").begin_array();
  for (const PrintRecord& print : late.forbidden) out.text(print.serial);
  out.end_array().key("withdrawn");
  write_label_names(out, labels);
  out.end_object();
  core.write(actor, "restricted", out.take());
  for (PrintRecord& print : late.forbidden) print.state = PrintState::void_;
  return late;
}

void join_assembly(Ledger& ledger, const Actor& actor, const std::string& assembly,
                   const std::vector<std::string>& items, const std::string& reason) {
  LedgerCore& core = core_of(ledger);
  const std::string name{trim(assembly)};
  if (name.empty() || items.empty()) throw usage_error("an assembly needs a name and items", "name both");
  std::vector<std::string> joining;
  for (const std::string& item : items) {
    const std::string number = need_item(ledger, core.db, item);
    const auto now = core.db.find_text(
        "SELECT a.name FROM assembly_members m JOIN assemblies a ON a.id = m.assembly JOIN items i ON i.id = m.item"
        " WHERE i.number = ?",
        number);
    if (now && *now == name) continue;
    if (now)
      throw usage_error(fmt::format("{} belongs to the assembly {}", number, printable(*now)),
                        "take it out of that one first");
    if (std::ranges::find(joining, number) == joining.end()) joining.push_back(number);
  }
  if (joining.empty()) throw usage_error("all of them belong to it already", "nothing is to be done");
  write_members(core, actor, name, joining, true, reason);
}

void leave_assembly(Ledger& ledger, const Actor& actor, const std::string& assembly,
                    const std::vector<std::string>& items, const std::string& reason) {
  LedgerCore& core = core_of(ledger);
  const std::string name{trim(assembly)};
  if (trim(reason).empty()) throw usage_error("taking apart needs a reason", "say why it does not belong there");
  if (items.empty()) throw usage_error("nothing to take out", "name at least one item");
  const std::vector<std::string> members = ledger.assembly_members(name);
  std::vector<std::string> leaving;
  for (const std::string& item : items) {
    const std::string number = need_item(ledger, core.db, item);
    if (std::ranges::find(members, number) == members.end())
      throw usage_error(fmt::format("{} does not belong to the assembly {}", number, printable(name)),
                        "look it up with show");
    if (std::ranges::find(leaving, number) == leaving.end()) leaving.push_back(number);
  }
  write_members(core, actor, name, leaving, false, reason);
}

std::vector<AssemblyRecord> assemblies(const Ledger& ledger) {
  std::vector<AssemblyRecord> all;
  Statement rows = core_of(ledger).db.prepare("SELECT name FROM assemblies ORDER BY id");
  rows.with();
  while (rows.step()) all.push_back({rows.text(0), {}});
  for (AssemblyRecord& one : all) one.items = ledger.assembly_members(one.name);
  return all;
}

}  // namespace sherdmark
