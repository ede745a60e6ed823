// One writer at a time, and everybody can see who. Two marks: a lock the operating system drops when the process dies
// (on "<ledger>.lock"), and a row in the ledger that says who and since when and that a copied file still carries.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "ledger/sqlite.h"
#include "sherdmark/base/clock.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

class WriterLock {
 public:
  // Takes the lock or throws environment_error "in use by … since …". Adds a sentence to `notices` when it takes over
  // from a writer that died.
  WriterLock(Database& database, const LedgerAccess& access, TimePoint now, std::vector<std::string>& notices);
  ~WriterLock();
  WriterLock(const WriterLock&) = delete;
  WriterLock& operator=(const WriterLock&) = delete;
  WriterLock(WriterLock&&) = delete;
  WriterLock& operator=(WriterLock&&) = delete;

 private:
  void take_file_lock();
  void write_row(const LedgerAccess& access, TimePoint now, std::vector<std::string>& notices);
  void release_file();

  Database& database_;
  std::filesystem::path lock_file_;
  int descriptor_ = -1;
};

}  // namespace sherdmark
