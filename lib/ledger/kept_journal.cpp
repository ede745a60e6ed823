#include "ledger/kept_journal.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include "sherdmark/base/error.h"

namespace sherdmark {

struct KeptJournal::State {
  sqlite3_vfs disk{};
  sqlite3_vfs* real = nullptr;
  std::string name;
  bool durable = false;
};

namespace {

int open_file(sqlite3_vfs* disk, sqlite3_filename name, sqlite3_file* file, int flags, int* out_flags) {
  const auto& state = *static_cast<const KeptJournal::State*>(disk->pAppData);
  sqlite3_vfs* real = state.real;
  if ((flags & SQLITE_OPEN_MAIN_JOURNAL) != 0 && state.durable) {
    int is_there = 0;
    const int code = real->xAccess(real, name, SQLITE_ACCESS_EXISTS, &is_there);
    if (code == SQLITE_OK && is_there != 0) flags &= ~SQLITE_OPEN_CREATE;
  }
  return real->xOpen(real, name, file, flags, out_flags);
}

}  // namespace

KeptJournal::KeptJournal() : state_(std::make_unique<State>()) {
  state_->real = sqlite3_vfs_find(nullptr);
  if (state_->real == nullptr) throw internal_error("SQLite has no disk to work on");
  state_->name = fmt::format("sherdmark-{}", static_cast<const void*>(state_.get()));
  state_->disk = *state_->real;
  state_->disk.zName = state_->name.c_str();
  state_->disk.pAppData = state_.get();
  state_->disk.xOpen = open_file;
  // Files are opened, deleted and looked for by the real disk itself: its functions may know it by its address.
  state_->disk.xDelete = [](sqlite3_vfs* disk, const char* name, int sync_folder) {
    sqlite3_vfs* real = static_cast<const State*>(disk->pAppData)->real;
    return real->xDelete(real, name, sync_folder);
  };
  state_->disk.xAccess = [](sqlite3_vfs* disk, const char* name, int flags, int* answer) {
    sqlite3_vfs* real = static_cast<const State*>(disk->pAppData)->real;
    return real->xAccess(real, name, flags, answer);
  };
  state_->disk.xFullPathname = [](sqlite3_vfs* disk, const char* name, int size, char* path) {
    sqlite3_vfs* real = static_cast<const State*>(disk->pAppData)->real;
    return real->xFullPathname(real, name, size, path);
  };
  if (sqlite3_vfs_register(&state_->disk, 0) != SQLITE_OK) throw internal_error("SQLite takes no further disk");
}

KeptJournal::~KeptJournal() { sqlite3_vfs_unregister(&state_->disk); }
void KeptJournal::set_durable(bool durable) { state_->durable = durable; }
const char* KeptJournal::disk_name() const { return state_->name.c_str(); }

}  // namespace sherdmark
