// Files and folders in the making: they lie under another name until they are whole. A program that is killed leaves
// what it was making; the next that makes something there clears it away. Callable from every layer.
#pragma once

#include <filesystem>
#include <vector>

namespace sherdmark {

// The name of `target` while it is made: "NAME.sherdmark-unfinished". Nobody else's file is called so.
[[nodiscard]] std::filesystem::path unfinished_name(const std::filesystem::path& target);

// Removes what lies there under that name, file or folder, and what SQLite put beside it (-journal, .lock); returns
// what it removed. That something cannot be removed is no error here: whoever makes it anew says so.
std::vector<std::filesystem::path> remove_unfinished(const std::filesystem::path& target);

// The same for everything that was left in the folder of `made`, which stands there whole. What was changed less than
// an hour before it may be in the making, and stays.
std::vector<std::filesystem::path> remove_older_unfinished(const std::filesystem::path& made);

// The unfinished name is free from the start of the scope, and again at its end, whatever happens.
class Unfinished {
 public:
  explicit Unfinished(std::filesystem::path target);
  ~Unfinished();
  Unfinished(const Unfinished&) = delete;
  Unfinished& operator=(const Unfinished&) = delete;
  Unfinished(Unfinished&&) = delete;
  Unfinished& operator=(Unfinished&&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path target_;
  std::filesystem::path path_;
};

}  // namespace sherdmark
