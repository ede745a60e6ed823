// A verdict as payloads and rows have it. Private to the layer.
#pragma once

#include "ledger/json_text.h"
#include "ledger/sqlite.h"
#include "sherdmark/ledger/labels.h"

namespace sherdmark {

// One object of the list "checks" of an event "checked", and the "outcome" of "reviewed".
void write_check(JsonWriter& out, const CheckRecord& check);
[[nodiscard]] CheckRecord read_check(Database& db, std::int64_t id);

// What the events say of verdicts beyond their rows: place, count and pictures. One event is walked once for the
// verdicts in it that are asked for one after another.
class KeptChecks {
 public:
  explicit KeptChecks(Database& db) : db_(db) {}
  void complete(std::int64_t id, CheckRecord& check);
  [[nodiscard]] std::vector<CheckPicture> pictures_of(std::int64_t id);

 private:
  JsonView find(std::int64_t id);

  Database& db_;
  std::int64_t position_ = -1;
  std::int64_t first_id_ = 0;
  std::string payload_;
  std::vector<JsonView> checks_;
};

}  // namespace sherdmark
