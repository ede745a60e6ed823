#include "catalog/zip_archive.h"

#include <fmt/format.h>
#include <minizip/unzip.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <utility>

#include "sherdmark/base/error.h"

namespace sherdmark {

struct ZipArchive::Impl {
  std::span<const std::byte> bytes;
  std::string file_name;
  std::uint64_t at = 0;
  std::size_t unpacked = 0;
  unzFile zip = nullptr;

  [[nodiscard]] Error damaged(std::string_view what) const {
    return data_error(fmt::format("The workbook cannot be unpacked: {}.", what), {.file = file_name},
                      "Open it in a spreadsheet program and save it again, or take an undamaged copy.");
  }
};

namespace {

// The file functions that minizip calls, over the bytes in memory.
template <class Impl>
struct MemoryFile {
  static Impl& of(voidpf opaque) { return *static_cast<Impl*>(opaque); }
  static voidpf open(voidpf opaque, const void* /*name*/, int /*mode*/) { return opaque; }
  static uLong read(voidpf opaque, voidpf /*stream*/, void* out, uLong size) {
    Impl& file = of(opaque);
    const std::uint64_t left = file.bytes.size() - std::min<std::uint64_t>(file.at, file.bytes.size());
    const std::uint64_t count = std::min<std::uint64_t>(size, left);
    if (count > 0) std::memcpy(out, file.bytes.data() + file.at, count);
    file.at += count;
    return static_cast<uLong>(count);
  }
  static uLong write(voidpf, voidpf, const void*, uLong) { return 0; }
  static ZPOS64_T tell(voidpf opaque, voidpf /*stream*/) { return of(opaque).at; }
  static long seek(voidpf opaque, voidpf /*stream*/, ZPOS64_T offset, int origin) {
    Impl& file = of(opaque);
    std::uint64_t base = 0;
    if (origin == ZLIB_FILEFUNC_SEEK_CUR) base = file.at;
    if (origin == ZLIB_FILEFUNC_SEEK_END) base = file.bytes.size();
    const std::uint64_t target = base + offset;
    if (target < base || target > file.bytes.size()) return -1;
    file.at = target;
    return 0;
  }
  static int close(voidpf, voidpf) { return 0; }
  static int error(voidpf, voidpf) { return 0; }
};

}  // namespace

ZipArchive::ZipArchive(std::span<const std::byte> bytes, std::string file_name) : impl_(std::make_unique<Impl>()) {
  impl_->bytes = bytes;
  impl_->file_name = std::move(file_name);
  using File = MemoryFile<Impl>;
  zlib_filefunc64_def functions{};
  functions.zopen64_file = File::open;
  functions.zread_file = File::read;
  functions.zwrite_file = File::write;
  functions.ztell64_file = File::tell;
  functions.zseek64_file = File::seek;
  functions.zclose_file = File::close;
  functions.zerror_file = File::error;
  functions.opaque = impl_.get();
  impl_->zip = unzOpen2_64("", &functions);
  if (impl_->zip == nullptr) throw impl_->damaged("the list of its parts is missing or damaged");
}

ZipArchive::~ZipArchive() { unzClose(impl_->zip); }

bool ZipArchive::has(const std::string& part) { return unzLocateFile(impl_->zip, part.c_str(), 1) == UNZ_OK; }

bool ZipArchive::read(const std::string& part, const std::function<void(std::string_view)>& take) {
  if (!has(part)) return false;
  unz_file_info64 info{};
  if (unzGetCurrentFileInfo64(impl_->zip, &info, nullptr, 0, nullptr, 0, nullptr, 0) != UNZ_OK)
    throw impl_->damaged(fmt::format("the entry of \"{}\" is damaged", part));
  if ((info.flag & 1U) != 0) throw impl_->damaged("it is protected by a password");
  if (unzOpenCurrentFile(impl_->zip) != UNZ_OK) throw impl_->damaged(fmt::format("\"{}\" is damaged", part));
  std::vector<char> buffer(std::size_t{64} << 10U);
  int got = 0;
  try {
    while ((got = unzReadCurrentFile(impl_->zip, buffer.data(), static_cast<unsigned>(buffer.size()))) > 0) {
      impl_->unpacked += static_cast<std::size_t>(got);
      if (impl_->unpacked > k_unpacked_limit_bytes)
        throw impl_->damaged("it holds more than 256 MB once unpacked; save so large a catalog as CSV");
      take({buffer.data(), static_cast<std::size_t>(got)});
    }
  } catch (...) {
    unzCloseCurrentFile(impl_->zip);
    throw;
  }
  const int closed = unzCloseCurrentFile(impl_->zip);  // the checksum is compared here
  if (got < 0 || closed != UNZ_OK) throw impl_->damaged(fmt::format("\"{}\" is damaged", part));
  return true;
}

}  // namespace sherdmark
