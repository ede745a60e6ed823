#include "scan/photo_benchmark.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <stdexcept>

#include "sherdmark/base/files.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/text.h"
#include "sherdmark/scan/image.h"
#include "support/test_support.h"

namespace sherdmark::testing {
namespace {

// White space as Unicode has it among the characters below U+0100, separators of information included.
bool is_white(char32_t c) { return (c >= 9 && c <= 13) || (c >= 0x1C && c <= 0x20) || c == 0x85 || c == 0xA0; }

std::string folded(const std::string& text) {
  const auto code_points = decode_utf8(text);
  if (!code_points) return text;
  std::u32string out;
  bool gap = false;
  for (const char32_t c : *code_points) {
    if (is_white(c)) {
      gap = true;
      continue;
    }
    if (gap && !out.empty()) out.push_back(U' ');
    gap = false;
    out.push_back(c);
  }
  return encode_utf8(out);
}

constexpr std::string_view k_no_codes = "no-code";
constexpr std::size_t k_largest_image_bytes = std::size_t{64} << 20U;

void count(PhotoTally& tally, const std::string& name, const std::string& accepted_column,
           const std::vector<std::string>& texts) {
  const bool none_known = accepted_column == "-";
  const bool must_be_empty = tally.folder == k_no_codes;
  bool right = false;
  for (const std::string& text : texts) {
    const bool good = accepted(accepted_column, text);
    right = right || good;
    if (good || (none_known && !must_be_empty)) continue;
    ++tally.wrong;
    tally.mistakes.push_back(name + ": " + printable(text));
  }
  if (right) ++tally.read;
  if (!right && none_known && !texts.empty() && !must_be_empty) ++tally.unlisted;
  if (texts.empty() && !must_be_empty) tally.missed.push_back(name);
}

}  // namespace

std::optional<std::filesystem::path> photo_folder() {
  const char* named = std::getenv("SHERDMARK_PHOTOS");
  if (named != nullptr && *named != '\0') {
    if (!std::filesystem::is_directory(named))
      throw std::runtime_error(std::string{"SHERDMARK_PHOTOS names no folder: "} + named);
    return named;
  }
  const auto beside = source_dir() / ".." / "shared" / "photos";
  if (std::filesystem::is_directory(beside)) return beside;
  return std::nullopt;
}

bool accepted(const std::string& accepted_column, const std::string& text) {
  const std::vector<std::string> hashes = split(accepted_column, ',');
  return std::find(hashes.begin(), hashes.end(), sha256_hex(folded(text)).substr(0, 16)) != hashes.end();
}

PhotoTally read_photos(const std::filesystem::path& photos, const std::string& folder, const Reader& reader) {
  PhotoTally tally;
  tally.folder = folder;
  const std::string table = read_text(real_file_system(), photos / (folder + ".tsv"));
  for (const std::string& line : split(table, '\n')) {
    const std::vector<std::string> cells = split(line, '\t');
    if (cells.size() < 2 || cells[0] == "file") continue;
    const auto image = photos / cells[0];
    if (!std::filesystem::exists(image)) throw std::runtime_error("the table names a missing image: " + image.string());
    ++tally.images;
    const auto start = std::chrono::steady_clock::now();
    const std::vector<std::string> texts = reader(image);
    const double ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
    tally.milliseconds += ms;
    tally.slowest_ms = std::max(tally.slowest_ms, ms);
    count(tally, cells[0], cells[1], texts);
  }
  if (tally.images == 0) throw std::runtime_error("the table has no rows: " + folder + ".tsv");
  return tally;
}

Reader our_reader(const CodeReadingOptions& options) {
  return [options](const std::filesystem::path& image) {
    std::vector<std::string> texts;
    const Bytes bytes = real_file_system().read(image, k_largest_image_bytes);
    for (const ImagePage& page : read_image(bytes, image.string()))
      for (const CodeReading& reading : read_codes(page.grey.view(), options)) texts.push_back(reading.text);
    return texts;
  };
}

}  // namespace sherdmark::testing
