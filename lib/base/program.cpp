#include "sherdmark/base/program.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstring>
#include <optional>
#include <string_view>
#include <thread>
#include <utility>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t k_most_complaint = std::size_t{64} << 10U;
constexpr std::size_t k_chunk = std::size_t{256} << 10U;

Error no_process(std::string_view what) {
  return environment_error(fmt::format("No other program can be run: {} ({}).", what, std::strerror(errno)), {},
                           "Close other programs and try again.");
}

class Descriptor {
 public:
  explicit Descriptor(int fd = -1) : fd_(fd) {}
  ~Descriptor() { close(); }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  Descriptor(Descriptor&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
  Descriptor& operator=(Descriptor&& other) noexcept {
    close();
    fd_ = std::exchange(other.fd_, -1);
    return *this;
  }
  [[nodiscard]] int get() const { return fd_; }
  void close() {
    if (fd_ >= 0) ::close(std::exchange(fd_, -1));
  }

 private:
  int fd_;
};

// Not one of the three standard ones, which it could be where the caller has closed those.
Descriptor above_standard(int fd) {
  Descriptor low{fd};
  if (fd > 2) return low;
  Descriptor high{::fcntl(fd, F_DUPFD_CLOEXEC, 3)};
  if (high.get() < 0) throw no_process("no file descriptor");
  return high;
}

struct Pipe {
  Descriptor from, into;
};

Pipe make_pipe() {
  std::array<int, 2> ends{};
  if (::pipe2(ends.data(), O_CLOEXEC) != 0) throw no_process("no pipe");
  Pipe pipe;
  pipe.from = above_standard(ends[0]);
  pipe.into = above_standard(ends[1]);
  return pipe;
}

// In memory, so that nothing of a collection's pictures is left on a disk.
Descriptor file_of(std::span<const std::byte> bytes) {
  const int fd = ::memfd_create("input", MFD_CLOEXEC);
  if (fd < 0) throw no_process("no file in memory");
  Descriptor file = above_standard(fd);
  while (!bytes.empty()) {
    const ssize_t wrote = ::write(file.get(), bytes.data(), bytes.size());
    if (wrote < 0 && errno == EINTR) continue;
    if (wrote <= 0) throw no_process("the file in memory is too large");
    bytes = bytes.subspan(static_cast<std::size_t>(wrote));
  }
  ::lseek(file.get(), 0, SEEK_SET);
  return file;
}

std::vector<std::string> plain_environment() {
  std::vector<std::string> all;
  for (char** one = environ; *one != nullptr; ++one)
    if (!std::string_view{*one}.starts_with("LC_") && !std::string_view{*one}.starts_with("LANG"))
      all.emplace_back(*one);
  all.emplace_back("LC_ALL=C");
  return all;
}

std::vector<char*> pointers(std::vector<std::string>& words) {
  std::vector<char*> out;
  for (std::string& word : words) out.push_back(word.data());
  out.push_back(nullptr);
  return out;
}

struct Start {
  char* const* words;
  char* const* environment;
  int input, output, complaints, failure;
  rlim_t cpu_seconds, memory_bytes;
  pid_t parent;
};

void limit(int resource, rlim_t most) {
  const rlimit bound{most, most};
  (void)::setrlimit(static_cast<__rlimit_resource_t>(resource), &bound);
}

// In the child: only calls that are safe after fork() in a program with threads.
[[noreturn]] void become(const Start& start) {
  (void)::setpgid(0, 0);
  (void)::prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (::getppid() != start.parent) ::_exit(127);
  limit(RLIMIT_CPU, start.cpu_seconds);
  limit(RLIMIT_AS, start.memory_bytes);
  limit(RLIMIT_CORE, 0);
  sigset_t none;
  ::sigemptyset(&none);
  (void)::sigprocmask(SIG_SETMASK, &none, nullptr);
  (void)::signal(SIGPIPE, SIG_DFL);
  if (::dup2(start.input, 0) == 0 && ::dup2(start.output, 1) == 1 && ::dup2(start.complaints, 2) == 2)
    ::execvpe(start.words[0], start.words, start.environment);
  const int problem = errno;
  (void)!::write(start.failure, &problem, sizeof problem);
  ::_exit(127);
}

struct Output {
  Descriptor from;
  std::string* text;
  std::size_t most;
  bool keep_reading;  // what is over the limit is thrown away
};

enum class Drained { more, ended, too_much };

Drained drain(Output& output, std::span<char> chunk) {
  const ssize_t got = ::read(output.from.get(), chunk.data(), chunk.size());
  if (got < 0 && (errno == EINTR || errno == EAGAIN)) return Drained::more;
  if (got <= 0) return Drained::ended;
  const std::size_t room = output.most - output.text->size();
  output.text->append(chunk.data(), std::min(room, static_cast<std::size_t>(got)));
  return static_cast<std::size_t>(got) > room && !output.keep_reading ? Drained::too_much : Drained::more;
}

// Reads both until they end. How it went, as far as it shows here.
ProgramEnd listen(std::array<Output, 2>& outputs, Clock::time_point until) {
  std::vector<char> chunk(k_chunk);
  while (true) {
    std::array<pollfd, 2> waiting{};
    for (std::size_t i = 0; i < 2; ++i) waiting[i] = {outputs[i].from.get(), POLLIN, 0};
    if (waiting[0].fd < 0 && waiting[1].fd < 0) return ProgramEnd::finished;
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now()).count();
    if (left <= 0) return ProgramEnd::out_of_time;
    if (::poll(waiting.data(), waiting.size(), static_cast<int>(left) + 1) <= 0) continue;
    for (std::size_t i = 0; i < 2; ++i) {
      if (waiting[i].fd < 0 || waiting[i].revents == 0) continue;
      const Drained drained = drain(outputs[i], chunk);
      if (drained == Drained::too_much) return ProgramEnd::too_much_output;
      if (drained == Drained::ended) outputs[i].from.close();
    }
  }
}

