#include "ledger/folders.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include "sherdmark/base/error.h"

namespace sherdmark {

namespace fs = std::filesystem;

void sync_folder_of(const fs::path& file) {
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path{"."};
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;
  ::fsync(descriptor);
  ::close(descriptor);
}

void put_into_place(const fs::path& made, const fs::path& file) {
  std::error_code problem;
  fs::create_hard_link(made, file, problem);  // unlike a rename, this never replaces a file
  if (problem && !fs::exists(file)) fs::rename(made, file, problem);
  if (problem)
    throw environment_error(fmt::format("the file could not be put into place ({})", problem.message()),
                            {.file = file.string()}, "name another file, or check the folder");
  fs::remove(made, problem);
  sync_folder_of(file);
}

}  // namespace sherdmark
