#include "ledger/failing_disk.h"

#include <sqlite3.h>

#include <algorithm>
#include <cstring>
#include <fstream>
#include <iterator>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

namespace sherdmark::testing {
namespace {

constexpr std::size_t k_sector = 512;

// Something done to a file since its last sync.
struct Change {
  bool truncation = false;
  std::size_t at = 0;  // offset, or the new size
  std::string bytes;
};

struct DiskFile {
  std::string synced;            // what is on the disk for sure
  bool name_is_durable = false;  // the folder was synced since the file was made
  std::vector<Change> since;
  std::optional<std::string> deleted;  // deleted without a sync of the folder: may come back like this
};

}  // namespace

struct FailingDisk::State {
  sqlite3_vfs vfs{};
  sqlite3_vfs* real = nullptr;
  std::map<std::string, DiskFile> files;
  std::uint64_t changes = 0;
  std::uint64_t syncs = 0;
  std::uint64_t limit = 0;  // 0: never
  bool full_only = false;
  bool failed = false;
  bool lies = false;

  // SQLITE_OK, or what the disk answers.
  int count(bool is_write) {
    ++changes;
    if (limit == 0 || changes < limit) return SQLITE_OK;
    if (full_only && !is_write) return SQLITE_OK;
    failed = true;
    return full_only ? SQLITE_FULL : SQLITE_IOERR;
  }
  // Nameless temporary files are no changes that count, but on a full disk they find no room either.
  int room_for_nameless() {
    if (limit == 0 || !full_only || changes + 1 < limit) return SQLITE_OK;
    failed = true;
    return SQLITE_FULL;
  }
};

namespace {

FailingDisk::State* g_state = nullptr;  // SQLite calls back without a place for it in every method

struct OpenFile {
  sqlite3_file base;
  sqlite3_file* real;
  const char* name;  // null for a nameless temporary file, which no power cut can bring back
  bool folder_too;   // the next sync is also one of the folder
};

OpenFile* open_file(sqlite3_file* file) { return reinterpret_cast<OpenFile*>(file); }
sqlite3_file* real_of(sqlite3_file* file) { return open_file(file)->real; }
DiskFile* kept(sqlite3_file* file) {
  return open_file(file)->name == nullptr ? nullptr : &g_state->files[open_file(file)->name];
}

std::string content_of(const std::string& name) {
  std::ifstream in{name, std::ios::binary};
  return {std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}};
}

void apply(const Change& change, std::string& content) {
  if (change.truncation) {
    content.resize(change.at);
    return;
  }
  if (content.size() < change.at + change.bytes.size()) content.resize(change.at + change.bytes.size());
  content.replace(change.at, change.bytes.size(), change.bytes);
}

int close_file(sqlite3_file* file) {
  sqlite3_file* real = real_of(file);
  const int code = real->pMethods == nullptr ? SQLITE_OK : real->pMethods->xClose(real);
  sqlite3_free(real);
  return code;
}

int write_file(sqlite3_file* file, const void* bytes, int size, sqlite3_int64 at) {
  DiskFile* disk = kept(file);
  if (disk != nullptr) {
    if (const int code = g_state->count(true); code != SQLITE_OK) return code;
    disk->since.push_back({false, static_cast<std::size_t>(at),
                           std::string{static_cast<const char*>(bytes), static_cast<std::size_t>(size)}});
  } else if (const int code = g_state->room_for_nameless(); code != SQLITE_OK) {
    return code;
  }
  return real_of(file)->pMethods->xWrite(real_of(file), bytes, size, at);
}

int truncate_file(sqlite3_file* file, sqlite3_int64 size) {
  DiskFile* disk = kept(file);
  if (disk != nullptr) {
    if (const int code = g_state->count(false); code != SQLITE_OK) return code;
    disk->since.push_back({true, static_cast<std::size_t>(size), {}});
  }
  return real_of(file)->pMethods->xTruncate(real_of(file), size);
}

// What was made is there for sure, and what was deleted is gone.
void keep_names() {
  ++g_state->syncs;
  for (auto& [name, file] : g_state->files) {
    if (!std::filesystem::exists(name)) continue;
    file.name_is_durable = true;
    file.deleted.reset();
  }
}

// As SQLite's own unix layer does it, a journal opened with leave to make it has its folder synced with its own first
// sync; no other file has.
int sync_file(sqlite3_file* file, int flags) {
  DiskFile* disk = kept(file);
  if (disk != nullptr && !g_state->lies) {
    if (const int code = g_state->count(false); code != SQLITE_OK) return code;
    for (const Change& change : disk->since) apply(change, disk->synced);
    disk->since.clear();
    ++g_state->syncs;
    if (open_file(file)->folder_too) keep_names();
    open_file(file)->folder_too = false;
  }
  return real_of(file)->pMethods->xSync(real_of(file), flags);
}

const sqlite3_io_methods& methods() {
  static const sqlite3_io_methods k_methods = [] {
    sqlite3_io_methods m{};
    m.iVersion = 1;
    m.xClose = close_file;
    m.xRead = [](sqlite3_file* f, void* to, int size, sqlite3_int64 at) {
      return real_of(f)->pMethods->xRead(real_of(f), to, size, at);
    };
    m.xWrite = write_file;
    m.xTruncate = truncate_file;
    m.xSync = sync_file;
    m.xFileSize = [](sqlite3_file* f, sqlite3_int64* size) {
      return real_of(f)->pMethods->xFileSize(real_of(f), size);
    };
    m.xLock = [](sqlite3_file* f, int level) { return real_of(f)->pMethods->xLock(real_of(f), level); };
    m.xUnlock = [](sqlite3_file* f, int level) { return real_of(f)->pMethods->xUnlock(real_of(f), level); };
    m.xCheckReservedLock = [](sqlite3_file* f, int* held) {
      return real_of(f)->pMethods->xCheckReservedLock(real_of(f), held);
    };
    m.xFileControl = [](sqlite3_file* f, int what, void* with) {
      return real_of(f)->pMethods->xFileControl(real_of(f), what, with);
    };
    m.xSectorSize = [](sqlite3_file*) { return static_cast<int>(k_sector); };
    m.xDeviceCharacteristics = [](sqlite3_file*) { return 0; };  // promises nothing
    return m;
  }();
  return k_methods;
}

int open_on_disk(sqlite3_vfs* vfs, sqlite3_filename name, sqlite3_file* file, int flags, int* out_flags) {
  (void)vfs;
  OpenFile* opened = open_file(file);
  opened->base.pMethods = nullptr;
  opened->name = name;
  opened->folder_too = (flags & SQLITE_OPEN_CREATE) != 0 &&
                       (flags & (SQLITE_OPEN_MAIN_JOURNAL | SQLITE_OPEN_SUPER_JOURNAL | SQLITE_OPEN_WAL)) != 0;
  opened->real = static_cast<sqlite3_file*>(sqlite3_malloc(g_state->real->szOsFile));
  if (opened->real == nullptr) return SQLITE_NOMEM;
  std::memset(opened->real, 0, static_cast<std::size_t>(g_state->real->szOsFile));
  const bool is_new = name != nullptr && !std::filesystem::exists(name);
  const int code = g_state->real->xOpen(g_state->real, name, opened->real, flags, out_flags);
  if (code != SQLITE_OK) {
    sqlite3_free(opened->real);
    return code;
  }
  opened->base.pMethods = &methods();
  if (name == nullptr) return SQLITE_OK;
  const auto known = g_state->files.find(name);
  if (known == g_state->files.end())
    g_state->files[name] = {is_new ? std::string{} : content_of(name), !is_new, {}, {}};
  return SQLITE_OK;
}

int delete_on_disk(sqlite3_vfs* vfs, const char* name, int sync_folder) {
  (void)vfs;
  if (const int code = g_state->count(false); code != SQLITE_OK) return code;
  const auto known = g_state->files.find(name);
  if (known != g_state->files.end()) {
    DiskFile file = std::move(known->second);
    known->second = {};
    if (file.name_is_durable) known->second.deleted = std::move(file.synced);
  }
  const int code = g_state->real->xDelete(g_state->real, name, sync_folder);
  if (code == SQLITE_OK && sync_folder != 0 && !g_state->lies) {
    if (known != g_state->files.end()) known->second.deleted.reset();
    keep_names();
  }
  return code;
}

// Any of what was written since the last sync may be there, each write torn at any sector.
void add_what_may_survive(const DiskFile& file, std::string& content, RandomSource& random) {
  for (const Change& change : file.since) {
    if (random.below(2) == 0) continue;
    if (change.truncation || random.below(3) != 0) {
      apply(change, content);
      continue;
    }
    for (std::size_t at = 0; at < change.bytes.size(); at += k_sector)
      if (random.below(2) == 0) apply({false, change.at + at, change.bytes.substr(at, k_sector)}, content);
  }
}

}  // namespace

