// The folder of a kept journal is not synced at every act. SQLite asks its disk to make a journal if there is none, and
// its unix layer then makes the name durable with the file's first sync, every time it opens the journal, new or not.
// A journal that has stayed since an act of this very connection has a durable name: it is opened as what it is, a file
// that is there. For sqlite.cpp only.
#pragma once

#include <memory>
#include <string>

struct sqlite3_vfs;

namespace sherdmark {

// The disk that SQLite uses by default when this is made, under a name of its own.
class KeptJournal {
 public:
  KeptJournal();
  ~KeptJournal();  // after the database on it is closed
  KeptJournal(const KeptJournal&) = delete;
  KeptJournal& operator=(const KeptJournal&) = delete;
  KeptJournal(KeptJournal&&) = delete;
  KeptJournal& operator=(KeptJournal&&) = delete;

  // True from when an act was committed with the journal kept, until before it is removed.
  void set_durable(bool durable);
  [[nodiscard]] const char* disk_name() const;  // for sqlite3_open_v2

  struct State;  // for kept_journal.cpp only

 private:
  std::unique_ptr<State> state_;
};

}  // namespace sherdmark
