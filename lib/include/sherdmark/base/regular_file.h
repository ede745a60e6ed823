// Files that are read more than once, as pictures are: when they are checked, when they are marked, when somebody keys
// what could not be read. Callable from every layer.
#pragma once

#include "sherdmark/base/files.h"

namespace sherdmark {

// FileSystem::read of a regular file; a pipe, too, is an environment_error.
[[nodiscard]] Bytes read_regular(FileSystem& files, const std::filesystem::path& file, std::size_t limit_bytes);

}  // namespace sherdmark
