// What proving, backing up and restoring a ledger found, as text for people and JSON for programs (docs/commands.md).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/ledger/proof.h"
#include "sherdmark/ledger/restore.h"
#include "sherdmark/report/archive.h"

namespace sherdmark {

struct ComparedHead {
  std::string written;  // as it was keyed
  HeadComparison comparison;
};

struct ProofReport {
  std::string ledger;
  LedgerVerification proof;
  std::vector<ComparedHead> against;
  [[nodiscard]] bool good() const;
};
[[nodiscard]] std::string proof_text(const ProofReport& report);
[[nodiscard]] std::string proof_json(const ProofReport& report);

struct BackupReport {
  std::string ledger;
  std::string backup;   // empty: none was asked for
  std::string archive;  // empty: none was asked for
  std::int64_t events = 0;
  std::vector<StationHead> heads;
  std::vector<ArchivedFile> archived;
  bool with_restricted = false;
};
[[nodiscard]] std::string backup_text(const BackupReport& report);
[[nodiscard]] std::string backup_json(const BackupReport& report);

[[nodiscard]] std::string restore_text(const std::string& from, const std::string& ledger,
                                       const RestoredLedger& restored);
[[nodiscard]] std::string restore_json(const std::string& from, const std::string& ledger,
                                       const RestoredLedger& restored);

}  // namespace sherdmark
