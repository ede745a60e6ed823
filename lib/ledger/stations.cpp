// Stations: the computers that write. A ledger that came back from a copy goes on as a new one.
#include "ledger/stations.h"

#include "ledger/core.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/ledger/restore.h"
#include "sherdmark/ledger/stations.h"

namespace sherdmark {
namespace {

// A computer that came back from a backup has several; the newest counts.
constexpr std::string_view k_station_of =
    "SELECT s.code FROM stations s JOIN events e ON e.station = s.code AND e.sequence = 1 WHERE s.machine = ?"
    " ORDER BY e.position DESC LIMIT 1";

std::string add_station(LedgerCore& core, const std::string& mark, const std::string& person) {
  core.require_writable();
  std::string code = make_station_code(*core.random);
  while (core.db.find_text("SELECT code FROM stations WHERE code = ?", code)) code = make_station_code(*core.random);
  JsonWriter payload;
  payload.begin_object().key("machine").text(mark).end_object();
  core.write({person, code}, "station", payload.take());
  return code;
}

}  // namespace

std::string machine_mark(const std::string& collection_key, const std::string& machine) {
  return sha256_hex(collection_key + "/" + machine);
}

std::string Ledger::station_here(const std::string& person) {
  if (std::string code = known_station(*this, core_->access.machine); !code.empty()) return code;
  return add_station(*core_, machine_mark(collection_key(), core_->access.machine), person);
}

std::string known_station(const Ledger& ledger, const std::string& machine) {
  return core_of(ledger).db.find_text(k_station_of, machine_mark(ledger.collection_key(), machine)).value_or("");
}

std::string register_new_station(Ledger& ledger, const std::string& person) {
  LedgerCore& core = core_of(ledger);
  return add_station(core, machine_mark(ledger.collection_key(), core.access.machine), person);
}

}  // namespace sherdmark
