#include "sherdmark/base/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <chrono>
#include <cstring>
#include <thread>
#include <utility>

#include "sherdmark/base/error.h"
#include "sherdmark/base/folders.h"
#include "sherdmark/base/regular_file.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

std::string reason(int number) { return std::strerror(number); }

enum class Access { reading, writing };

Error file_error(const fs::path& file, std::string_view doing, int number, Access access = Access::writing) {
  std::string remedy = access == Access::writing ? "Check that the folder exists and that you may write there."
                                                 : "Check that it is the file you meant and that you may read it.";
  if (number == ENOSPC || number == EDQUOT)
    remedy = "The disk is full: free some space and run the same command again.";
  if (number == EROFS) remedy = "The medium is read-only: choose another folder.";
  if (number == ENOENT) remedy = "Check the spelling of the name and the folder.";
  return environment_error(fmt::format("could not {}: {}.", doing, reason(number)), {.file = file.string()}, remedy);
}

// Whoever writes to a pipe may come a moment after us.
constexpr int k_waits_for_a_writer = 40;
constexpr std::chrono::milliseconds k_wait_for_a_writer{50};

Error no_file(const fs::path& file, std::string_view kind,
              std::string remedy = "Check that it is the file you meant.") {
  return environment_error(fmt::format("this is a {}, not a file.", kind), {.file = file.string()}, std::move(remedy));
}

// Looked at before it is opened: to open a device may set it in motion.
mode_t kind_to_read(const fs::path& file) {
  struct stat info {};
  if (::stat(file.c_str(), &info) != 0) throw file_error(file, "open the file", errno, Access::reading);
  if (S_ISDIR(info.st_mode)) throw no_file(file, "folder", "Name a file inside it.");
  if (S_ISSOCK(info.st_mode)) throw no_file(file, "socket");
  if (S_ISCHR(info.st_mode) || S_ISBLK(info.st_mode)) throw no_file(file, "device");
  return info.st_mode;
}

// A new file takes the name of what was there: of a device, the machine would lose the device.
void require_replaceable(const fs::path& file) {
  std::error_code none;
  const fs::file_type type = fs::symlink_status(file, none).type();
  if (type == fs::file_type::directory)
    throw environment_error("this is a folder, not a file.", {.file = file.string()}, "Name a file inside it.");
  if (type == fs::file_type::symlink)
    throw environment_error("this is a link to another place, and is not replaced.", {.file = file.string()},
                            "Name the file itself, or another one.");
  if (type != fs::file_type::regular && fs::exists(file, none))
    throw environment_error("this is a device or a pipe, not a file.", {.file = file.string()},
                            "Name a file; without a name the result goes to standard output.");
}

// Closes a descriptor on every way out; `close_checked` reports the errors a late write can still bring.
class Descriptor {
 public:
  explicit Descriptor(int fd) : fd_(fd) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  Descriptor(Descriptor&&) = delete;
  Descriptor& operator=(Descriptor&&) = delete;
  ~Descriptor() {
    if (fd_ >= 0) ::close(fd_);
  }
  [[nodiscard]] int get() const { return fd_; }
  [[nodiscard]] bool close_checked() { return ::close(std::exchange(fd_, -1)) == 0; }

 private:
  int fd_;
};

