#include "sherdmark/base/folder_watch.h"

#include <fmt/format.h>

#include <algorithm>
#include <system_error>
#include <utility>

#include "sherdmark/base/error.h"

namespace sherdmark {

namespace fs = std::filesystem;

FolderWatch::FolderWatch(fs::path folder, Test wanted, Test whole)
    : folder_(std::move(folder)), wanted_(std::move(wanted)), whole_(std::move(whole)) {}

std::vector<fs::path> FolderWatch::look() {
  std::map<fs::path, State> now;
  std::vector<fs::path> settled;
  std::error_code problem;
  unsettled_ = 0;
  for (fs::recursive_directory_iterator entry{folder_, problem}, end; !problem && entry != end;
       entry.increment(problem)) {
    std::error_code gone;  // a file may vanish while it is looked at
    if (!entry->is_regular_file(gone) || !wanted_(entry->path())) continue;
    State state{entry->file_size(gone), {}, false, 0};
    if (!gone) state.changed = entry->last_write_time(gone);
    if (gone) continue;
    const auto before = known_.find(entry->path());
    const bool unchanged =
        before != known_.end() && before->second.bytes == state.bytes && before->second.changed == state.changed;
    if (unchanged) state.rested = before->second.rested + 1;
    state.given = unchanged && before->second.given;
    if (unchanged && state.bytes > 0 && !state.given) {
      state.given = !whole_ || state.rested >= k_patience_looks || whole_(entry->path());
      if (state.given) settled.push_back(entry->path());
    }
    if (!unchanged || (state.bytes > 0 && !state.given)) ++unsettled_;
    now.emplace(entry->path(), state);
  }
  if (problem)
    throw environment_error(fmt::format("the folder could not be looked through: {}.", problem.message()),
                            {.file = folder_.string()}, "Check that it is there and that you may read it.");
  known_ = std::move(now);
  std::sort(settled.begin(), settled.end());
  return settled;
}

}  // namespace sherdmark
