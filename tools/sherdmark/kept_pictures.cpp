#include "kept_pictures.h"

#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/error.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/scan/image.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

// Without links, so that steps up lead where they seem to.
fs::path real_path(const fs::path& file) {
  std::error_code problem;
  fs::path real = fs::weakly_canonical(file, problem);
  return problem ? fs::absolute(file).lexically_normal() : real;
}

fs::path folder_of(const fs::path& ledger_file) { return real_path(ledger_file).parent_path(); }

}  // namespace

std::vector<CheckRecord> records_with_pictures(std::span<const SetVerdict> verdicts, const PictureHashes& hashes,
                                               const fs::path& ledger_file) {
  std::vector<CheckRecord> records = check_records(verdicts);
  const fs::path folder = folder_of(ledger_file);
  for (CheckRecord& record : records)
    for (const std::string& image : record.images) {
      const auto hash = hashes.find(image);
      if (hash == hashes.end()) throw internal_error("a picture was judged that was not read");
      record.pictures.push_back({image, real_path(image).lexically_relative(folder).generic_string(), hash->second});
    }
  return records;
}

Bytes read_kept_picture(const Session& session, const CheckRecord& check, const std::string& image,
                        const fs::path& ledger_file) {
  if (check.pictures.empty())
    throw data_error(
        fmt::format(
            "the verdict of {} on {} was kept by an earlier version, which did not note what its pictures were.",
            check.time, printable(check.set)),
        {.file = image}, "Check the picture again with --record; then review it.");
  const auto kept = std::ranges::find(check.pictures, image, &CheckPicture::image);
  if (kept == check.pictures.end())
    throw data_error("a verdict that was kept has a reading from a picture that it does not name.", {.file = image},
                     "Check the picture again with --record.");
  const fs::path there = (folder_of(ledger_file) / kept->file).lexically_normal();
  bool found = false;
  for (const fs::path& file : {there, fs::path{image}}) {
    std::error_code ignored;
    if (!fs::is_regular_file(file, ignored)) continue;
    found = true;
    Bytes bytes = session.seams().files.read(file, k_image_file_limit_bytes);
    if (sha256_hex(bytes) == kept->sha256) return bytes;
  }
  const fs::path& shown = there;
  if (found)
    throw data_error(
        fmt::format("this is not the picture that was checked on {}: the file was changed since.", check.time),
        {.file = shown.string()}, "Put the picture as it was back in its place, or check the new one with --record.");
  throw environment_error(fmt::format("the picture that was checked on {} is no longer there.", check.time),
                          {.file = shown.string()}, "Put it back in its place, or check another one with --record.");
}

}  // namespace sherdmark
