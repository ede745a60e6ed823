#include "sherdmark/scan/image.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "scan/image_formats.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_what_is_read = "Give a JPEG, PNG, TIFF, HEIC, WebP or PDF file.";

enum class Kind { jpeg, png, tiff, gif, bmp, webp, heif, pdf, empty, unknown };

struct Signature {
  std::string_view bytes;
  std::size_t at;
  Kind kind;
};

using namespace std::string_view_literals;
constexpr std::array k_signatures = {
    Signature{"\xFF\xD8\xFF"sv, 0, Kind::jpeg},
    Signature{"\x89PNG\r\n\x1A\n"sv, 0, Kind::png},
    Signature{"II*\0"sv, 0, Kind::tiff},
    Signature{"MM\0*"sv, 0, Kind::tiff},
    Signature{"II+\0"sv, 0, Kind::tiff},
    Signature{"MM\0+"sv, 0, Kind::tiff},
    Signature{"GIF8"sv, 0, Kind::gif},
    Signature{"WEBP"sv, 8, Kind::webp},
    Signature{"ftyphei"sv, 4, Kind::heif},
    Signature{"ftyphev"sv, 4, Kind::heif},
    Signature{"ftypmif1"sv, 4, Kind::heif},
    Signature{"ftypmsf1"sv, 4, Kind::heif},
    Signature{"ftypavif"sv, 4, Kind::heif},
    Signature{"%PDF-"sv, 0, Kind::pdf},
    Signature{"BM"sv, 0, Kind::bmp},
};

Kind kind_of(std::span<const std::byte> bytes) {
  if (bytes.empty()) return Kind::empty;
  const std::string_view text{reinterpret_cast<const char*>(bytes.data()), std::min<std::size_t>(bytes.size(), 32)};
  for (const Signature& signature : k_signatures)
    if (text.size() >= signature.at && text.substr(signature.at).starts_with(signature.bytes)) return signature.kind;
  return Kind::unknown;
}

Error not_a_picture(const ImageFile& file, Kind kind) {
  switch (kind) {
    case Kind::empty:
      return data_error("The file is empty.", {.file = file.name}, "Copy it again from where it came.");
    case Kind::gif:
      return image_unsupported(file, "GIF pictures", "Save it as PNG.");
    case Kind::bmp:
      return image_unsupported(file, "BMP pictures", "Save it as PNG.");
    default:
      return data_error("This is not a picture in any format that is read.", {.file = file.name},
                        std::string{k_what_is_read});
  }
}

// A copy that broke off may be as long as the picture, its rest zeros; their decoders make grey or green of it and say
// nothing. No encoder ends so.
void require_an_end(const ImageFile& file) {
  constexpr std::size_t k_least_zeros = 4096;  // of a disk, what is written or not written at once
  if (file.bytes.size() < k_least_zeros) return;
  const auto nothing = [](std::byte byte) { return byte == std::byte{0}; };
  if (std::ranges::all_of(file.bytes.last(k_least_zeros), nothing)) throw image_truncated(file);
}

// Every page, or only one, to the sink.
void decode(const ImageFile& file, Channels channels, std::optional<int> only_page, const PageSink& sink) {
  const Kind kind = kind_of(file.bytes);
  const bool wanted = !only_page || *only_page == 1;
  switch (kind) {
    case Kind::jpeg:
      if (wanted) sink(1, decode_jpeg(file, channels));
      return;
    case Kind::png:
      if (wanted) sink(1, decode_png(file, channels));
      return;
    case Kind::tiff:
      decode_tiff(file, channels, only_page, sink);
      return;
    case Kind::webp:
      require_an_end(file);
      if (wanted) sink(1, decode_webp(file, channels));
      return;
    case Kind::heif:
      require_an_end(file);
      decode_heif(file, channels, only_page, sink);
      return;
    case Kind::pdf:
      decode_pdf(file, channels, only_page, sink);
      return;
    default:
      throw not_a_picture(file, kind);
  }
}

ErrorPlace place_of(const ImageFile& file, std::optional<int> page) {
  ErrorPlace place{.file = file.name};
  if (page) place.page = static_cast<std::size_t>(*page);
  return place;
}

}  // namespace

void Canvas::allocate(int width_px, int height_px) {
  width_px_ = width_px;
  height_px_ = height_px;
  if (channels_ == Channels::grey) {
    grey_ = GreyPicture{width_px, height_px};
    return;
  }
  colour_.width_px = width_px;
  colour_.height_px = height_px;
  colour_.rgb.resize(static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px) * 3);
}

void Canvas::allocate_unfilled(int width_px, int height_px) {
  if (channels_ != Channels::grey) return allocate(width_px, height_px);
  width_px_ = width_px;
  height_px_ = height_px;
  grey_ = GreyPicture::unfilled(width_px, height_px);
}

std::uint8_t* Canvas::row(int y) {
  if (channels_ == Channels::grey) return grey_.row(y);
  return colour_.rgb.data() + std::ptrdiff_t{y} * width_px_ * 3;
}

void require_acceptable_size(const ImageFile& file, std::int64_t width_px, std::int64_t height_px,
                             std::optional<int> page) {
  if (width_px < 1 || height_px < 1) throw image_damaged(file, "it says that it has no pixels", page);
  const ImageLimits& limits = file.limits;
  if (width_px <= limits.most_side_px && height_px <= limits.most_side_px && height_px <= limits.most_pixels / width_px)
    return;
  throw data_error(fmt::format("The picture is {} × {} pixels; at most {} million pixels and {} a side are read.",
                               width_px, height_px, limits.most_pixels / 1'000'000, limits.most_side_px),
                   place_of(file, page), "Save it at a lower resolution, or cut it into parts.");
}

Error image_truncated(const ImageFile& file, std::optional<int> page) {
  return data_error("The picture is truncated: the file ends before the picture does.", place_of(file, page),
                    "Copy it again from the camera or scanner.");
}

Error image_damaged(const ImageFile& file, std::string_view detail, std::optional<int> page) {
  return data_error(fmt::format("The picture is damaged: {}.", detail), place_of(file, page),
                    "Copy it again from the camera or scanner, or take it anew.");
}

Error image_unsupported(const ImageFile& file, std::string_view what, std::string_view remedy) {
  return data_error(fmt::format("{} are not read.", what), {.file = file.name}, std::string{remedy});
}

std::vector<ImagePage> read_image(std::span<const std::byte> bytes, const std::string& file_name,
                                  const ImageLimits& limits) {
  std::vector<ImagePage> pages;
  std::int64_t pixels = 0;
  const ImageFile file{bytes, file_name, limits};
  decode(file, Channels::grey, std::nullopt, [&](int page, Canvas&& canvas) {
    pixels += std::int64_t{canvas.width_px()} * canvas.height_px();
    if (pixels > limits.most_pixels_of_all_pages)
      throw data_error(fmt::format("The pages together have more than {} million pixels.",
                                   limits.most_pixels_of_all_pages / 1'000'000),
                       place_of(file, page), "Split the file into several.");
    pages.push_back({page, canvas.take_grey()});
  });
  return pages;
}

ColourPicture read_image_colour(std::span<const std::byte> bytes, const std::string& file_name, int page,
                                const ImageLimits& limits) {
  std::optional<ColourPicture> picture;
  const ImageFile file{bytes, file_name, limits};
  decode(file, Channels::rgb, page, [&picture](int, Canvas&& canvas) { picture = canvas.take_colour(); });
  if (!picture) throw data_error("The file has no such page.", place_of(file, page), "Give a page that it has.");
  return std::move(*picture);
}

}  // namespace sherdmark
