// What a label is for. The letters are part of the link code and frozen (docs/formats/link-code.md).
#pragma once

#include <optional>
#include <string_view>

namespace sherdmark {

enum class LabelRole {
  artifact,      // A: glued on the object
  bag,           // B: outside of the bag
  tag,           // T: loose within the bag
  box,           // X
  shelf,         // H: a place
  field_tag,     // F: pre-printed in the field, stays in the bag
  divider,       // D: between sets when photographing
  removal_slip,  // R: stands where a thing was taken away
  action         // K: card scanned to give an order
};

[[nodiscard]] char role_letter(LabelRole role);
[[nodiscard]] std::optional<LabelRole> role_of_letter(char letter);
[[nodiscard]] std::string_view to_text(LabelRole role);  // "artifact", "bag", "tag", "box", "shelf", "field tag" …
[[nodiscard]] std::optional<LabelRole> parse_role(std::string_view text);

}  // namespace sherdmark
