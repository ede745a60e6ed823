// The archive package: a folder that tells what a collection's record holds without this program, now or in thirty
// years: plain CSV, the house standard, checksums, and a README that a stranger can follow. docs/formats/archive.md.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/files.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct ArchiveRequest {
  std::filesystem::path folder;  // must not exist yet
  // Everything: restricted columns, every event, every table and the ledger itself; it can be restored. Without it the
  // package can be handed on, and cannot be restored. Whoever asks for it records it (Ledger::record_export).
  bool with_restricted = false;
  std::vector<std::filesystem::path> placements;  // JSON files of printed runs, kept as they are
  TimePoint made;
  std::string program;  // "sherdmark 0.1.0"
};

struct ArchivedFile {
  std::string name;  // relative, with slashes
  std::string sha256;
};

// Made under an unfinished name and renamed when whole; on failure nothing is left. environment_error if the folder
// exists; usage_error when two placements files have the same name; data_error when the copy of the ledger inside does
// not hold. Returns what lies in it, in order.
std::vector<ArchivedFile> write_archive(const Ledger& ledger, FileSystem& files, const ArchiveRequest& request);

// The same as one file that holds that folder, and no folder beside it. environment_error if the file exists.
[[nodiscard]] std::filesystem::path zip_of_archive(const std::filesystem::path& folder);  // "<folder>.zip"
std::vector<ArchivedFile> write_zipped_archive(const Ledger& ledger, FileSystem& files, const ArchiveRequest& request);

// The ledger inside an archive package, after every file has been compared with SHA256SUMS. data_error naming the first
// file that is missing or differs, or when the package was made without restricted columns and holds no ledger.
[[nodiscard]] std::filesystem::path ledger_in_archive(const std::filesystem::path& folder);

}  // namespace sherdmark
