// Pages as poppler draws them, and parts of them as files for other people's readers.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/sheet/placement.h"

namespace sherdmark::testing {

[[nodiscard]] GreyPicture read_pgm(const std::filesystem::path& file);
void write_pgm(const GreyView& picture, const std::filesystem::path& file);

// The label's part of the page, `around_mm` of paper left round it.
[[nodiscard]] GreyPicture cut_out(const GreyPicture& page, const PlacedLabel& label, double dpi, double around_mm = 0);

// Every text that ZXingReader, zbarimg or dmtxread finds in the file, sorted.
[[nodiscard]] std::vector<std::string> zxing_texts(const std::filesystem::path& file, const std::string& format);
[[nodiscard]] std::vector<std::string> zbar_texts(const std::filesystem::path& file);
[[nodiscard]] std::vector<std::string> dmtx_texts(const std::filesystem::path& file);

}  // namespace sherdmark::testing
