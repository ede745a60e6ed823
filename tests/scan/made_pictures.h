// Picture files made for tests: by ImageMagick, which is also the judge of how they look, or byte by byte.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/base/picture.h"
#include "sherdmark/scan/image.h"

namespace sherdmark::testing {

// What `convert ARGUMENTS… FORMAT:-` makes, e.g. {"rose:", "-depth", "16"}, "png".
[[nodiscard]] Bytes made_by_convert(std::vector<std::string> arguments, const std::string& format);
// The picture of the file's bytes, as ImageMagick sees it upright, in grey.
[[nodiscard]] GreyPicture seen_by_convert(const Bytes& file, const std::string& format);

// A small picture without any symmetry, as a PPM file for ImageMagick.
[[nodiscard]] std::string lopsided_ppm(int width_px, int height_px);

// The JPEG with an APP1 segment put first.
[[nodiscard]] Bytes with_app1(const Bytes& jpeg, const std::string& payload);
// "Exif\0\0" and a TIFF block with the one tag.
[[nodiscard]] std::string exif_payload(int orientation, bool big_endian);

// A PNG of the size with the given compressed pixels, all check sums right.
[[nodiscard]] Bytes png_file(std::uint32_t width, std::uint32_t height, const std::string& idat,
                             const std::string& extra_chunk = {});
[[nodiscard]] Bytes bytes_of(std::string_view text);

// Largest difference of two pictures' pixels; 256 when their sizes differ.
[[nodiscard]] int largest_difference(const GreyView& a, const GreyView& b);

// The text of the data error that reading the file gives, which must name it and what to do; "" when it gives a
// picture.
[[nodiscard]] std::string error_of(std::span<const std::byte> file, const ImageLimits& limits = {});
[[nodiscard]] bool says(const std::string& text, const std::string& words);

}  // namespace sherdmark::testing
