// HEIC and AVIF by libheif: the only file that knows it. Turning and mirroring stand in the container and are applied
// by the library; the EXIF orientation of such files is a copy of them and is not applied a second time.
#include <fmt/format.h>
#include <libheif/heif.h>

#include <memory>

#include "scan/image_formats.h"
#include "sherdmark/base/late_library.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

// Opened by the first picture that needs it: it brings the decoders and encoders of three video formats with it, and to
// load them was a quarter of every start (3 to 4 of 14 ms).
class HeifLibrary {
  LateLibrary library_{SHERDMARK_HEIF_LIBRARY, "HEIC and AVIF pictures are read",
                       "Install it (on Debian the package libheif1), or save the picture as JPEG."};

 public:
  SHERDMARK_LATE_FUNCTION(heif_, context_alloc);
  SHERDMARK_LATE_FUNCTION(heif_, context_free);
  SHERDMARK_LATE_FUNCTION(heif_, context_get_image_handle);
  SHERDMARK_LATE_FUNCTION(heif_, context_get_list_of_top_level_image_IDs);
  SHERDMARK_LATE_FUNCTION(heif_, context_get_number_of_top_level_images);
  SHERDMARK_LATE_FUNCTION(heif_, context_read_from_memory_without_copy);
  SHERDMARK_LATE_FUNCTION(heif_, context_set_maximum_image_size_limit);
  SHERDMARK_LATE_FUNCTION(heif_, decode_image);
  SHERDMARK_LATE_FUNCTION(heif_, decoding_options_alloc);
  SHERDMARK_LATE_FUNCTION(heif_, decoding_options_free);
  SHERDMARK_LATE_FUNCTION(heif_, image_get_height);
  SHERDMARK_LATE_FUNCTION(heif_, image_get_plane_readonly);
  SHERDMARK_LATE_FUNCTION(heif_, image_get_width);
  SHERDMARK_LATE_FUNCTION(heif_, image_handle_get_height);
  SHERDMARK_LATE_FUNCTION(heif_, image_handle_get_width);
  SHERDMARK_LATE_FUNCTION(heif_, image_handle_has_alpha_channel);
  SHERDMARK_LATE_FUNCTION(heif_, image_handle_release);
  SHERDMARK_LATE_FUNCTION(heif_, image_release);
};

const HeifLibrary& heif() {
  static const HeifLibrary library;  // after a failure the next picture tries again
  return library;
}

struct FreeContext {
  void operator()(heif_context* context) const { heif().context_free(context); }
};
struct FreeHandle {
  void operator()(heif_image_handle* handle) const { heif().image_handle_release(handle); }
};
struct FreeImage {
  void operator()(heif_image* image) const { heif().image_release(image); }
};
struct FreeOptions {
  void operator()(heif_decoding_options* options) const { heif().decoding_options_free(options); }
};
using Context = std::unique_ptr<heif_context, FreeContext>;
using Handle = std::unique_ptr<heif_image_handle, FreeHandle>;
using Image = std::unique_ptr<heif_image, FreeImage>;

Error trouble(const ImageFile& file, const heif_error& error, std::optional<int> page = {}) {
  if (error.subcode == heif_suberror_End_of_data) return image_truncated(file, page);
  if (error.code == heif_error_Unsupported_filetype || error.code == heif_error_Unsupported_feature)
    return image_unsupported(file, fmt::format("HEIC pictures of this kind (\"{}\")", printable(error.message)),
                             "Save it as JPEG, or set the camera to JPEG.");
  return image_damaged(file, fmt::format("the HEIC decoder says \"{}\"", printable(error.message)), page);
}

void require_good(const ImageFile& file, const heif_error& error, std::optional<int> page = {}) {
  if (error.code != heif_error_Ok) throw trouble(file, error, page);
}

