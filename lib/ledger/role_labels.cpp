#include "sherdmark/ledger/role_labels.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>

#include "ledger/bag_rows.h"
#include "ledger/carrier_requests.h"
#include "ledger/core.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/sheet/continued_labels.h"

namespace sherdmark {
namespace {

bool may_be_shown(const HouseStandard& standard, std::string_view column) {
  const ColumnClass klass = standard.column_class(column);
  return klass == ColumnClass::public_ || klass == ColumnClass::internal;
}

// "Store/Room 2/Shelf 1" with room to breathe.
std::string spaced_path(const std::string& path) { return join(split(path, '/'), " / "); }

// Takes the labels that were asked for; every name must be met.
class Chosen {
 public:
  explicit Chosen(const std::vector<std::string>& only) : only_(only) {}

  bool takes(std::initializer_list<std::string_view> names) {
    if (only_.empty()) return true;
    bool taken = false;
    for (const std::string& name : only_)
      for (const std::string_view own : names)
        if (name == own) {
          met_.insert(name);
          taken = true;
        }
    return taken;
  }
  void require_all(std::string_view what, const std::string& remedy) const {
    for (const std::string& name : only_)
      if (!met_.contains(name)) throw unknown_thing(what, name, remedy);
  }

 private:
  const std::vector<std::string>& only_;
  std::set<std::string> met_;
};

std::vector<PlannedCarrierLabel> plan_boxes(const Ledger& ledger, const std::vector<std::string>& only) {
  const HouseStandard& standard = ledger.standard();
  const bool named = may_be_shown(standard, "box");
  Chosen chosen{only};
  std::vector<PlannedCarrierLabel> labels;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT b.code, b.name, coalesce(p.path, '') FROM boxes b LEFT JOIN places p ON p.id = b.home ORDER BY b.id");
  rows.with();
  while (rows.step()) {
    const std::string code = rows.text(0);
    if (!chosen.takes({code, group_identity(code), rows.view(1)})) continue;
    std::vector<CarrierField> fields{{"bag", group_identity(code)}};
    if (may_be_shown(standard, "place") && !rows.view(2).empty()) fields.push_back({"home", spaced_path(rows.text(2))});
    fields.push_back({"repository", standard.repository});
    labels.push_back({LabelRole::box, code, named ? rows.text(1) : code, write_carrier_text(fields), 1});
  }
  chosen.require_all("box", "name it as the catalog does, or by its id");
  return labels;
}

std::vector<PlannedCarrierLabel> plan_shelves(const Ledger& ledger, const std::vector<std::string>& only) {
  const HouseStandard& standard = ledger.standard();
  const bool named = may_be_shown(standard, "place");
  Chosen chosen{only};
  std::vector<PlannedCarrierLabel> labels;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT p.code, p.path FROM places p WHERE NOT EXISTS(SELECT 1 FROM places c WHERE c.parent = p.id)"
      " ORDER BY p.path");
  rows.with();
  while (rows.step()) {
    const std::string code = rows.text(0), path = rows.text(1);
    if (!chosen.takes({code, group_identity(code), path})) continue;
    const std::size_t slash = path.rfind('/');
    std::vector<CarrierField> fields;
    fields.push_back(
        {"bag", !named || slash == std::string::npos ? group_identity(code) : spaced_path(path.substr(0, slash))});
    fields.push_back({"repository", standard.repository});
    labels.push_back({LabelRole::shelf, code, named ? path : code, write_carrier_text(fields), 1});
  }
  chosen.require_all("shelf",
                     "name its whole path, as \"Room 2/Range A/Shelf 3\"; places that hold others get no label");
  return labels;
}

std::vector<PlannedCarrierLabel> plan_field_tags(const Ledger& ledger, const std::vector<std::string>& only) {
  const HouseStandard& standard = ledger.standard();
  std::set<std::string> tagged;
  for (const LabelRecord& label : ledger.labels(LabelRole::field_tag)) tagged.insert(label.subject);
  Chosen chosen{only};
  std::vector<PlannedCarrierLabel> labels;
  for (const FieldNumberRecord& number : ledger.field_numbers()) {
    const bool bound = number.state == FieldState::bound && tagged.contains(number.number);
    if (number.state != FieldState::issued && !bound) continue;
    if (!chosen.takes({number.number})) continue;
    std::vector<CarrierField> fields{{"bag", number.crew}};
    for (const std::string& name : standard.field_tag.fields)
      if (name != "number" && name != "bag" && name != "repository") fields.push_back({name, ""});
    fields.push_back({"repository", standard.repository});
    labels.push_back({LabelRole::field_tag, number.number, number.number, write_carrier_text(fields), 1});
  }
  chosen.require_all("issued field number", "issue it first: sherdmark reserve issue NUMBERS");
  return labels;
}

// The number on a bag's own label, which a slip repeats; its id while it has none.
std::string number_of_bag(const std::vector<LabelRecord>& bag_labels, const std::string& bag) {
  const auto label = std::ranges::find(bag_labels, bag, &LabelRecord::subject);
  return label == bag_labels.end() ? bag : label->number;
}

std::vector<PlannedCarrierLabel> plan_removal_slips(const Ledger& ledger, const std::vector<std::string>& only) {
  const HouseStandard& standard = ledger.standard();
  const std::vector<LabelRecord> bag_labels = ledger.labels(LabelRole::bag);
  Chosen chosen{only};
  std::vector<PlannedCarrierLabel> labels;
  for (const LoanRecord& loan : ledger.loans()) {
    if (!chosen.takes({loan.id, group_identity(loan.id)})) continue;
    for (const std::string& id : loan.out) {
      const auto bag = ledger.find_bag(id);
      if (!bag || is_withheld(ledger, id)) continue;
      std::vector<CarrierField> fields{
          {"bag", group_identity(id)}, {"lent_to", loan.borrower}, {"lent_on", loan.lent.substr(0, 10)}};
      if (!loan.until.empty()) fields.push_back({"due_back", loan.until});
      std::string home = may_be_shown(standard, "place") ? spaced_path(bag->home_place) : std::string{};
      if (may_be_shown(standard, "box") && !bag->box.empty()) home += (home.empty() ? "" : ", ") + bag->box;
      if (!home.empty()) fields.push_back({"home", home});
      fields.push_back({"taken_by", ""});
      fields.push_back({"put_back", ""});
      fields.push_back({"repository", standard.repository});
      labels.push_back({LabelRole::removal_slip, id, number_of_bag(bag_labels, id), write_carrier_text(fields), 1});
    }
  }
  chosen.require_all("loan", "list the loans to see their names");
  return labels;
}

// Labels with long texts may need several sheets: what is due is composed once, and the plan told.
void settle_sheets(Ledger& ledger, const Actor& actor, LabelRole role) {
  constexpr std::size_t k_surely_fits = 100;  // characters, captions included
  LabelPlan plan;
  const HouseStandard standard = ledger.standard();
  const LabelContinuation continuation{standard};
  for (const LabelRecord& label : ledger.labels(role)) {
    if (label.due() == 0 || label.text.size() <= k_surely_fits) continue;
    CarrierLabelRequest request;
    request.role = role;
    request.bag = label.subject;
    request.number = label.number;
    request.shown = shown_id(role, label.subject, label.number);
    request.serial = std::string(8, '0');
    request.revision = label.revision;
    PrintRecord print;  // of the length a real one has
    print.serial = request.serial;
    print.role = role;
    print.subject = label.subject;
    print.number = label.number;
    print.revision = label.revision;
    request.code_text = carrier_code(ledger, print);
    request.fields = read_carrier_text(label.text);
    const auto sheets = static_cast<int>(continuation.split(request).size());
    if (sheets != label.copies) plan.carriers.push_back({role, label.subject, label.number, label.text, sheets});
  }
  if (!plan.carriers.empty()) (void)ledger.store_plan(actor, plan);
}

std::vector<PrintOrder> orders_of(const Ledger& ledger, LabelRole role, const std::set<std::string>* subjects,
                                  int spares) {
  std::vector<PrintOrder> orders;
  for (const LabelRecord& label : ledger.labels(role)) {
    if (is_retired_bag(core_of(ledger).db, role, label.subject)) continue;
    if (label.due() == 0 || (subjects != nullptr && !subjects->contains(label.subject))) continue;
    const std::int64_t due = role == LabelRole::artifact ? label.due() : 1;
    orders.push_back({role, label.subject, label.number, due + spares});
  }
  return orders;
}

// Labels that exist and are not wanted any more: a number that was lost, a loan that came back. They are planned with
// no copy, so that they are never due.
void drop_unwanted(const Ledger& ledger, LabelRole role, const std::vector<PlannedCarrierLabel>& wanted,
                   LabelPlan& plan) {
  std::set<std::string_view> subjects;
  for (const PlannedCarrierLabel& label : wanted) subjects.insert(label.subject);
  for (const LabelRecord& label : ledger.labels(role))
    if (label.copies > 0 && !subjects.contains(label.subject))
      plan.carriers.push_back({role, label.subject, label.number, label.text, 0});
}

}  // namespace

