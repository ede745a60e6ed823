#include "sherdmark/base/unfinished.h"

#include <algorithm>
#include <chrono>
#include <functional>
#include <string>
#include <string_view>
#include <system_error>
#include <utility>

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view k_ending = ".sherdmark-unfinished";
constexpr std::chrono::hours k_may_be_in_the_making{1};

fs::path folder_of(const fs::path& file) { return file.has_parent_path() ? file.parent_path() : fs::path{"."}; }

// "sheets/" is the folder "sheets".
fs::path without_slash(const fs::path& target) { return target.has_filename() ? target : target.parent_path(); }

std::vector<fs::path> remove_in(const fs::path& folder, const std::function<bool(const fs::path&)>& wanted) {
  std::error_code ignored;
  std::vector<fs::path> found;
  for (const fs::directory_entry& entry : fs::directory_iterator{folder, ignored})
    if (wanted(entry.path())) found.push_back(entry.path());
  std::erase_if(found, [](const fs::path& path) {
    std::error_code problem;
    const auto removed = fs::remove_all(path, problem);
    return problem || removed == 0;
  });
  std::ranges::sort(found);
  return found;
}

}  // namespace

fs::path unfinished_name(const fs::path& target) {
  fs::path name = without_slash(target);
  name += k_ending;
  return name;
}

std::vector<fs::path> remove_unfinished(const fs::path& target) {
  const fs::path name = unfinished_name(target);
  return remove_in(folder_of(name), [start = name.filename().string()](const fs::path& path) {
    return path.filename().string().starts_with(start);
  });
}

std::vector<fs::path> remove_older_unfinished(const fs::path& made) {
  std::error_code problem;
  const fs::file_time_type then = fs::last_write_time(without_slash(made), problem);
  if (problem) return {};
  return remove_in(folder_of(without_slash(made)), [then](const fs::path& path) {
    std::error_code gone;
    const fs::file_time_type changed = fs::last_write_time(path, gone);
    return path.filename().string().find(k_ending) != std::string::npos && !gone &&
           then - changed >= k_may_be_in_the_making;
  });
}

Unfinished::Unfinished(fs::path target) : target_(std::move(target)), path_(unfinished_name(target_)) {
  (void)remove_unfinished(target_);
}

Unfinished::~Unfinished() {
  try {
    (void)remove_unfinished(target_);
  } catch (const std::exception&) {  // no memory for the names of files: what lies there the next one removes
    return;
  }
}

}  // namespace sherdmark
