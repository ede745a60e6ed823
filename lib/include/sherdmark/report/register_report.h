// The register of persons and the house standard in force, as text and JSON.
#pragma once

#include <span>
#include <string>

#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

[[nodiscard]] std::string persons_text(std::span<const std::string> persons);
[[nodiscard]] std::string persons_json(std::span<const std::string> persons);
[[nodiscard]] std::string standard_text(const HouseStandard& standard);
[[nodiscard]] std::string standard_json(const HouseStandard& standard);

}  // namespace sherdmark
