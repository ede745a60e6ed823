#include "sherdmark/base/folders.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "sherdmark/base/error.h"

namespace sherdmark {

namespace fs = std::filesystem;

void sync_folder_of(const fs::path& file) {
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path{"."};
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;
  const int problem = ::fsync(descriptor) == 0 ? 0 : errno;
  ::close(descriptor);
  if (problem != 0 && problem != EINVAL)
    throw environment_error(fmt::format("the folder could not be written to its end ({})", std::strerror(problem)),
                            {.file = folder.string()}, "check the disk and the room on it");
}

void sync_file(const fs::path& file) {
  const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
  const bool synced = descriptor >= 0 && ::fsync(descriptor) == 0;
  if (descriptor >= 0) ::close(descriptor);
  if (!synced)
    throw environment_error("the file could not be written to its end", {.file = file.string()},
                            "check the disk and the room on it");
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
