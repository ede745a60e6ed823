// A folder that somebody else fills: which files have come to rest. Works by looking, on every file system, also those
// of other computers. Called by commands that watch.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <vector>

namespace sherdmark {

class FolderWatch {
 public:
  using Test = std::function<bool(const std::filesystem::path&)>;
  static constexpr int k_patience_looks = 20;

  // Only files that `wanted` says yes to; folders within are looked through as well. A file that rests, but that
  // `whole` says is not all there, may wait for a slow card or a cable: it is left alone until it has rested for
  // k_patience_looks looks.
  FolderWatch(std::filesystem::path folder, Test wanted, Test whole = {});

  // Files that came to rest since the last look, in the order of their names: not empty, and as long and as old as at
  // the look before this. Each is given once; a file that changes after it was given is given again. A file that is
  // still being written is left for a later look. environment_error when the folder cannot be looked through.
  [[nodiscard]] std::vector<std::filesystem::path> look();
  // Files seen that are still changing or not all there, or were seen for the first time at the last look.
  [[nodiscard]] std::size_t unsettled() const { return unsettled_; }

 private:
  struct State {
    std::uintmax_t bytes = 0;
    std::filesystem::file_time_type changed{};
    bool given = false;
    int rested = 0;  // looks in a row at which it was unchanged
  };

  std::filesystem::path folder_;
  Test wanted_;
  Test whole_;
  std::map<std::filesystem::path, State> known_;
  std::size_t unsettled_ = 0;
};

}  // namespace sherdmark