// The lengths of the container's outermost boxes, against what is there (ISO/IEC 14496-12, box structure).
void require_whole(const ImageFile& file) {
  const auto number = [&file](std::size_t at, std::size_t length) {
    std::uint64_t value = 0;
    for (std::size_t i = 0; i < length; ++i) value = value << 8U | std::to_integer<std::uint64_t>(file.bytes[at + i]);
    return value;
  };
  std::size_t at = 0;
  while (at < file.bytes.size()) {
    const std::size_t left = file.bytes.size() - at;
    if (left < 8) throw image_truncated(file);
    std::uint64_t length = number(at, 4);
    if (length == 0) return;  // the last box, as long as the file
    if (length == 1) {
      if (left < 16) throw image_truncated(file);
      length = number(at + 8, 8);
    }
    if (length < 8) throw image_damaged(file, "a box of its container has no length");
    if (length > left) throw image_truncated(file);
    at += static_cast<std::size_t>(length);
  }
}

Context open(const ImageFile& file) {
  Context context{heif().context_alloc()};
  if (!context) throw std::bad_alloc{};
  heif().context_set_maximum_image_size_limit(context.get(), file.limits.most_side_px);
  require_good(
      file, heif().context_read_from_memory_without_copy(context.get(), file.bytes.data(), file.bytes.size(), nullptr));
  return context;
}

Image decode_pixels(const ImageFile& file, const heif_image_handle* handle, bool see_through, int page) {
  const std::unique_ptr<heif_decoding_options, FreeOptions> options{heif().decoding_options_alloc()};
  if (!options) throw std::bad_alloc{};
  options->convert_hdr_to_8bit = 1;
  options->strict_decoding = 1;
  heif_image* image = nullptr;
  require_good(
      file,
      heif().decode_image(handle, &image, heif_colorspace_RGB,
                          see_through ? heif_chroma_interleaved_RGBA : heif_chroma_interleaved_RGB, options.get()),
      page);
  return Image{image};
}

Canvas decode_one(const ImageFile& file, const heif_image_handle* handle, Channels channels, int page) {
  require_acceptable_size(file, heif().image_handle_get_width(handle), heif().image_handle_get_height(handle), page);
  const bool see_through = heif().image_handle_has_alpha_channel(handle) != 0;
  const Image image = decode_pixels(file, handle, see_through, page);
  int stride = 0;
  const std::uint8_t* in = heif().image_get_plane_readonly(image.get(), heif_channel_interleaved, &stride);
  const int width = heif().image_get_width(image.get(), heif_channel_interleaved);
  const int height = heif().image_get_height(image.get(), heif_channel_interleaved);
  if (in == nullptr) throw image_damaged(file, "the HEIC decoder gives no pixels", page);
  require_acceptable_size(file, width, height, page);
  Canvas canvas{channels};
  canvas.allocate(width, height);
  const int step = see_through ? 4 : 3;
  for (int y = 0; y < height; ++y, in += stride) {
    std::uint8_t* out = canvas.row(y);
    for (int x = 0; x < width; ++x, out += canvas.pixel_bytes()) {
      const std::uint8_t* pixel = in + std::ptrdiff_t{x} * step;
      const unsigned alpha = see_through ? pixel[3] : 255U;
      canvas.paint(out, over_white(pixel[0], alpha), over_white(pixel[1], alpha), over_white(pixel[2], alpha));
    }
  }
  return canvas;
}

}  // namespace

void decode_heif(const ImageFile& file, Channels channels, std::optional<int> only_page, const PageSink& sink) {
  require_whole(file);
  const Context context = open(file);
  const int count = heif().context_get_number_of_top_level_images(context.get());
  if (count < 1) throw image_damaged(file, "it holds no picture");
  if (count > file.limits.most_pages)
    throw data_error(fmt::format("The file has more than {} pages.", file.limits.most_pages), {.file = file.name},
                     "Split it into several.");
  std::vector<heif_item_id> ids(static_cast<std::size_t>(count));
  heif().context_get_list_of_top_level_image_IDs(context.get(), ids.data(), count);
  for (int page = 1; page <= count; ++page) {
    if (only_page && *only_page != page) continue;
    heif_image_handle* raw = nullptr;
    require_good(file, heif().context_get_image_handle(context.get(), ids[static_cast<std::size_t>(page - 1)], &raw),
                 page);
    const Handle handle{raw};
    sink(page, decode_one(file, handle.get(), channels, page));
  }
}

}  // namespace sherdmark
