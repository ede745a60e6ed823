// Handheld scanning in the ledger: sessions, every scan as it was heard, and what is known of a station's scanner. A
// session is what its scans add up to (verify/scan_session.h), so nothing else is kept, and a process that dies loses
// nothing it has acknowledged. Callable from verify and tools. Events and tables: docs/formats/ledger.md.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/code/keyboard.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct ScanSessionRecord {
  std::string id;  // "S7KM00001"
  std::string station;
  std::string person;
  std::string started;
  std::string ended;               // empty: it goes on
  std::vector<std::string> heard;  // the scans in order, as the engine takes them
};

std::string open_scan_session(Ledger& ledger, const Actor& actor);
// On disk before it returns. `heard`: the line as understood (canonical text); `bag`: the bag it concerns, or empty.
void record_scan(Ledger& ledger, const Actor& actor, const std::string& session, const std::string& heard,
                 const std::string& bag);
// What `acts` writes through this ledger in answer to one scan, or to one command: each act is still an event of its
// own, and all are on disk when this returns, or, when it throws, none. One wait for the disk instead of one an act.
void write_as_one(Ledger& ledger, const std::function<void()>& acts);
void close_scan_session(Ledger& ledger, const Actor& actor, const std::string& session);
// The session this station left open, if any; with its scans.
[[nodiscard]] std::optional<ScanSessionRecord> open_session_of(const Ledger& ledger, const std::string& station);
[[nodiscard]] std::optional<ScanSessionRecord> find_scan_session(const Ledger& ledger, const std::string& id);

// Path of the place with that id, or where the box with that id or name is now; for labels of shelves and boxes.
[[nodiscard]] std::optional<std::string> path_of_place(const Ledger& ledger, const std::string& id);

// The station's scanner as the set-up card showed it; remembered until the next set-up.
void remember_keyboard(Ledger& ledger, const Actor& actor, const KeyboardSetup& keyboard);
[[nodiscard]] std::optional<KeyboardSetup> keyboard_of(const Ledger& ledger, const std::string& station);

}  // namespace sherdmark
