// A folder as one .zip file, and out of it again: how an archive package travels. Deflate, with the 64-bit extension
// where a file is large; any unzip program reads it. Callable from tools.
#pragma once

#include <filesystem>
#include <string>

namespace sherdmark {

// All files below `folder`, in order of their names, in a folder called `name`. Made under an unfinished name and
// renamed when whole and on the disk; on failure nothing is left. environment_error if `zip` exists or cannot be
// written.
void pack_zip(const std::filesystem::path& folder, const std::string& name, const std::filesystem::path& zip);

// Unpacks into the new folder `into` and returns the one folder that lies in it. Every checksum is compared. data_error
// naming `zip` when it is damaged, holds a name that leads outside, is locked, is a bomb (over 64 GB, or over 100,000
// files), or does not hold exactly one folder; then nothing is left.
std::filesystem::path unpack_zip(const std::filesystem::path& zip, const std::filesystem::path& into);

// Whether the file begins as a zip file does.
[[nodiscard]] bool is_zip_file(const std::filesystem::path& file);

}  // namespace sherdmark
