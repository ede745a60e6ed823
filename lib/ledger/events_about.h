// Which events concern a bag, item, lot, field number, box, run or print: what its history tells, and who had a hand in
// it.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace sherdmark {

class Database;

// Positions, ascending, of every event that names the subject, made it, or concerns a print of one of its labels.
[[nodiscard]] std::vector<std::int64_t> events_about(Database& database, const std::string& subject);

}  // namespace sherdmark
