// A disk under SQLite that fails when told: the current goes, or it is full. It passes everything on to the real disk
// and meanwhile keeps what a real disk would still hold after a power cut: what was synced for sure, and of what was
// written since any part, in any order, each write torn at any sector (SQLite's own model of a disk:
// https://www.sqlite.org/atomiccommit.html, "Hardware Assumptions").
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>

#include "sherdmark/base/random.h"

namespace sherdmark::testing {

// One at a time. While it lives, every SQLite file of this process that is opened anew lies on it.
class FailingDisk {
 public:
  FailingDisk();
  ~FailingDisk();  // the real disk is in place again; what was opened must be closed by then
  FailingDisk(const FailingDisk&) = delete;
  FailingDisk& operator=(const FailingDisk&) = delete;
  FailingDisk(FailingDisk&&) = delete;
  FailingDisk& operator=(FailingDisk&&) = delete;

  // Changes counted from now: writes, truncations, syncs, deletions. The one numbered `change` (from 1) and all after
  // it fail with an input/output error.
  void cut_power_at(std::uint64_t change);
  // The same, but only writes fail, and as on a full disk; deletions and truncations work.
  void fill_at(std::uint64_t change);
  // A disk that lies: what it was asked to keep for sure it does not.
  void ignore_syncs();
  [[nodiscard]] std::uint64_t changes() const;
  [[nodiscard]] std::uint64_t syncs() const;  // of files and folders, each of which waits for the disk
  [[nodiscard]] bool failed() const;          // the moment came

  // Puts on the real disk what a power cut at that moment leaves. Call when everything is closed.
  void leave_what_survives(RandomSource& random);

  struct State;  // for failing_disk.cpp only

 private:
  std::unique_ptr<State> state_;
};

}  // namespace sherdmark::testing
