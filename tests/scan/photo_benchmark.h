// How well codes are read in folders of real photographs, counted. A folder FOLDER has beside it FOLDER.tsv with one
// row an image: the file, the texts accepted as right (comma-separated; each the first 16 hex digits of SHA-256 over
// the text with every run of white space folded to one space and the ends trimmed; "-": none is known), and a column
// for each reader that was tried.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/scan/codes.h"

namespace sherdmark::testing {

// SHERDMARK_PHOTOS, or ../shared/photos beside the sources; std::nullopt when there is no such folder.
[[nodiscard]] std::optional<std::filesystem::path> photo_folder();

// Whether `text` is one of the row's accepted texts.
[[nodiscard]] bool accepted(const std::string& accepted_column, const std::string& text);

struct PhotoTally {
  std::string folder;
  int images = 0;
  int read = 0;      // with a right text
  int unlisted = 0;  // read, but no right text is known to compare with
  int wrong = 0;     // readings that are none of the accepted texts, or anything in a folder without codes
  double milliseconds = 0;
  double slowest_ms = 0;
  std::vector<std::string> missed;
  std::vector<std::string> mistakes;
};

using Reader = std::function<std::vector<std::string>(const std::filesystem::path& image)>;  // texts seen

// Throws std::runtime_error when the table is missing, names a missing image or has no rows.
[[nodiscard]] PhotoTally read_photos(const std::filesystem::path& photos, const std::string& folder,
                                     const Reader& reader);

[[nodiscard]] Reader our_reader(const CodeReadingOptions& options = {});

inline const std::vector<std::string>& photo_sets() {
  static const std::vector<std::string> k_sets = {"qr", "micro-qr", "data-matrix", "no-code"};
  return k_sets;
}

}  // namespace sherdmark::testing
