#pragma once

#include <span>

#include "report/json_value.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

// A list of readings, with the keys of `check --json`.
[[nodiscard]] JsonValue readings_json(std::span<const Reading> readings);

}  // namespace sherdmark