class RealFileSystem final : public FileSystem {
 public:
  // Opened without waiting: a pipe that nobody writes to would keep us for ever.
  [[nodiscard]] Bytes read(const fs::path& file, std::size_t limit_bytes) override {
    (void)kind_to_read(file);
    const Descriptor in{::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK)};
    struct stat info {};
    if (in.get() < 0 || ::fstat(in.get(), &info) != 0) throw file_error(file, "open the file", errno, Access::reading);
    Bytes bytes;
    bytes.reserve(S_ISREG(info.st_mode) ? std::min(static_cast<std::size_t>(info.st_size), limit_bytes) : 0);
    std::byte buffer[65536];
    std::size_t got = S_ISFIFO(info.st_mode) ? read_first(in.get(), buffer, file) : read_some(in.get(), buffer, file);
    for (; got > 0; got = read_some(in.get(), buffer, file)) {
      bytes.insert(bytes.end(), buffer, buffer + got);
      if (bytes.size() > limit_bytes)
        throw data_error(fmt::format("the file is larger than {} MiB.", limit_bytes >> 20U), {.file = file.string()},
                         "Split it, or check that it is the file you meant.");
    }
    return bytes;
  }

  void write_atomic(const fs::path& file, const std::function<void(const ByteSink&)>& produce) override {
    require_replaceable(file);
    const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path{"."};
    std::error_code problem;
    fs::create_directories(folder, problem);
    if (problem) throw file_error(folder, "make the folder", problem.value());
    fs::path scratch;
    Descriptor out{open_scratch(folder / ("." + file.filename().string() + "."), scratch)};
    if (out.get() < 0) throw file_error(file, "write the file", errno);
    try {
      produce([&](std::span<const std::byte> bytes) { write_all(out.get(), bytes, file); });
      if (::fsync(out.get()) != 0 || !out.close_checked()) throw file_error(file, "write the file", errno);
      if (::rename(scratch.c_str(), file.c_str()) != 0) throw file_error(file, "replace the file", errno);
    } catch (...) {
      ::unlink(scratch.c_str());
      throw;
    }
    sync_folder_of(file);
  }

 private:
  // A new file of a name that nobody has; -1 and errno when there can be none. Its permissions are the system's to
  // give: whoever asks for the umask changes it meanwhile, for every thread.
  static int open_scratch(const fs::path& stem, fs::path& scratch) {
    static std::atomic<unsigned> count{0};
    for (;;) {
      scratch = stem;
      scratch += fmt::format("{}-{}", ::getpid(), count++);
      const int made = ::open(scratch.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
      if (made >= 0 || errno != EEXIST) return made;
    }
  }

  // 0 at the end. Waits for a pipe's writer while there is one.
  static std::size_t read_some(int fd, std::span<std::byte> buffer, const fs::path& file) {
    for (;;) {
      const ssize_t got = ::read(fd, buffer.data(), buffer.size());
      if (got >= 0) return static_cast<std::size_t>(got);
      pollfd until_something_comes{.fd = fd, .events = POLLIN, .revents = 0};
      if (errno == EAGAIN && (::poll(&until_something_comes, 1, -1) >= 0 || errno == EINTR)) continue;
      if (errno != EINTR) throw file_error(file, "read the file", errno, Access::reading);
    }
  }

  static std::size_t read_first(int pipe, std::span<std::byte> buffer, const fs::path& file) {
    for (int waited = 0; waited < k_waits_for_a_writer; ++waited) {
      if (const std::size_t got = read_some(pipe, buffer, file); got > 0) return got;
      std::this_thread::sleep_for(k_wait_for_a_writer);
    }
    throw environment_error("this is a pipe with nothing in it, and nobody writes to it.", {.file = file.string()},
                            "Check that it is the file you meant.");
  }

  static void write_all(int fd, std::span<const std::byte> bytes, const fs::path& file) {
    while (!bytes.empty()) {
      const ssize_t put = ::write(fd, bytes.data(), bytes.size());
      if (put < 0 && errno == EINTR) continue;
      if (put < 0) throw file_error(file, "write the file", errno);
      bytes = bytes.subspan(static_cast<std::size_t>(put));
    }
  }
};

}  // namespace

FileSystem& real_file_system() {
  static RealFileSystem files;
  return files;
}

std::string read_text(FileSystem& files, const fs::path& file, std::size_t limit_bytes) {
  const Bytes bytes = files.read(file, limit_bytes);
  return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

void require_writable(const fs::path& file) {
  require_replaceable(file);
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path{"."};
  std::error_code none;
  if (fs::exists(folder, none) && ::access(folder.c_str(), W_OK | X_OK) != 0)
    throw file_error(file, "write the file", errno);
}

Bytes read_regular(FileSystem& files, const fs::path& file, std::size_t limit_bytes) {
  if (S_ISFIFO(kind_to_read(file))) throw no_file(file, "pipe");
  return files.read(file, limit_bytes);
}

void write_text_atomic(FileSystem& files, const fs::path& file, std::string_view text) {
  files.write_atomic(file, [text](const ByteSink& sink) { sink(as_byte_span(text)); });
}

}  // namespace sherdmark
