// House standards that several tests of this folder use.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

#include "sherdmark/base/files.h"
#include "sherdmark/standard/house_standard.h"
#include "support/test_support.h"

namespace sherdmark {

inline std::string sample_text(const std::string& name) {
  return read_text(real_file_system(), testing::sample("standards/" + name));
}

inline HouseStandard sample_standard(const std::string& name) { return parse_house_standard(sample_text(name), name); }

// The text with the first occurrence replaced; the occurrence must be there.
inline std::string replaced(std::string text, std::string_view find, std::string_view replacement) {
  const std::size_t at = text.find(find);
  if (at == std::string::npos) throw std::runtime_error("not in the small standard: " + std::string{find});
  return text.replace(at, find.size(), replacement);
}

// As little as a standard can say. Line numbers matter to the tests.
inline constexpr const char* k_small_standard = R"([standard]
name = "Small"
version = "1"
repository = "Invented"
default_scheme = "finds"
date_order = "ymd"

[[scheme]]
name = "finds"
[[scheme.part]]
name = "item"
kind = "integer"
level = "item"

[artifact_paper]
name = "A4"
width_mm = 210 # artifact
height_mm = 297
material = "acid-free paper"
[carrier_paper]
name = "A4"
width_mm = 210
height_mm = 297
material = "acid-free card"

[printer]
dpi = 600

[artifact_label]
font = "Hack"
size_pt = 5
[carrier_label]
font = "DejaVu Sans"
[bag_label]
height_mm = 60
width_mm = 100
number_pt = 24
module_mm = 0.42
fields = ["number", "bag"]
[tag]
fields = ["number"]
[column_classes]
depth_top_cm = "location-restricted"


[[rule]]
name = "first"
label = "direct"
reason = "Because."
[agreement]
bag = true
[columns]
"No." = "number"
)";

}  // namespace sherdmark