bool is_planned_by_role(LabelRole role) {
  return role == LabelRole::box || role == LabelRole::shelf || role == LabelRole::field_tag ||
         role == LabelRole::removal_slip;
}

std::vector<PlannedCarrierLabel> plan_role(const Ledger& ledger, LabelRole role, const std::vector<std::string>& only) {
  switch (role) {
    case LabelRole::box:
      return plan_boxes(ledger, only);
    case LabelRole::shelf:
      return plan_shelves(ledger, only);
    case LabelRole::field_tag:
      return plan_field_tags(ledger, only);
    case LabelRole::removal_slip:
      return plan_removal_slips(ledger, only);
    default:
      throw internal_error(fmt::format("{} labels are not planned by role.", to_text(role)));
  }
}

std::string begin_role_run(Ledger& ledger, const Actor& actor, LabelRole role, const RunChoice& choice) {
  if (!is_planned_by_role(role)) {
    if (!choice.only.empty())
      throw usage_error(fmt::format("{} labels are made for everything that is due", to_text(role)),
                        "leave --only out");
    if (role != LabelRole::artifact) settle_sheets(ledger, actor, role);
    if (choice.spares == 0) return ledger.begin_run(actor, role);
  }
  std::vector<PrintOrder> orders;
  if (is_planned_by_role(role)) {
    LabelPlan plan;
    plan.carriers = plan_role(ledger, role, choice.only);
    std::set<std::string> subjects;
    for (const PlannedCarrierLabel& label : plan.carriers) subjects.insert(label.subject);
    drop_unwanted(ledger, role, choice.only.empty() ? plan.carriers : plan_role(ledger, role, {}), plan);
    (void)ledger.store_plan(actor, plan);
    orders = orders_of(ledger, role, &subjects, choice.spares);
  } else {
    orders = orders_of(ledger, role, nullptr, choice.spares);
  }
  if (orders.empty())
    throw usage_error(
        fmt::format("no {} label is due", to_text(role)),
        role == LabelRole::field_tag
            ? "issue reserved numbers first (sherdmark reserve issue NUMBERS); of those that are issued all "
              "tags have been made; ask for a reprint of a run, or revise a label"
            : "all that there are have been made; ask for a reprint of a run, or revise a label");
  return ledger.begin_run(actor, role, orders);
}

