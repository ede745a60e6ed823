// The parts of a zip file held in memory, one at a time and never more than asked for. Called by the .xlsx reader.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

class ZipArchive {
 public:
  // `bytes` must outlive this. Throws data_error when there is no readable directory at the end of the file.
  ZipArchive(std::span<const std::byte> bytes, std::string file_name);
  ~ZipArchive();
  ZipArchive(const ZipArchive&) = delete;
  ZipArchive& operator=(const ZipArchive&) = delete;
  ZipArchive(ZipArchive&&) = delete;
  ZipArchive& operator=(ZipArchive&&) = delete;

  // Unpacks a part piece by piece into `take`; false if there is none of that name. Throws data_error for damage and
  // once all parts read so far exceed `k_unpacked_limit_bytes`; what the directory says of sizes is never believed.
  bool read(const std::string& part, const std::function<void(std::string_view)>& take);
  [[nodiscard]] bool has(const std::string& part);

  static constexpr std::size_t k_unpacked_limit_bytes = std::size_t{256} << 20U;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace sherdmark