// The status it ended with; nothing if it had not ended in time and was stopped.
std::optional<int> wait_for(pid_t child, Clock::time_point until) {
  constexpr std::chrono::milliseconds k_nap{1};
  int status = 0;
  while (true) {
    const pid_t ended = ::waitpid(child, &status, WNOHANG);
    if (ended == child) return status;
    if (Clock::now() >= until) break;
    std::this_thread::sleep_for(k_nap);
  }
  (void)::kill(child, SIGKILL);
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  return std::nullopt;
}

}  // namespace

ProgramResult run_program(const std::vector<std::string>& command, std::span<const std::byte> input,
                          const ProgramLimits& limits) {
  std::vector<std::string> words = command;
  std::vector<std::string> environment = plain_environment();
  const std::vector<char*> word_pointers = pointers(words);
  const std::vector<char*> environment_pointers = pointers(environment);
  const Descriptor file = file_of(input);
  Pipe output = make_pipe();
  Pipe complaints = make_pipe();
  Pipe failure = make_pipe();
  const auto until =
      Clock::now() + std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(limits.most_seconds));
  const Start start{word_pointers.data(),
                    environment_pointers.data(),
                    file.get(),
                    output.into.get(),
                    complaints.into.get(),
                    failure.into.get(),
                    static_cast<rlim_t>(limits.most_seconds) + 1,
                    static_cast<rlim_t>(limits.most_memory_bytes),
                    ::getpid()};
  const pid_t child = ::fork();
  if (child < 0) throw no_process("no new process");
  if (child == 0) become(start);
  output.into.close();
  complaints.into.close();
  failure.into.close();

  ProgramResult result;
  int problem = 0;
  ssize_t told = 0;
  do told = ::read(failure.from.get(), &problem, sizeof problem);
  while (told < 0 && errno == EINTR);
  if (told == sizeof problem) {
    (void)wait_for(child, until);
    if (problem == ENOENT) {
      result.end = ProgramEnd::missing;
      return result;
    }
    errno = problem;
    throw no_process(command.front());
  }
  std::array<Output, 2> outputs{Output{std::move(output.from), &result.out, limits.most_output_bytes, false},
                                Output{std::move(complaints.from), &result.err, k_most_complaint, true}};
  result.end = listen(outputs, until);
  const std::optional<int> status = wait_for(child, result.end == ProgramEnd::finished ? until : Clock::now());
  if (result.end != ProgramEnd::finished) return result;
  if (!status)
    result.end = ProgramEnd::out_of_time;
  else if (WIFEXITED(*status))
    result.exit_code = WEXITSTATUS(*status);
  else
    result.end = WTERMSIG(*status) == SIGXCPU ? ProgramEnd::out_of_time : ProgramEnd::died;
  return result;
}

}  // namespace sherdmark
