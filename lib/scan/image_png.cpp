// PNG by libpng: the only file that knows it.
#include <png.h>

#include <array>
#include <csetjmp>
#include <cstring>

#include "scan/image_formats.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr png_alloc_size_t k_most_chunk_bytes = png_alloc_size_t{8} << 20U;
constexpr png_uint_32 k_most_chunks = 1000;
constexpr int k_interlaced_costs = 4;  // an interlaced picture is held whole, in up to four channels

struct Source {
  std::span<const std::byte> rest;
  bool truncated = false;
  std::array<char, 160> message{};
};

void on_read(png_structp png, png_bytep out, std::size_t length) {
  auto& source = *static_cast<Source*>(png_get_io_ptr(png));
  if (length > source.rest.size()) {
    source.truncated = true;
    png_error(png, "the file ends early");
  }
  std::memcpy(out, source.rest.data(), length);
  source.rest = source.rest.subspan(length);
}

void on_error(png_structp png, png_const_charp message) {
  auto& source = *static_cast<Source*>(png_get_error_ptr(png));
  std::strncpy(source.message.data(), message, source.message.size() - 1);
  png_longjmp(png, 1);
}

void on_warning(png_structp, png_const_charp) {}  // about chunks that do not touch the pixels

// Between a setjmp and its longjmp no object with a destructor may come to life: hence the small plain steps.
class PngDecoder {
 public:
  explicit PngDecoder(std::span<const std::byte> bytes) {
    source_.rest = bytes;
    png_ = png_create_read_struct(PNG_LIBPNG_VER_STRING, &source_, on_error, on_warning);
    info_ = png_ == nullptr ? nullptr : png_create_info_struct(png_);
    if (info_ == nullptr) throw std::bad_alloc{};
    png_set_read_fn(png_, &source_, on_read);
  }
  ~PngDecoder() { png_destroy_read_struct(&png_, &info_, nullptr); }
  PngDecoder(const PngDecoder&) = delete;
  PngDecoder& operator=(const PngDecoder&) = delete;
  PngDecoder(PngDecoder&&) = delete;
  PngDecoder& operator=(PngDecoder&&) = delete;

  [[nodiscard]] bool read_header() {
    if (setjmp(png_jmpbuf(png_)) != 0) return false;
    png_set_user_limits(png_, PNG_UINT_31_MAX, PNG_UINT_31_MAX);  // ours are checked before anything is allocated
    png_set_chunk_malloc_max(png_, k_most_chunk_bytes);
    png_set_chunk_cache_max(png_, k_most_chunks);
    png_read_info(png_, info_);
    return true;
  }

  // 8 bits a channel: grey, grey and alpha, RGB, or RGB and alpha.
  [[nodiscard]] bool start() {
    if (setjmp(png_jmpbuf(png_)) != 0) return false;
    png_set_expand(png_);
    png_set_scale_16(png_);
    png_set_interlace_handling(png_);
    png_read_update_info(png_, info_);
    return true;
  }

  [[nodiscard]] bool read_row(png_bytep row) {
    if (setjmp(png_jmpbuf(png_)) != 0) return false;
    png_read_row(png_, row, nullptr);
    return true;
  }

  [[nodiscard]] bool read_whole(png_bytepp rows) {
    if (setjmp(png_jmpbuf(png_)) != 0) return false;
    png_read_image(png_, rows);
    return true;
  }

  [[nodiscard]] bool finish() {
    if (setjmp(png_jmpbuf(png_)) != 0) return false;
    png_read_end(png_, info_);
    return true;
  }

  [[nodiscard]] std::int64_t width_px() const { return png_get_image_width(png_, info_); }
  [[nodiscard]] std::int64_t height_px() const { return png_get_image_height(png_, info_); }
  [[nodiscard]] int channels() const { return png_get_channels(png_, info_); }
  [[nodiscard]] std::size_t row_bytes() const { return png_get_rowbytes(png_, info_); }
  [[nodiscard]] bool interlaced() const { return png_get_interlace_type(png_, info_) != PNG_INTERLACE_NONE; }

