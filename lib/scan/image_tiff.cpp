// TIFF by libtiff: the only file that knows it.
#include <fmt/format.h>
#include <tiffio.h>

#include <algorithm>
#include <cstdio>
#include <cstring>
#include <memory>

#include "scan/image_formats.h"
#include "sherdmark/base/late_library.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using namespace std::string_view_literals;

constexpr tmsize_t k_most_single_allocation = tmsize_t{1} << 30U;
constexpr std::uint32_t k_least_band_rows = 64;

// Opened by the first picture that needs it: it brings six other formats' libraries with it, 1 to 2 ms of every start.
class TiffLibrary {
  LateLibrary library_{SHERDMARK_TIFF_LIBRARY, "TIFF pictures are read", "Install it, or save the picture as PNG."};

 public:
  SHERDMARK_LATE_FUNCTION(TIFF, Close);
  SHERDMARK_LATE_FUNCTION(TIFF, ClientOpenExt);
  SHERDMARK_LATE_FUNCTION(TIFF, GetField);
  SHERDMARK_LATE_FUNCTION(TIFF, GetFieldDefaulted);
  SHERDMARK_LATE_FUNCTION(TIFF, IsTiled);
  SHERDMARK_LATE_FUNCTION(TIFF, LastDirectory);
  SHERDMARK_LATE_FUNCTION(TIFF, OpenOptionsAlloc);
  SHERDMARK_LATE_FUNCTION(TIFF, OpenOptionsFree);
  SHERDMARK_LATE_FUNCTION(TIFF, OpenOptionsSetErrorHandlerExtR);
  SHERDMARK_LATE_FUNCTION(TIFF, OpenOptionsSetMaxSingleMemAlloc);
  SHERDMARK_LATE_FUNCTION(TIFF, OpenOptionsSetWarningHandlerExtR);
  SHERDMARK_LATE_FUNCTION(TIFF, RGBAImageBegin);
  SHERDMARK_LATE_FUNCTION(TIFF, RGBAImageEnd);
  SHERDMARK_LATE_FUNCTION(TIFF, RGBAImageGet);
  SHERDMARK_LATE_FUNCTION(TIFF, RGBAImageOK);
  SHERDMARK_LATE_FUNCTION(TIFF, ReadDirectory);
};

const TiffLibrary& tiff_calls() {
  static const TiffLibrary library;  // after a failure the next picture tries again
  return library;
}

// The file in memory, as libtiff wants to read it, and what it last complained of.
struct Source {
  std::span<const std::byte> bytes;
  toff_t at = 0;
  bool past_end = false;
  bool decoding = false;  // pixels, not directories
  std::string complaint{};
};

Source& source_of(thandle_t handle) { return *static_cast<Source*>(handle); }

tmsize_t on_read(thandle_t handle, void* out, tmsize_t length) {
  Source& source = source_of(handle);
  const toff_t left = source.at < source.bytes.size() ? source.bytes.size() - source.at : 0;
  const auto count =
      static_cast<std::size_t>(std::min<toff_t>(left, static_cast<toff_t>(std::max<tmsize_t>(length, 0))));
  if (static_cast<tmsize_t>(count) < length) source.past_end = true;
  if (count > 0) std::memcpy(out, source.bytes.data() + source.at, count);
  source.at += count;
  return static_cast<tmsize_t>(count);
}

tmsize_t on_write(thandle_t, void*, tmsize_t) { return 0; }

toff_t on_seek(thandle_t handle, toff_t offset, int whence) {
  Source& source = source_of(handle);
  const toff_t base = whence == SEEK_CUR ? source.at : whence == SEEK_END ? source.bytes.size() : 0;
  source.at = base + offset;
  return source.at;
}

int on_close(thandle_t) { return 0; }
toff_t on_size(thandle_t handle) { return source_of(handle).bytes.size(); }

