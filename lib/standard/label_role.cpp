#include "sherdmark/standard/label_role.h"

#include <array>

namespace sherdmark {
namespace {

struct RoleRow {
  LabelRole role;
  char letter;  // frozen: stands in printed link codes
  std::string_view text;
};

constexpr std::array<RoleRow, 9> k_roles{{
    {LabelRole::artifact, 'A', "artifact"},
    {LabelRole::bag, 'B', "bag"},
    {LabelRole::tag, 'T', "tag"},
    {LabelRole::box, 'X', "box"},
    {LabelRole::shelf, 'H', "shelf"},
    {LabelRole::field_tag, 'F', "field tag"},
    {LabelRole::divider, 'D', "divider"},
    {LabelRole::removal_slip, 'R', "removal slip"},
    {LabelRole::action, 'K', "action"},
}};

const RoleRow& row_of(LabelRole role) { return k_roles.at(static_cast<std::size_t>(role)); }

}  // namespace

char role_letter(LabelRole role) { return row_of(role).letter; }

std::optional<LabelRole> role_of_letter(char letter) {
  for (const RoleRow& row : k_roles)
    if (row.letter == letter) return row.role;
  return std::nullopt;
}

std::string_view to_text(LabelRole role) { return row_of(role).text; }

std::optional<LabelRole> parse_role(std::string_view text) {
  for (const RoleRow& row : k_roles)
    if (row.text == text) return row.role;
  return std::nullopt;
}

}  // namespace sherdmark
