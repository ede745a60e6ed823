#include "ledger/writer_lock.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <optional>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/hash.h"

namespace sherdmark {
namespace {

struct WriterMark {
  std::string person;
  std::string machine;
  std::string since;
  [[nodiscard]] std::string in_words() const {
    return fmt::format("{} since {}", person.empty() ? "somebody" : person, time_in_words(since));
  }
};

std::optional<WriterMark> read_mark(Database& database) {
  Statement row = database.prepare("SELECT person, machine, since FROM writer");
  if (!row.with().step()) return std::nullopt;
  return WriterMark{row.text(0), row.text(1), row.text(2)};
}

Error in_use(Database& database, const std::string& remedy) {
  const std::optional<WriterMark> mark = read_mark(database);
  return environment_error(fmt::format("the ledger is in use by {}", mark ? mark->in_words() : "another program"),
                           {.file = database.file().string()}, remedy);
}

// On a full or pulled disk the mark stays, and the next writer says that it took over.
void take_mark_away(Database& database) noexcept {
  try {
    if (!database.in_transaction()) database.run("DELETE FROM writer");
  } catch (const Error&) {  // said above
    return;
  }
}

// Needs no room: on a full disk, too, nothing stays beside the ledger. A journal that is needed SQLite does not remove.
void give_up_journal(Database& database) noexcept {
  try {
    if (!database.in_transaction()) database.remove_journal();
  } catch (const Error&) {  // the disk is gone: the next writer removes it
    return;
  }
}

// The locked file may have been removed by its last owner between open and lock; then it locks nothing.
bool is_still_there(int descriptor, const std::filesystem::path& file) {
  struct stat held {};
  struct stat named {};
  return ::fstat(descriptor, &held) == 0 && ::stat(file.c_str(), &named) == 0 && held.st_ino == named.st_ino &&
         held.st_dev == named.st_dev;
}

}  // namespace

WriterLock::WriterLock(Database& database, const LedgerAccess& access, TimePoint now, std::vector<std::string>& notices)
    : database_(database), lock_file_(database.file()) {
  lock_file_ += ".lock";
  take_file_lock();
  try {
    write_row(access, now, notices);
  } catch (...) {
    give_up_journal(database_);
    release_file();
    throw;
  }
}

void WriterLock::take_file_lock() {
  for (;;) {
    descriptor_ = ::open(lock_file_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
    if (descriptor_ < 0)
      throw environment_error(
          fmt::format("the ledger cannot be locked for writing ({})", std::strerror(errno)),
          {.file = lock_file_.string()},
          "check the permissions of the folder; looking things up (show, history, export) works all the same");
    if (::flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
      const int reason = errno;
      ::close(descriptor_);
      descriptor_ = -1;
      if (reason == EINTR) continue;
      if (reason != EWOULDBLOCK)
        throw environment_error(
            fmt::format("the ledger cannot be locked for writing ({})", std::strerror(reason)),
            {.file = lock_file_.string()},
            "the disk or network folder it lies on may know no locks: work with it on a disk of this computer");
      throw in_use(database_, "wait until that is done; only one person writes at a time, any number may read");
    }
    if (is_still_there(descriptor_, lock_file_)) return;
    ::close(descriptor_);
  }
}

void WriterLock::write_row(const LedgerAccess& access, TimePoint now, std::vector<std::string>& notices) {
  database_.keep_journal();
  Transaction transaction{database_};
  const std::string machine = sha256_hex(access.machine);
  const std::optional<WriterMark> mark = read_mark(database_);
  if (mark && mark->machine != machine && !access.take_over)
    throw in_use(database_,
                 "that was on another computer: close it there, or, if it surely is not running any more, take over "
                 "(--take-over)");
  if (mark)
    notices.push_back(fmt::format(
        "The ledger was in use by {} and was not closed properly; nothing was half-done, and it was taken over.",
        mark->in_words()));
  database_.run("INSERT OR REPLACE INTO writer VALUES(1, ?, ?, ?, ?)", access.person, machine,
                static_cast<std::int64_t>(::getpid()), format_time(now));
  transaction.commit();
  database_.journal_is_kept();
}

void WriterLock::release_file() {
  ::unlink(lock_file_.c_str());
  ::close(descriptor_);
  descriptor_ = -1;
}

WriterLock::~WriterLock() {
  take_mark_away(database_);
  give_up_journal(database_);
  release_file();
}

}  // namespace sherdmark
