#include "sherdmark/ledger/stored_labels.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "ledger/carrier_fields.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/ledger/role_labels.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

// Of labels that are planned when they are made, what they show of places and boxes stands in other fields for each
// role: they may be made again as long as a plan of today would say the same.
bool says_what_a_plan_would(const std::vector<PlannedCarrierLabel>& planned, const LabelRecord& label) {
  const auto today = std::ranges::find(planned, label.subject, &PlannedCarrierLabel::subject);
  return today != planned.end() && today->number == label.number && today->text == label.text;
}

bool bag_label_may_be_shown(const HouseStandard& standard, const LabelRecord& label) {
  if (hides_sites(standard) && label.number != label.subject) return false;
  return std::ranges::none_of(read_carrier_text(label.text),
                              [&](const CarrierField& field) { return shows_restricted(standard, field.name); });
}

}  // namespace

std::string text_that_may_be_shown(const HouseStandard& standard, const LabelRecord& label) {
  if (label.role != LabelRole::bag && label.role != LabelRole::tag) return label.text;
  std::vector<CarrierField> fields = read_carrier_text(label.text);
  std::erase_if(fields, [&](const CarrierField& field) { return shows_restricted(standard, field.name); });
  return write_carrier_text(fields);
}

void require_labels_may_be_shown(const Ledger& ledger, LabelRole role, const std::set<std::string>& subjects) {
  const HouseStandard& standard = ledger.standard();
  const bool hides_places = is_restricted(standard, "place") || is_restricted(standard, "box");
  std::vector<PlannedCarrierLabel> planned;
  if (is_planned_by_role(role)) {
    if (!hides_places || role == LabelRole::field_tag) return;
    planned = plan_role(ledger, role, {});
  }
  ledger.for_each_label(role, [&](const LabelRecord& label) {
    if (!subjects.contains(label.subject)) return;
    const bool may_be_shown =
        is_planned_by_role(role) ? says_what_a_plan_would(planned, label) : bag_label_may_be_shown(standard, label);
    if (may_be_shown) return;
    throw usage_error(fmt::format("the {} label of {} was planned before the house standard restricted what it shows",
                                  to_text(role), group_identity(label.subject)),
                      "plan again, then make the labels that are due");
  });
}

}  // namespace sherdmark