void refresh_role_plans(Ledger& ledger, const Actor& actor) {
  LabelPlan plan;
  for (const LabelRole role : {LabelRole::box, LabelRole::shelf, LabelRole::field_tag, LabelRole::removal_slip}) {
    std::set<std::string> made;
    for (const LabelRecord& label : ledger.labels(role)) made.insert(label.subject);
    const bool all = role == LabelRole::removal_slip;  // a bag that left is due a slip at once
    if (made.empty() && !all) continue;
    const std::vector<PlannedCarrierLabel> wanted = plan_role(ledger, role, {});
    for (const PlannedCarrierLabel& label : wanted)
      if (all || made.contains(label.subject)) plan.carriers.push_back(label);
    drop_unwanted(ledger, role, wanted, plan);
  }
  if (!plan.carriers.empty()) (void)ledger.store_plan(actor, plan);
}

RunAccount account_of_run(const Ledger& ledger, const std::string& run) {
  RunAccount account;
  std::unordered_map<std::string, std::int64_t> beyond;  // label → live prints more than planned
  const auto record = ledger.find_run(run);
  if (!record) throw unknown_thing("run", run, "the run stands at the head of every page it printed");
  const auto key = [](const std::string& subject, const std::string& number) { return subject + '\n' + number; };
  for (const LabelRecord& label : ledger.labels(record->role))
    beyond[key(label.subject, label.number)] = label.live - label.copies;
  const std::vector<RunPrint> prints = ledger.prints_of_run(run);
  for (auto one = prints.rbegin(); one != prints.rend(); ++one) {
    switch (one->print.state) {
      case PrintState::generated:
        ++account.generated;
        break;
      case PrintState::printed:
        ++account.printed;
        break;
      case PrintState::applied:
        ++account.applied;
        continue;
      case PrintState::superseded:
        ++account.superseded;
        continue;
      case PrintState::void_:
        ++account.voided;
        continue;
      case PrintState::spoiled:
        ++account.spoiled;
        continue;
    }
    std::int64_t& more = beyond[key(one->print.subject, one->print.number)];
    if (more <= 0) continue;
    --more;
    account.spare_serials.push_back(one->print.serial);
  }
  return account;
}

}  // namespace sherdmark
