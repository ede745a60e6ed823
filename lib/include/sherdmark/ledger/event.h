// Events: the lines of history that records are the sum of. Format and hashing: docs/formats/ledger.md, "Events".
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace sherdmark {

// Who writes, and on which computer. `person` must be in the register; `station` is a code of this ledger.
struct Actor {
  std::string person;
  std::string station;
};

struct Event {
  std::string station;
  std::int64_t sequence = 0;  // from 1 on its station, no gaps; decides the order, whatever the clock said
  std::string time;           // format_time of the station's clock when it was written
  std::string person;
  std::string kind;      // "intake", "print run", "printed" …; the closed list is in docs/formats/ledger.md
  std::string payload;   // canonical JSON
  std::string previous;  // hash of the event before on this station; 64 zeros for the first
  std::string hash;      // event_hash of all the above
};

// Lower-case hex SHA-256 over the byte string of docs/formats/ledger.md.
[[nodiscard]] std::string event_hash(const Event& event);

// An event in words, for people. Holds no restricted value.
struct HistoryLine {
  std::string station;
  std::int64_t sequence = 0;
  std::string time;
  std::string person;
  std::string kind;
  std::string text;
};

struct StationHead {
  std::string station;
  std::int64_t sequence = 0;
  std::string hash;
  friend bool operator==(const StationHead&, const StationHead&) = default;
};

// What `Ledger::verify` found. Empty `problems` means: chain whole, records are the sum of the events, foreign keys and
// the file's own integrity hold.
struct LedgerVerification {
  std::int64_t events = 0;
  std::vector<StationHead> heads;
  std::vector<std::string> problems;
  [[nodiscard]] bool good() const { return problems.empty(); }
};

}  // namespace sherdmark
