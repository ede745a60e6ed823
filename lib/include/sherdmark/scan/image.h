// Image files in → grey pictures. The only part of the project that decodes pictures.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/base/picture.h"

namespace sherdmark {

struct ImageLimits {
  std::int64_t most_pixels = 250'000'000;  // per page
  int most_side_px = 65'000;
  std::int64_t most_pixels_of_all_pages = 1'000'000'000;
  int most_pages = 500;
  double most_page_seconds = 20;  // to draw one page of a PDF
};

struct ImagePage {
  int page = 1;
  GreyPicture grey;        // upright: EXIF orientation applied
};

// JPEG (decoded straight to grey), PNG, TIFF, HEIC, WebP, and pages of PDF; told apart by content, never by name. Throws data_error that names
// the file and what is wrong: unknown format, truncated, larger than the limits, animated.
[[nodiscard]] std::vector<ImagePage> read_image(std::span<const std::byte> bytes, const std::string& file_name,
                                                const ImageLimits& limits = {});

// The same page in colour, for marked pictures.
[[nodiscard]] ColourPicture read_image_colour(std::span<const std::byte> bytes, const std::string& file_name, int page,
                                              const ImageLimits& limits = {});

}  // namespace sherdmark
