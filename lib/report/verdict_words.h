// What several reports say of a verdict. Of this layer alone.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/verify/judge.h"

namespace sherdmark {

// The bags that the set's bag labels name; where there is none, those of its tags. In the order they were read.
[[nodiscard]] std::vector<std::string> bags_named(const SetVerdict& verdict);

}  // namespace sherdmark