FailingDisk::FailingDisk() : state_(std::make_unique<State>()) {
  if (g_state != nullptr) throw std::logic_error("one failing disk at a time");
  state_->real = sqlite3_vfs_find(nullptr);
  state_->vfs = *state_->real;
  state_->vfs.zName = "failing";
  state_->vfs.szOsFile = static_cast<int>(sizeof(OpenFile));
  state_->vfs.xOpen = open_on_disk;
  state_->vfs.xDelete = delete_on_disk;
  g_state = state_.get();
  sqlite3_vfs_register(&state_->vfs, 1);
}

FailingDisk::~FailingDisk() {
  sqlite3_vfs_unregister(&state_->vfs);
  sqlite3_vfs_register(state_->real, 1);
  g_state = nullptr;
}

void FailingDisk::cut_power_at(std::uint64_t change) {
  state_->limit = state_->changes + change;
  state_->full_only = false;
}

void FailingDisk::fill_at(std::uint64_t change) {
  state_->limit = state_->changes + change;
  state_->full_only = true;
}

void FailingDisk::ignore_syncs() { state_->lies = true; }
std::uint64_t FailingDisk::changes() const { return state_->changes; }
std::uint64_t FailingDisk::syncs() const { return state_->syncs; }
bool FailingDisk::failed() const { return state_->failed; }

void FailingDisk::leave_what_survives(RandomSource& random) {
  for (const auto& [name, file] : state_->files) {
    std::filesystem::remove(name);
    std::string content = file.deleted && random.below(2) == 0 ? *file.deleted : file.synced;
    // A new file whose folder was never synced may be gone altogether.
    const bool there = file.name_is_durable || file.deleted.has_value() ||
                       ((!file.since.empty() || !file.synced.empty()) && random.below(2) == 0);
    if (!there || (file.deleted && content.empty())) continue;
    add_what_may_survive(file, content, random);
    std::ofstream{name, std::ios::binary} << content;
  }
}

}  // namespace sherdmark::testing
