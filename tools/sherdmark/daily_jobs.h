// What `sherdmark` offers when it is called without a command, at a terminal: the daily jobs, in plain questions.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "command.h"
#include "session.h"

namespace sherdmark {

// Asks on standard output, listens on standard input, says which command an answer amounts to and runs it through
// `run`; goes on until nothing is answered. Returns the exit code of the last job, 0 when there was none.
int offer_daily_jobs(const Session& session, const CommandLine& line,
                     const std::function<int(const std::vector<std::string>&)>& run);

}  // namespace sherdmark
