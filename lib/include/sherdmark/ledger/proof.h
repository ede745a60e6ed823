// Proving a ledger file from outside: the chain of hashes, the records as the sum of the events, references, and the
// file itself. Callable from report and tools; reads only, and needs no house standard that parses.
// Format and what it proves: docs/formats/ledger.md, "Proof".
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>

#include "sherdmark/ledger/event.h"

namespace sherdmark {

// How far a proof has come: `done` of `total` of what `part` counts ("events", "records", "tables", "file").
struct ProofStep {
  std::string_view part;
  std::int64_t done = 0;
  std::int64_t total = 0;
};
using ProofProgress = std::function<void(const ProofStep&)>;  // called a few hundred times at most; may be empty

// What Ledger::verify does, with progress. Throws environment_error (no such file, a schema that is newer or older) and
// data_error (not a ledger at all); damage that can be looked at is a finding, never an error.
[[nodiscard]] LedgerVerification prove_ledger(const std::filesystem::path& ledger, const ProofProgress& progress);

// A head as somebody wrote it down: "7KM:42:9f86d081884c7d65…" or the digits alone. At least 16 of the 64 digits.
struct WrittenHead {
  std::string station;        // empty: not written down
  std::int64_t sequence = 0;  // 0: not written down
  std::string digits;         // lower-case hex
};
// Blanks, hyphens and upper case are taken. usage_error for anything else.
[[nodiscard]] WrittenHead parse_written_head(std::string_view text);
// "7KM:42:" and the 64 digits in groups of eight, the form that parse_written_head takes back.
[[nodiscard]] std::string write_head(const StationHead& head);

struct HeadComparison {
  bool found = false;   // the ledger holds that very event: nothing up to it was changed or cut off
  std::string station;  // of the event found
  std::int64_t sequence = 0;
  std::int64_t later = 0;  // events of that station after it
  std::string problem;     // one sentence; empty when found
};
// Says nothing about events after the head. Meaningful only together with a proof that found nothing.
[[nodiscard]] HeadComparison compare_head(const std::filesystem::path& ledger, const WrittenHead& head);

}  // namespace sherdmark
