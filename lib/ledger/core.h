// What a Ledger is made of, shared by the files of this layer.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "ledger/json_text.h"
#include "ledger/sqlite.h"
#include "ledger/writer_lock.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct LedgerCore {
  LedgerCore(const std::filesystem::path& ledger_file, Database::Mode mode) : db(ledger_file, mode) {}

  mutable Database db;  // statements are prepared and kept even when only reading
  HouseStandard standard;
  Clock* clock = nullptr;
  RandomSource* random = nullptr;
  LedgerAccess access;
  std::vector<std::string> notices;
  std::unique_ptr<WriterLock> lock;  // absent when reading; released before the database closes

  [[nodiscard]] bool read_only() const { return lock == nullptr; }
  void require_writable() const;  // environment_error when reading
  // One event in one transaction. Throws usage_error for an unknown person or station.
  // `before_commit` may look at the result and throw.
  void write(const Actor& actor, std::string_view kind, std::string payload,
             const std::function<void(Database&)>& before_commit = {});
  // All that `acts` writes, in one transaction: all of it or nothing.
  void together(const std::function<void()>& acts);
};

// Appends and applies one event inside the caller's transaction; returns it.
Event append_event(Database& database, const Actor& actor, std::string_view kind, std::string payload, TimePoint time);

// Throws environment_error "there is no such ledger".
void require_ledger_file(const std::filesystem::path& file);
// Checks application_id and returns user_version. Throws data_error "this is not a ledger".
[[nodiscard]] std::int64_t schema_version_of(Database& database);
void set_connection_rules(Database& database);
void load_standard(LedgerCore& core);

// Canonical JSON of a standard as the "founded" and "standard" events carry it.
void write_standard(JsonWriter& out, const HouseStandard& standard);

[[nodiscard]] Error unknown_thing(std::string_view what, std::string_view name, std::string remedy);
// "station:sequence:hash" of every station: changes with every event.
[[nodiscard]] std::string state_of(Database& database);
[[nodiscard]] std::vector<StationHead> station_heads(Database& database);

}  // namespace sherdmark