// Warnings of the decoders that leave every pixel as it was taken.
bool is_harmless(std::string_view text) {
  constexpr std::array k_harmless{"Old-style LZW"sv,
                                  "old-style JPEG"sv,
                                  "extraneous bytes before marker"sv,
                                  "exceeds expected dimensions"sv,
                                  "Unknown Adobe"sv,
                                  "JFIF"sv};
  return std::ranges::any_of(k_harmless, [&](std::string_view words) { return text.find(words) != text.npos; });
}

std::string said(const char* format, va_list arguments) {
  std::array<char, 200> text{};
  std::vsnprintf(text.data(), text.size(), format, arguments);
  return text.data();
}

int on_error(TIFF*, void* user, const char*, const char* format, va_list arguments) {
  static_cast<Source*>(user)->complaint = said(format, arguments);
  return 1;
}
// About a directory: tags that nobody needs. About pixels: the library fills in what it could not decode and goes on.
int on_warning(TIFF*, void* user, const char*, const char* format, va_list arguments) {
  auto& source = *static_cast<Source*>(user);
  if (!source.decoding) return 1;
  std::string text = said(format, arguments);
  if (!is_harmless(text)) source.complaint = std::move(text);
  return 1;
}

struct Close {
  void operator()(TIFF* tiff) const { tiff_calls().Close(tiff); }
};
struct FreeOptions {
  void operator()(TIFFOpenOptions* options) const { tiff_calls().OpenOptionsFree(options); }
};
using Tiff = std::unique_ptr<TIFF, Close>;

Tiff open(Source& source) {
  const std::unique_ptr<TIFFOpenOptions, FreeOptions> options{tiff_calls().OpenOptionsAlloc()};
  if (!options) throw std::bad_alloc{};
  tiff_calls().OpenOptionsSetErrorHandlerExtR(options.get(), on_error, &source);
  tiff_calls().OpenOptionsSetWarningHandlerExtR(options.get(), on_warning, &source);
  tiff_calls().OpenOptionsSetMaxSingleMemAlloc(options.get(), k_most_single_allocation);
  // m: no memory mapping; the bytes are in memory already.
  return Tiff{tiff_calls().ClientOpenExt("picture", "rm", &source, on_read, on_write, on_seek, on_close, on_size,
                                         nullptr, nullptr, options.get())};
}

// A page of a TIFF is decoded band by band, a band being as many whole strips or tiles as are sensible.
class PageDecoder {
 public:
  PageDecoder(TIFF* tiff, const ImageFile& file, Source& source, int page)
      : tiff_(tiff), file_(file), source_(source), page_(page) {
    std::uint32_t width = 0;
    std::uint32_t height = 0;
    tiff_calls().GetField(tiff, TIFFTAG_IMAGEWIDTH, &width);
    tiff_calls().GetField(tiff, TIFFTAG_IMAGELENGTH, &height);
    require_acceptable_size(file, width, height, page);
    width_ = static_cast<int>(width);
    height_ = static_cast<int>(height);
  }

  [[nodiscard]] Canvas decode(Channels channels) {
    std::array<char, 1024> why{};
    TIFFRGBAImage image{};
    if (tiff_calls().RGBAImageOK(tiff_, why.data()) == 0 ||
        tiff_calls().RGBAImageBegin(&image, tiff_, 1, why.data()) == 0)
      throw trouble(why.data());
    const std::unique_ptr<TIFFRGBAImage, decltype(tiff_calls().RGBAImageEnd)> end{&image, tiff_calls().RGBAImageEnd};
    image.req_orientation = image.orientation;  // rows as stored; turned upright afterwards
    Canvas canvas{channels};
    canvas.allocate(width_, height_);
    const int band = band_rows();
    std::vector<std::uint32_t> raster(static_cast<std::size_t>(width_) * static_cast<std::size_t>(band));
    source_.complaint.clear();
    for (int top = 0; top < height_; top += band) {
      const int rows = std::min(band, height_ - top);
      image.row_offset = top;
      source_.decoding = true;
      const int good = tiff_calls().RGBAImageGet(&image, raster.data(), static_cast<std::uint32_t>(width_),
                                                 static_cast<std::uint32_t>(rows));
      source_.decoding = false;
      if (good == 0 || !source_.complaint.empty()) throw trouble({});
      for (int y = 0; y < rows; ++y) paint_row(canvas, top + y, raster.data() + std::ptrdiff_t{y} * width_);
    }
    return upright(std::move(canvas), image.orientation);
  }

