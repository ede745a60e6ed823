#include "label_roles.h"

#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/field_blocks.h"

namespace sherdmark {

LabelRole parse_label_role(std::string_view text) {
  std::string name = to_lower_ascii(trim(text));
  std::replace(name.begin(), name.end(), '-', ' ');
  if (name == "shelves") name = "shelf";
  if (name == "boxes") name = "box";
  if (name == "action cards" || name == "action card") name = "action";
  if (name.ends_with('s')) name.pop_back();
  if (const auto role = parse_role(name)) return *role;
  const std::string problem =
      text.empty() ? "no labels were asked for." : fmt::format("there are no labels for \"{}\".", printable(text));
  throw usage_error(problem,
                    "Say --for artifacts, bags, tags, boxes, shelves, field-tags, removal-slips, dividers or "
                    "action-cards.");
}

bool is_card(LabelRole role) { return role == LabelRole::divider || role == LabelRole::action; }

std::vector<std::string> parse_only(const HouseStandard& standard, LabelRole role, std::string_view text) {
  if (trim(text).empty()) return {};
  if (role == LabelRole::field_tag) return parse_field_numbers(standard.field_numbers, text);
  std::vector<std::string> names;
  for (const std::string& name : split(text, ',')) {
    if (trim(name).empty())
      throw usage_error(fmt::format("\"{}\" names nothing between two commas.", printable(text)),
                        "Write the names with single commas between.");
    names.emplace_back(trim(name));
  }
  return names;
}

}  // namespace sherdmark
