// A folder that a camera fills, looked at again and again.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "session.h"

namespace sherdmark {

// Calls `act` with the pictures that have come to rest since the last time, until Ctrl-C, or until nothing new has come
// for `until_idle_s` seconds (0: for ever). Files still being written are left alone. Returns the largest of what `act`
// returned, or 0.
[[nodiscard]] int watch_folder(const Session& session, const std::string& folder, int until_idle_s,
                               const std::function<int(const std::vector<std::string>& files)>& act);

}  // namespace sherdmark
