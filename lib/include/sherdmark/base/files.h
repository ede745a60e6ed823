// Files in and out. Every write in the project goes through `FileSystem::write_atomic`.
#pragma once

#include <cstddef>
#include <filesystem>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

using Bytes = std::vector<std::byte>;

// Bytes cross layers through one sink: called in order, never after it threw.
using ByteSink = std::function<void(std::span<const std::byte>)>;

// The seam through which the library touches files, so that tests can drop, tear and refuse writes.
class FileSystem {
 public:
  virtual ~FileSystem() = default;

  // The whole file, or what comes through a pipe. Throws environment_error (missing, no permission, a folder, socket or
  // device, a pipe that nobody writes to within two seconds) or data_error (over `limit_bytes`), naming the file.
  [[nodiscard]] virtual Bytes read(const std::filesystem::path& file, std::size_t limit_bytes) = 0;

  // Writes beside the target, syncs, renames over it: the file is then whole and new, or untouched. Replaces files only
  // (environment_error). `produce` receives the sink; if it throws, nothing is left. Missing parent folders are made.
  virtual void write_atomic(const std::filesystem::path& file,
                            const std::function<void(const ByteSink&)>& produce) = 0;
};

[[nodiscard]] FileSystem& real_file_system();

// Before something is done that cannot be taken back, and of which a file is to tell: throws environment_error where
// write_atomic could not write it, be it a folder, a link, a device, or in a folder that may not be written to.
void require_writable(const std::filesystem::path& file);

inline constexpr std::size_t k_text_file_limit_bytes = std::size_t{256} << 20U;

[[nodiscard]] std::string read_text(FileSystem& files, const std::filesystem::path& file,
                                    std::size_t limit_bytes = k_text_file_limit_bytes);
void write_text_atomic(FileSystem& files, const std::filesystem::path& file, std::string_view text);

[[nodiscard]] inline std::span<const std::byte> as_byte_span(std::string_view text) {
  return std::as_bytes(std::span{text.data(), text.size()});
}

}  // namespace sherdmark
