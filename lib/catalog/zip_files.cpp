#include "sherdmark/catalog/zip_files.h"

#include <fmt/format.h>
#include <minizip/unzip.h>
#include <minizip/zip.h>

#include <algorithm>
#include <fstream>
#include <memory>
#include <string>
#include <system_error>
#include <vector>

#include "sherdmark/base/error.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/folders.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/unfinished.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t k_piece_bytes = std::size_t{1} << 16U;
constexpr std::uint64_t k_most_unpacked_bytes = std::uint64_t{64} << 30U;
constexpr std::uint64_t k_most_files = 100'000;
// Plain text and a ledger shrink to a tenth, seldom to a fortieth; what shrinks more was made to fill a disk.
constexpr std::uint64_t k_most_times_its_size = 200;
constexpr std::uint64_t k_always_unpacked_bytes = std::uint64_t{64} << 20U;
constexpr unsigned long k_utf8_names = 1U << 11U;  // APPNOTE.TXT 4.4.4, bit 11
constexpr unsigned long k_locked = 1;              // bit 0
constexpr unsigned k_regular_file = 0100644U << 16U;

Error not_written(const fs::path& zip) {
  return environment_error("the zip file could not be written.", {.file = zip.string()},
                           "Check the folder and the room on the disk.");
}

Error damaged(const fs::path& zip, std::string_view what) {
  return data_error(fmt::format("the zip file cannot be unpacked: {}.", what), {.file = zip.string()},
                    "Take another copy of it.");
}

struct CloseZip {
  void operator()(void* zip) const { zipClose(zip, nullptr); }
};
struct CloseUnzip {
  void operator()(void* zip) const { unzClose(zip); }
};

std::vector<fs::path> files_below(const fs::path& folder) {
  std::vector<fs::path> files;
  for (const fs::directory_entry& entry : fs::recursive_directory_iterator{folder})
    if (entry.is_regular_file()) files.push_back(fs::relative(entry.path(), folder));
  std::sort(files.begin(), files.end());
  return files;
}

void add_file(zipFile zip, const fs::path& file, const std::string& name, const fs::path& target) {
  zip_fileinfo info{};
  info.tmz_date = {0, 0, 0, 1, 0, 1980};  // the package says itself when it was made
  info.external_fa = k_regular_file;
  const int large = fs::file_size(file) >= 0xFFFF0000U ? 1 : 0;
  if (zipOpenNewFileInZip4_64(zip, name.c_str(), &info, nullptr, 0, nullptr, 0, nullptr, Z_DEFLATED,
                              Z_DEFAULT_COMPRESSION, 0, -MAX_WBITS, DEF_MEM_LEVEL, Z_DEFAULT_STRATEGY, nullptr, 0,
                              (3U << 8U) | 45U, k_utf8_names, large) != ZIP_OK)
    throw not_written(target);
  std::ifstream in{file, std::ios::binary};
  std::vector<char> piece(k_piece_bytes);
  while (in) {
    in.read(piece.data(), static_cast<std::streamsize>(piece.size()));
    const auto got = static_cast<unsigned>(in.gcount());
    if (got > 0 && zipWriteInFileInZip(zip, piece.data(), got) != ZIP_OK) throw not_written(target);
  }
  if (in.bad() || !in.eof())
    throw environment_error("the file could not be read to its end.", {.file = file.string()}, "Check the disk.");
  if (zipCloseFileInZip(zip) != ZIP_OK) throw not_written(target);
}

bool stays_inside(const fs::path& name) {
  return !name.empty() && !name.is_absolute() &&
         std::none_of(name.begin(), name.end(), [](const fs::path& part) { return part == ".."; });
}

