// What every test may use. No test depends on the working directory, the locale, the time zone or on order.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace sherdmark::testing {

[[nodiscard]] std::filesystem::path source_dir();                          // the project's top level
[[nodiscard]] std::filesystem::path binary_dir();                          // the build tree
[[nodiscard]] std::filesystem::path sample(std::string_view relative);     // samples/…; fails loudly if absent
[[nodiscard]] std::filesystem::path test_data(std::string_view relative);  // tests/…; fails loudly if absent

// A folder of its own for one test, removed at the end unless the test failed.
class ScratchFolder {
 public:
  ScratchFolder();
  ~ScratchFolder();
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  ScratchFolder(ScratchFolder&&) = delete;
  ScratchFolder& operator=(ScratchFolder&&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  [[nodiscard]] std::filesystem::path operator/(std::string_view name) const { return path_ / name; }

 private:
  std::filesystem::path path_;
};

struct RunResult {
  int exit_code = -1;  // 128 + signal when killed
  std::string out;
  std::string err;
};

// Runs a program found on PATH (or by absolute path) without a shell and waits for it. A missing judge is a
// thrown std::runtime_error that names it, never a skipped check.
[[nodiscard]] RunResult run(const std::vector<std::string>& command, std::string_view standard_input = {});

}  // namespace sherdmark::testing
