// What the decoders of image formats share; private to the layer. Each decoder is one file behind one function here.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "sherdmark/base/error.h"
#include "sherdmark/base/picture.h"
#include "sherdmark/scan/image.h"

namespace sherdmark {

struct ImageFile {
  std::span<const std::byte> bytes;
  const std::string& name;
  const ImageLimits& limits;
};

enum class Channels { grey = 1, rgb = 3 };

// What a decoder paints on: a grey or a colour picture, allocated only after its size was found acceptable.
class Canvas {
 public:
  explicit Canvas(Channels channels) : channels_(channels) {}
  void allocate(int width_px, int height_px);
  // Of grey ones the pixels are not filled: every row is written, or the picture is refused.
  void allocate_unfilled(int width_px, int height_px);
  [[nodiscard]] Channels channels() const { return channels_; }
  [[nodiscard]] int width_px() const { return width_px_; }
  [[nodiscard]] int height_px() const { return height_px_; }
  [[nodiscard]] std::uint8_t* row(int y);
  [[nodiscard]] GreyPicture take_grey() { return std::move(grey_); }
  [[nodiscard]] ColourPicture take_colour() { return std::move(colour_); }

  // The pixel at `out`, opaque.
  void paint(std::uint8_t* out, unsigned r, unsigned g, unsigned b) const {
    if (channels_ == Channels::rgb) {
      out[0] = static_cast<std::uint8_t>(r);
      out[1] = static_cast<std::uint8_t>(g);
      out[2] = static_cast<std::uint8_t>(b);
    } else {
      *out = static_cast<std::uint8_t>((r * 19595U + g * 38470U + b * 7471U + 32768U) >> 16U);  // ITU-R BT.601
    }
  }
  [[nodiscard]] std::ptrdiff_t pixel_bytes() const { return static_cast<std::ptrdiff_t>(channels_); }

 private:
  Channels channels_;
  int width_px_ = 0;
  int height_px_ = 0;
  GreyPicture grey_;
  ColourPicture colour_;
};

// A channel value seen through `alpha` on white.
[[nodiscard]] inline unsigned over_white(unsigned value, unsigned alpha) {
  return (value * alpha + 255U * (255U - alpha) + 127U) / 255U;
}

// Throws data_error when the picture is empty or larger than the limits.
void require_acceptable_size(const ImageFile& file, std::int64_t width_px, std::int64_t height_px,
                             std::optional<int> page = {});

[[nodiscard]] Error image_truncated(const ImageFile& file, std::optional<int> page = {});
[[nodiscard]] Error image_damaged(const ImageFile& file, std::string_view detail, std::optional<int> page = {});
[[nodiscard]] Error image_unsupported(const ImageFile& file, std::string_view what, std::string_view remedy);

// EXIF orientation 1-8 of a TIFF-structured block ("II*\0…"); 1 for anything that is not a well-formed one.
[[nodiscard]] int exif_orientation(std::span<const std::byte> tiff_block);
// The picture as it is to be looked at. Orientation 1 copies nothing.
[[nodiscard]] Canvas upright(Canvas canvas, int orientation);

using PageSink = std::function<void(int page, Canvas&& canvas)>;

[[nodiscard]] Canvas decode_jpeg(const ImageFile& file, Channels channels);
[[nodiscard]] Canvas decode_png(const ImageFile& file, Channels channels);
[[nodiscard]] Canvas decode_webp(const ImageFile& file, Channels channels);
// Pages in order; only the one asked for when `only_page` is given. Several pictures in one HEIC file are pages. A page
// of a PDF is drawn at the resolution of the finest image on it, 300 dpi at the least.
void decode_tiff(const ImageFile& file, Channels channels, std::optional<int> only_page, const PageSink& sink);
void decode_heif(const ImageFile& file, Channels channels, std::optional<int> only_page, const PageSink& sink);
void decode_pdf(const ImageFile& file, Channels channels, std::optional<int> only_page, const PageSink& sink);

}  // namespace sherdmark