// The entry minizip stands at, into `into`; adds what it held to `unpacked`.
void unpack_entry(unzFile zip, const fs::path& file, const fs::path& into, std::uint64_t most_bytes,
                  std::uint64_t& unpacked) {
  unz_file_info64 info{};
  std::string name(4096, '\0');
  if (unzGetCurrentFileInfo64(zip, &info, name.data(), name.size() - 1, nullptr, 0, nullptr, 0) != UNZ_OK)
    throw damaged(file, "the entry of a file is damaged");
  if (info.size_filename >= name.size() - 1) throw damaged(file, "a name in it is too long");
  name.resize(info.size_filename);
  if (name.find('\0') != std::string::npos || name.find('\\') != std::string::npos || !stays_inside(name))
    throw damaged(file, fmt::format("\"{}\" is no name of a file inside it", printable(name)));
  if (name.back() == '/') return;
  if ((info.flag & k_locked) != 0) throw damaged(file, "it is locked with a password");
  if (unzOpenCurrentFile(zip) != UNZ_OK) throw damaged(file, fmt::format("\"{}\" is damaged", printable(name)));
  fs::create_directories((into / name).parent_path());
  std::ofstream out{into / name, std::ios::binary | std::ios::trunc};
  std::vector<char> piece(k_piece_bytes);
  int got = 0;
  while ((got = unzReadCurrentFile(zip, piece.data(), static_cast<unsigned>(piece.size()))) > 0) {
    unpacked += static_cast<std::uint64_t>(got);
    if (unpacked > most_bytes)
      throw damaged(file, fmt::format("it holds more than {} times its size, or than 64 GB", k_most_times_its_size));
    out.write(piece.data(), got);
  }
  const int closed = unzCloseCurrentFile(zip);  // the checksum is compared here
  if (got < 0 || closed != UNZ_OK) throw damaged(file, fmt::format("\"{}\" is damaged", printable(name)));
  if (!out.flush())
    throw environment_error("the file could not be unpacked.", {.file = (into / name).string()},
                            "Check the room on the disk.");
}

fs::path unpack_all(const fs::path& file, const fs::path& into) {
  const std::unique_ptr<void, CloseUnzip> zip{unzOpen64(file.c_str())};
  if (zip == nullptr) throw damaged(file, "the list of its parts is missing or damaged");
  const std::uint64_t most_bytes =
      std::clamp(fs::file_size(file) * k_most_times_its_size, k_always_unpacked_bytes, k_most_unpacked_bytes);
  std::uint64_t unpacked = 0;
  std::uint64_t files = 0;
  int at = unzGoToFirstFile(zip.get());
  for (; at == UNZ_OK; at = unzGoToNextFile(zip.get())) {
    if (++files > k_most_files) throw damaged(file, "it holds more than 100,000 files");
    unpack_entry(zip.get(), file, into, most_bytes, unpacked);
  }
  if (at != UNZ_END_OF_LIST_OF_FILE) throw damaged(file, "the list of its parts is damaged");
  std::vector<fs::path> inside;
  for (const fs::directory_entry& entry : fs::directory_iterator{into}) inside.push_back(entry.path());
  if (inside.size() != 1 || !fs::is_directory(inside.front())) throw damaged(file, "it does not hold one folder");
  return inside.front();
}

}  // namespace

void pack_zip(const fs::path& folder, const std::string& name, const fs::path& zip) {
  if (fs::exists(zip))
    throw environment_error("this is already there.", {.file = zip.string()},
                            "Name a new file; nothing is overwritten.");
  try {
    const Unfinished made{zip};
    {
      std::unique_ptr<void, CloseZip> out{zipOpen64(made.path().c_str(), APPEND_STATUS_CREATE)};
      if (out == nullptr) throw not_written(zip);
      for (const fs::path& file : files_below(folder))
        add_file(out.get(), folder / file, (name / file).generic_string(), zip);
      if (zipClose(out.release(), nullptr) != ZIP_OK) throw not_written(zip);
    }
    sync_file(made.path());
    put_into_place(made.path(), zip);
  } catch (const fs::filesystem_error&) {
    throw not_written(zip);
  }
}

fs::path unpack_zip(const fs::path& zip, const fs::path& into) {
  std::error_code ignored;
  try {
    if (!fs::create_directory(into))
      throw environment_error("this is already there.", {.file = into.string()}, "Move it away and try again.");
  } catch (const fs::filesystem_error& error) {
    throw environment_error(fmt::format("the folder could not be made ({}).", error.code().message()),
                            {.file = into.string()}, "Check the folder and the room on the disk.");
  }
  try {
    return unpack_all(zip, into);
  } catch (const fs::filesystem_error& error) {
    fs::remove_all(into, ignored);
    throw environment_error(fmt::format("the zip file could not be unpacked ({}).", error.code().message()),
                            {.file = into.string()}, "Check the folder and the room on the disk.");
  } catch (...) {
    fs::remove_all(into, ignored);
    throw;
  }
}

bool is_zip_file(const fs::path& file) {
  std::ifstream in{file, std::ios::binary};
  std::string head(4, '\0');
  in.read(head.data(), 4);
  return in && head == "PK\x03\x04";
}

}  // namespace sherdmark
