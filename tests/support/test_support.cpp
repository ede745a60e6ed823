#include "support/test_support.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <stdexcept>

namespace sherdmark::testing {
namespace fs = std::filesystem;

fs::path source_dir() { return SHERDMARK_SOURCE_DIR; }
fs::path binary_dir() { return SHERDMARK_BINARY_DIR; }

namespace {

fs::path existing(const fs::path& file) {
  if (!fs::exists(file)) throw std::runtime_error("test data is missing: " + file.string());
  return file;
}

std::string slurp(const fs::path& file) {
  std::ifstream in{file, std::ios::binary};
  return {std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}};
}

void redirect(const fs::path& file, int flags, int target) {
  const int fd = ::open(file.c_str(), flags, 0600);
  if (fd < 0 || ::dup2(fd, target) < 0) ::_exit(126);
}

}  // namespace

fs::path sample(std::string_view relative) { return existing(source_dir() / "samples" / relative); }
fs::path test_data(std::string_view relative) { return existing(source_dir() / "tests" / relative); }

ScratchFolder::ScratchFolder() {
  std::string pattern = (fs::temp_directory_path() / "sherdmark-test-XXXXXX").string();
  if (::mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no scratch folder: " + pattern);
  path_ = pattern;
}

ScratchFolder::~ScratchFolder() {
  if (::testing::Test::HasFailure()) return;  // left for a person to look at
  std::error_code ignored;
  fs::remove_all(path_, ignored);
}

RunResult run(const std::vector<std::string>& command, std::string_view standard_input) {
  const ScratchFolder pipes;
  std::ofstream{pipes / "in", std::ios::binary} << standard_input;
  std::vector<char*> arguments;
  std::vector<std::string> copy = command;
  for (std::string& word : copy) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  const pid_t child = ::fork();
  if (child < 0) throw std::runtime_error("could not start " + command.at(0));
  if (child == 0) {
    redirect(pipes / "in", O_RDONLY, STDIN_FILENO);
    redirect(pipes / "out", O_WRONLY | O_CREAT, STDOUT_FILENO);
    redirect(pipes / "err", O_WRONLY | O_CREAT, STDERR_FILENO);
    ::execvp(arguments[0], arguments.data());
    ::_exit(127);
  }
  int status = 0;
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  RunResult result;
  result.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  result.out = slurp(pipes / "out");
  result.err = slurp(pipes / "err");
  if (result.exit_code == 127 && result.out.empty() && result.err.empty())
    throw std::runtime_error("the judge is not installed: " + command.at(0) + " (tools/test installs it)");
  return result;
}

}  // namespace sherdmark::testing