 private:
  [[nodiscard]] int band_rows() const {
    std::uint32_t unit = 0;
    if (tiff_calls().IsTiled(tiff_) != 0) {
      tiff_calls().GetField(tiff_, TIFFTAG_TILELENGTH, &unit);
    } else {
      tiff_calls().GetFieldDefaulted(tiff_, TIFFTAG_ROWSPERSTRIP, &unit);
    }
    const auto height = static_cast<std::uint32_t>(height_);
    if (unit == 0 || unit >= height) return height_;
    const std::uint32_t units = (k_least_band_rows + unit - 1) / unit;
    return static_cast<int>(std::min<std::uint64_t>(std::uint64_t{units} * unit, height));
  }

  // The library's pixels: alpha already multiplied in.
  static void paint_row(Canvas& canvas, int y, const std::uint32_t* in) {
    std::uint8_t* out = canvas.row(y);
    for (int x = 0; x < canvas.width_px(); ++x, ++in, out += canvas.pixel_bytes()) {
      const unsigned white = 255U - TIFFGetA(*in);
      const auto channel = [white](unsigned value) { return std::min(value + white, 255U); };
      canvas.paint(out, channel(TIFFGetR(*in)), channel(TIFFGetG(*in)), channel(TIFFGetB(*in)));
    }
  }

  [[nodiscard]] Error trouble(std::string_view why) const {
    if (source_.past_end) return image_truncated(file_, page_);
    const std::string_view said = why.empty() ? std::string_view{source_.complaint} : why;
    return image_damaged(file_, fmt::format("the TIFF decoder says \"{}\"", printable(said)), page_);
  }

  TIFF* tiff_;
  const ImageFile& file_;
  Source& source_;
  int page_;
  int width_ = 0;
  int height_ = 0;
};

bool is_preview(TIFF* tiff) {
  std::uint32_t kind = 0;
  return tiff_calls().GetField(tiff, TIFFTAG_SUBFILETYPE, &kind) != 0 &&
         (kind & (FILETYPE_REDUCEDIMAGE | FILETYPE_MASK)) != 0;
}

}  // namespace

void decode_tiff(const ImageFile& file, Channels channels, std::optional<int> only_page, const PageSink& sink) {
  Source source{file.bytes};
  const Tiff tiff = open(source);
  if (source.past_end) throw image_truncated(file);
  if (!tiff) throw image_damaged(file, fmt::format("the TIFF decoder says \"{}\"", printable(source.complaint)));
  int page = 0;
  bool more = true;
  while (more) {
    if (!is_preview(tiff.get())) {
      if (++page > file.limits.most_pages)
        throw data_error(fmt::format("The file has more than {} pages.", file.limits.most_pages), {.file = file.name},
                         "Split it into several.");
      if (!only_page || *only_page == page) sink(page, PageDecoder{tiff.get(), file, source, page}.decode(channels));
    }
    source.complaint.clear();
    const bool last = tiff_calls().LastDirectory(tiff.get()) != 0;
    more = !last && tiff_calls().ReadDirectory(tiff.get()) != 0;
    if (source.past_end) throw image_truncated(file, page + 1);
    if (!last && !more) {
      throw image_damaged(file, fmt::format("the TIFF decoder says \"{}\"", printable(source.complaint)), page + 1);
    }
  }
  if (page == 0) throw image_damaged(file, "it holds only previews");
}

}  // namespace sherdmark