  [[nodiscard]] int orientation() const {
    png_uint_32 length = 0;
    png_bytep block = nullptr;
    if (png_get_eXIf_1(png_, info_, &length, &block) == 0) return 1;
    return exif_orientation(std::as_bytes(std::span{block, length}));
  }

  [[nodiscard]] Error trouble(const ImageFile& file) const {
    if (source_.truncated) return image_truncated(file);
    return image_damaged(file, "the PNG decoder says \"" + printable(source_.message.data()) + "\"");
  }

 private:
  Source source_;
  png_structp png_ = nullptr;
  png_infop info_ = nullptr;
};

// An animation names itself in a chunk before the first pixels.
bool is_animated(std::span<const std::byte> bytes) {
  constexpr std::size_t k_signature = 8;
  std::size_t at = k_signature;
  while (bytes.size() >= at + 12) {
    std::size_t length = 0;
    for (std::size_t i = 0; i < 4; ++i) length = length << 8U | std::to_integer<std::size_t>(bytes[at + i]);
    const std::string_view type{reinterpret_cast<const char*>(bytes.data() + at + 4), 4};
    if (type == "acTL") return true;
    if (type == "IDAT" || length > bytes.size() - at - 12) return false;
    at += length + 12;
  }
  return false;
}

// One decoded row of 1 (grey), 2 (grey, alpha), 3 (RGB) or 4 (RGB, alpha) channels, on white.
void paint_row(Canvas& canvas, int y, const std::uint8_t* in, int channels) {
  std::uint8_t* out = canvas.row(y);
  if (channels == static_cast<int>(canvas.channels())) {
    std::memcpy(out, in, static_cast<std::size_t>(canvas.width_px()) * static_cast<std::size_t>(channels));
    return;
  }
  const bool colour = channels >= 3;
  const bool see_through = channels % 2 == 0;
  for (int x = 0; x < canvas.width_px(); ++x, in += channels, out += canvas.pixel_bytes()) {
    const unsigned alpha = see_through ? in[channels - 1] : 255U;
    const unsigned r = over_white(in[0], alpha);
    canvas.paint(out, r, colour ? over_white(in[1], alpha) : r, colour ? over_white(in[2], alpha) : r);
  }
}

}  // namespace

Canvas decode_png(const ImageFile& file, Channels channels) {
  if (is_animated(file.bytes)) throw image_unsupported(file, "Animated PNGs", "Save the one picture that counts.");
  PngDecoder decoder{file.bytes};
  if (!decoder.read_header()) throw decoder.trouble(file);
  require_acceptable_size(file, decoder.width_px(), decoder.height_px());
  const bool interlaced = decoder.interlaced();
  if (interlaced && decoder.width_px() * decoder.height_px() > file.limits.most_pixels / k_interlaced_costs)
    throw image_unsupported(file, "Interlaced PNGs of this size", "Save it without interlacing.");
  if (!decoder.start()) throw decoder.trouble(file);
  Canvas canvas{channels};
  canvas.allocate(static_cast<int>(decoder.width_px()), static_cast<int>(decoder.height_px()));
  const auto height = static_cast<std::size_t>(canvas.height_px());
  std::vector<std::uint8_t> buffer(decoder.row_bytes() * (interlaced ? height : 1));
  if (interlaced) {
    std::vector<png_bytep> rows;
    for (std::size_t y = 0; y < height; ++y) rows.push_back(buffer.data() + y * decoder.row_bytes());
    if (!decoder.read_whole(rows.data())) throw decoder.trouble(file);
  }
  for (int y = 0; y < canvas.height_px(); ++y) {
    if (!interlaced && !decoder.read_row(buffer.data())) throw decoder.trouble(file);
    const std::size_t offset = interlaced ? static_cast<std::size_t>(y) * decoder.row_bytes() : 0;
    paint_row(canvas, y, buffer.data() + offset, decoder.channels());
  }
  if (!decoder.finish()) throw decoder.trouble(file);
  return upright(std::move(canvas), decoder.orientation());
}

}  // namespace sherdmark
