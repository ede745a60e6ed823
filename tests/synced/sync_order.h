// What the program asks of the disk, in order: this executable's own fsync, write, link and rename stand before the
// system's, note what is done to which file, and then do it. So a test can see that a file was on the disk, whole,
// before it got its name, and that its folder was on the disk before anybody was told.
#pragma once

#include <string>
#include <vector>

namespace sherdmark::testing {

// From its making to its end, the calls of this process are noted. One at a time.
class SyncOrder {
 public:
  SyncOrder();
  ~SyncOrder();
  SyncOrder(const SyncOrder&) = delete;
  SyncOrder& operator=(const SyncOrder&) = delete;
  SyncOrder(SyncOrder&&) = delete;
  SyncOrder& operator=(SyncOrder&&) = delete;

  // Names that were given (by link or rename) to a file that was never synced, or written to after it was.
  [[nodiscard]] std::vector<std::string> named_before_synced() const;
  // Folders with a name that was given in them and not synced since.
  [[nodiscard]] std::vector<std::string> folders_not_synced() const;
  // From now on no folder can be synced.
  void break_folders();
  // Names that were given at all.
  [[nodiscard]] std::vector<std::string> named() const;
};

}  // namespace sherdmark::testing
