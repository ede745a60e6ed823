// EXIF orientation: found, and applied.
#include <algorithm>

#include "scan/image_formats.h"

namespace sherdmark {
namespace {

// Reads numbers of a TIFF structure; anything out of bounds is std::nullopt.
class TiffBlock {
 public:
  explicit TiffBlock(std::span<const std::byte> bytes) : bytes_(bytes) {
    if (bytes.size() < 8) return;
    big_endian_ = bytes[0] == std::byte{'M'} && bytes[1] == std::byte{'M'};
    const bool little = bytes[0] == std::byte{'I'} && bytes[1] == std::byte{'I'};
    good_ = (big_endian_ || little) && number(2, 2) == 42;
  }
  [[nodiscard]] bool good() const { return good_; }

  [[nodiscard]] std::optional<std::uint32_t> number(std::size_t at, std::size_t length) const {
    if (at > bytes_.size() || length > bytes_.size() - at) return std::nullopt;
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < length; ++i) {
      const std::size_t index = big_endian_ ? at + i : at + length - 1 - i;
      value = value << 8U | std::to_integer<std::uint32_t>(bytes_[index]);
    }
    return value;
  }

 private:
  std::span<const std::byte> bytes_;
  bool big_endian_ = false;
  bool good_ = false;
};

constexpr std::uint32_t k_orientation_tag = 0x0112;
constexpr std::uint32_t k_short = 3;
constexpr std::size_t k_entry_bytes = 12;

// Where pixel (0,0) of the upright picture lies in the stored one, and the steps for its x and y, in pixels.
struct Walk {
  int start_x, start_y;
  int dx_for_x, dy_for_x;
  int dx_for_y, dy_for_y;
};

Walk walk_of(int orientation, int w, int h) {
  switch (orientation) {
    case 2:
      return {w - 1, 0, -1, 0, 0, 1};
    case 3:
      return {w - 1, h - 1, -1, 0, 0, -1};
    case 4:
      return {0, h - 1, 1, 0, 0, -1};
    case 5:
      return {0, 0, 0, 1, 1, 0};
    case 6:
      return {0, h - 1, 0, -1, 1, 0};
    case 7:
      return {w - 1, h - 1, 0, -1, -1, 0};
    case 8:
      return {w - 1, 0, 0, 1, -1, 0};
    default:
      return {0, 0, 1, 0, 0, 1};
  }
}

template <int Bytes>
void turn(Canvas& from, Canvas& to, const Walk& walk) {
  constexpr int k_tile = 64;  // keeps both sides of a transposition in the cache
  const std::ptrdiff_t stride = from.row(1 % from.height_px()) - from.row(0);
  const std::uint8_t* start = from.row(0) + walk.start_y * stride + std::ptrdiff_t{walk.start_x} * Bytes;
  const std::ptrdiff_t step_x = walk.dy_for_x * stride + std::ptrdiff_t{walk.dx_for_x} * Bytes;
  const std::ptrdiff_t step_y = walk.dy_for_y * stride + std::ptrdiff_t{walk.dx_for_y} * Bytes;
  for (int top = 0; top < to.height_px(); top += k_tile) {
    const int bottom = std::min(top + k_tile, to.height_px());
    for (int left = 0; left < to.width_px(); left += k_tile) {
      const int right = std::min(left + k_tile, to.width_px());
      for (int y = top; y < bottom; ++y) {
        const std::uint8_t* in = start + y * step_y + left * step_x;
        std::uint8_t* out = to.row(y) + std::ptrdiff_t{left} * Bytes;
        for (int x = left; x < right; ++x, in += step_x, out += Bytes)
          for (int i = 0; i < Bytes; ++i) out[i] = in[i];
      }
    }
  }
}

}  // namespace

int exif_orientation(std::span<const std::byte> tiff_block) {
  const TiffBlock block{tiff_block};
  if (!block.good()) return 1;
  const auto directory = block.number(4, 4);
  const auto entries = directory ? block.number(*directory, 2) : std::nullopt;
  if (!entries) return 1;
  for (std::size_t i = 0; i < *entries; ++i) {
    const std::size_t entry = *directory + 2 + i * k_entry_bytes;
    const auto tag = block.number(entry, 2);
    if (!tag) return 1;
    if (*tag != k_orientation_tag) continue;
    const auto value = block.number(entry + 8, 2);
    const bool well_formed = block.number(entry + 2, 2) == k_short && block.number(entry + 4, 4) == 1U && value &&
                             *value >= 1 && *value <= 8;
    return well_formed ? static_cast<int>(*value) : 1;
  }
  return 1;
}

Canvas upright(Canvas canvas, int orientation) {
  if (orientation < 2 || orientation > 8) return canvas;
  const int w = canvas.width_px();
  const int h = canvas.height_px();
  Canvas turned{canvas.channels()};
  if (orientation >= 5) turned.allocate(h, w);
  if (orientation < 5) turned.allocate(w, h);
  const Walk walk = walk_of(orientation, w, h);
  if (canvas.channels() == Channels::grey) turn<1>(canvas, turned, walk);
  if (canvas.channels() == Channels::rgb) turn<3>(canvas, turned, walk);
  return turned;
}

}  // namespace sherdmark
