#include "sheet/role_samples.h"

#include <fmt/format.h>

#include "sheet/sheet_samples.h"
#include "sherdmark/code/cards.h"

namespace sherdmark::testing {
namespace {

CarrierLabelRequest labelled(LabelRole role, const std::string& subject, const std::string& printed_number,
                             const std::string& large, std::vector<CarrierField> fields, int ordinal) {
  CarrierLabelRequest request;
  request.role = role;
  request.bag = subject;
  request.number = large;
  request.serial = fmt::format("7KM{:05}", ordinal);
  request.fields = std::move(fields);
  request.code_text = write_link_code({.collection_key = "K7QD",
                                       .role = role,
                                       .subject = subject,
                                       .number = printed_number,
                                       .number_is_opaque = false,
                                       .ordinal = 1,
                                       .serial = request.serial,
                                       .revision = 1});
  return request;
}

CarrierLabelRequest card(const HouseStandard& standard, LabelRole role, const std::string& large,
                         const std::string& says, std::string code) {
  CarrierLabelRequest request;
  request.role = role;
  request.number = large;
  request.serial = k_card_serial;
  request.code_text = std::move(code);
  request.fields = {{"says", says}, {"repository", standard.repository}};
  return request;
}

CarrierLabelRequest role_sample(const HouseStandard& standard, LabelRole role, int i) {
  const CarrierField repository{"repository", standard.repository};
  switch (role) {
    case LabelRole::box:
      return labelled(
          role, fmt::format("X7KM{:05}", i), fmt::format("Box {}", i), fmt::format("Box {}", i),
          {{"bag", fmt::format("X-7KM-{:05}", i)}, {"home", "Store / Room 2 / Range A / Shelf 1"}, repository}, i);
    case LabelRole::shelf:
      return labelled(role, fmt::format("H7KM{:05}", i), fmt::format("Store/Room 2/Range A/Shelf {}", i),
                      fmt::format("Shelf {}", i), {{"bag", "Store / Room 2 / Range A"}, repository}, i);
    case LabelRole::field_tag: {
      std::vector<CarrierField> fields{{"bag", "North trench"}};
      for (const std::string& name : standard.field_tag.fields)
        if (name != "number") fields.push_back({name, ""});
      fields.push_back(repository);
      const std::string number = standard.field_numbers.number(100 + i);
      return labelled(role, "", number, number, fields, i);
    }
    case LabelRole::removal_slip: {
      const CarrierLabelRequest bag = sample_carriers(standard, LabelRole::bag, i).back();
      return labelled(role, fmt::format("B7KM{:05}", i), bag.number, bag.number,
                      {{"bag", fmt::format("B-7KM-{:05}", i)},
                       {"lent_to", "Museum of the Invented Coast"},
                       {"lent_on", "2031-05-04"},
                       {"due_back", "2031-11-30"},
                       {"home", "Store / Room 2 / Range A / Shelf 1, Box 3"},
                       {"taken_by", ""},
                       {"put_back", ""},
                       repository},
                      i);
    }
    case LabelRole::divider:
      return card(standard, role, fmt::format("Set {}", i),
                  "Photograph this card alone; the pictures after it are one set.",
                  write_divider("K7QD", std::to_string(i)));
    default:
      return card(standard, LabelRole::action, "SET-UP",
                  "Scan this first. It shows whether the scanner sends every character as it should.",
                  write_action_card("K7QD", ScanAction::setup));
  }
}

}  // namespace

const std::vector<LabelRole>& carrier_roles() {
  static const std::vector<LabelRole> k_roles{LabelRole::bag,     LabelRole::tag,       LabelRole::box,
                                              LabelRole::shelf,   LabelRole::field_tag, LabelRole::removal_slip,
                                              LabelRole::divider, LabelRole::action};
  return k_roles;
}

std::vector<CarrierLabelRequest> role_samples(const HouseStandard& standard, LabelRole role, int count) {
  if (role == LabelRole::bag || role == LabelRole::tag) return sample_carriers(standard, role, count);
  std::vector<CarrierLabelRequest> labels;
  for (int i = 1; i <= count; ++i) labels.push_back(role_sample(standard, role, i));
  return labels;
}

}  // namespace sherdmark::testing
