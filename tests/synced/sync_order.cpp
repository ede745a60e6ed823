#include "synced/sync_order.h"

#include <dlfcn.h>
#include <fcntl.h>
#include <sys/sendfile.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <map>
#include <mutex>
#include <set>
#include <utility>

namespace sherdmark::testing {
namespace {

using File = std::pair<dev_t, ino_t>;

struct Notes {
  std::mutex mutex;
  bool noting = false;
  bool folders_are_broken = false;
  std::set<File> synced;  // and not written to since
  std::vector<std::string> named;
  std::vector<std::string> too_early;
  std::set<std::string> open_folders;
};

Notes& notes() {
  static Notes k_notes;
  return k_notes;
}

void note_write(int descriptor) {
  Notes& all = notes();
  const std::lock_guard lock{all.mutex};
  struct stat info {};
  if (all.noting && ::fstat(descriptor, &info) == 0) all.synced.erase({info.st_dev, info.st_ino});
}

void note_sync(int descriptor) {
  Notes& all = notes();
  const std::lock_guard lock{all.mutex};
  struct stat info {};
  if (!all.noting || ::fstat(descriptor, &info) != 0) return;
  all.synced.insert({info.st_dev, info.st_ino});
  if (!S_ISDIR(info.st_mode)) return;
  std::error_code problem;
  const auto folder = std::filesystem::read_symlink("/proc/self/fd/" + std::to_string(descriptor), problem);
  all.open_folders.erase(folder.string());
}

void note_name(const char* made, const char* name) {
  Notes& all = notes();
  const std::lock_guard lock{all.mutex};
  struct stat info {};
  if (!all.noting || ::stat(made, &info) != 0) return;
  all.named.emplace_back(name);
  if (!all.synced.contains({info.st_dev, info.st_ino})) all.too_early.emplace_back(name);
  std::error_code problem;
  all.open_folders.insert(std::filesystem::canonical(std::filesystem::absolute(name).parent_path(), problem).string());
}

bool is_a_broken_folder(int descriptor) {
  Notes& all = notes();
  const std::lock_guard lock{all.mutex};
  struct stat info {};
  return all.folders_are_broken && ::fstat(descriptor, &info) == 0 && S_ISDIR(info.st_mode);
}

template <typename Call>
Call* system_call(const char* name) {
  return reinterpret_cast<Call*>(::dlsym(RTLD_NEXT, name));
}

}  // namespace

SyncOrder::SyncOrder() {
  const std::lock_guard lock{notes().mutex};
  notes().noting = true;
}

SyncOrder::~SyncOrder() {
  Notes& all = notes();
  const std::lock_guard lock{all.mutex};
  all.noting = false;
  all.folders_are_broken = false;
  all.synced.clear();
  all.named.clear();
  all.too_early.clear();
  all.open_folders.clear();
}

void SyncOrder::break_folders() {
  const std::lock_guard lock{notes().mutex};
  notes().folders_are_broken = true;
}
std::vector<std::string> SyncOrder::named_before_synced() const {
  const std::lock_guard lock{notes().mutex};
  return notes().too_early;
}
std::vector<std::string> SyncOrder::folders_not_synced() const {
  const std::lock_guard lock{notes().mutex};
  return {notes().open_folders.begin(), notes().open_folders.end()};
}
std::vector<std::string> SyncOrder::named() const {
  const std::lock_guard lock{notes().mutex};
  return notes().named;
}

}  // namespace sherdmark::testing

// --- the system's calls, seen on their way --------------------------------------------------------------------------

using sherdmark::testing::is_a_broken_folder;
using sherdmark::testing::note_name;
using sherdmark::testing::note_sync;
using sherdmark::testing::note_write;
using sherdmark::testing::system_call;

extern "C" {

int fsync(int descriptor) {
  if (is_a_broken_folder(descriptor)) {
    errno = EIO;
    return -1;
  }
  const int done = system_call<int(int)>("fsync")(descriptor);
  if (done == 0) note_sync(descriptor);
  return done;
}
int fdatasync(int descriptor) {
  const int done = system_call<int(int)>("fdatasync")(descriptor);
  if (done == 0) note_sync(descriptor);
  return done;
}
ssize_t write(int descriptor, const void* bytes, size_t count) {
  note_write(descriptor);
  return system_call<ssize_t(int, const void*, size_t)>("write")(descriptor, bytes, count);
}
ssize_t pwrite64(int descriptor, const void* bytes, size_t count, off64_t at) {
  note_write(descriptor);
  return system_call<ssize_t(int, const void*, size_t, off64_t)>("pwrite64")(descriptor, bytes, count, at);
}
ssize_t sendfile(int out, int in, off_t* at, size_t count) noexcept {
  note_write(out);
  return system_call<ssize_t(int, int, off_t*, size_t)>("sendfile")(out, in, at, count);
}
int link(const char* made, const char* name) noexcept {
  note_name(made, name);
  return system_call<int(const char*, const char*)>("link")(made, name);
}
int rename(const char* made, const char* name) noexcept {
  note_name(made, name);
  return system_call<int(const char*, const char*)>("rename")(made, name);
}

}  // extern "C"
