// Pages of PDF files by Poppler's GLib interface and Cairo: the only file that knows them.
#include <fmt/format.h>
#include <poppler.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <memory>
#include <mutex>

#include "scan/image_formats.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr double k_points_an_inch = 72;
constexpr double k_usual_dpi = 300;  // for drawn pages, and the least for scanned ones
constexpr double k_most_dpi = 1200;  // of the images on a page, that the page is drawn at
constexpr std::size_t k_tail_bytes = 2048;
constexpr std::size_t k_dictionary_bytes = 2048;

template <auto Free>
struct With {
  template <typename T>
  void operator()(T* thing) const {
    Free(thing);
  }
};
using Document = std::unique_ptr<PopplerDocument, With<g_object_unref>>;
using Page = std::unique_ptr<PopplerPage, With<g_object_unref>>;
using Surface = std::unique_ptr<cairo_surface_t, With<cairo_surface_destroy>>;
using Pen = std::unique_ptr<cairo_t, With<cairo_destroy>>;

// Poppler keeps settings and caches that all documents share: one page at a time, which also bounds memory.
std::mutex& poppler_in_use() {
  static std::mutex mutex;
  return mutex;
}

std::string_view text_of(const ImageFile& file) {
  return {reinterpret_cast<const char*>(file.bytes.data()), file.bytes.size()};
}

// ISO 32000-1, 7.5.5: a file ends with its trailer, "startxref", an offset and "%%EOF". Poppler repairs what was cut
// off and would show the pages that are left; a scan with fewer pages than were made is not what was handed in.
void require_whole(const ImageFile& file) {
  const std::string_view text = text_of(file);
  const std::string_view tail = text.substr(text.size() - std::min(text.size(), k_tail_bytes));
  const auto start = tail.rfind("startxref");
  if (start == std::string_view::npos || tail.find("%%EOF", start) == std::string_view::npos)
    throw image_truncated(file);
}

std::optional<std::int64_t> entry_of(std::string_view dictionary, std::string_view key) {
  auto at = dictionary.find(key);
  if (at == std::string_view::npos) return std::nullopt;
  at = dictionary.find_first_not_of(" \r\n\t", at + key.size());
  if (at == std::string_view::npos) return std::nullopt;
  std::int64_t value = 0;
  const auto [end, problem] = std::from_chars(dictionary.data() + at, dictionary.data() + dictionary.size(), value);
  return problem == std::errc{} ? std::optional{value} : std::nullopt;
}

// The sizes that embedded images claim, looked at before Poppler unpacks any of them. Their dictionaries always stand
// in the open: a stream is never inside another one (ISO 32000-1, 7.5.7).
void require_acceptable_images(const ImageFile& file) {
  constexpr std::string_view k_subtype = "/Subtype";
  const std::string_view text = text_of(file);
  for (auto at = text.find(k_subtype); at != std::string_view::npos; at = text.find(k_subtype, at + 1)) {
    const auto value = text.find_first_not_of(" \r\n\t", at + k_subtype.size());
    if (value == std::string_view::npos || !text.substr(value).starts_with("/Image")) continue;
    const std::size_t from = at - std::min(at, k_dictionary_bytes);
    const auto opening = text.substr(from, at - from).rfind("obj");
    const std::size_t begin = opening == std::string_view::npos ? from : from + opening;
    const std::string_view after = text.substr(begin, 2 * k_dictionary_bytes);
    const std::string_view dictionary = after.substr(0, after.find("stream"));
    const auto width = entry_of(dictionary, "/Width");
    const auto height = entry_of(dictionary, "/Height");
    if (width && height && *width > 0 && *height > 0) require_acceptable_size(file, *width, *height);
  }
}

Document open(const ImageFile& file) {
  GBytes* bytes = g_bytes_new_static(file.bytes.data(), file.bytes.size());
  GError* error = nullptr;
  Document document{poppler_document_new_from_bytes(bytes, nullptr, &error)};
  g_bytes_unref(bytes);
  if (document) return document;
  const bool locked = error != nullptr && g_error_matches(error, POPPLER_ERROR, POPPLER_ERROR_ENCRYPTED);
  const std::string said = error == nullptr ? "no document" : printable(error->message);
  g_clear_error(&error);
  if (locked) throw data_error("The PDF is locked with a password.", {.file = file.name}, "Save it again without one.");
  throw image_damaged(file, fmt::format("the PDF reader says \"{}\"", said));
}

// Pixels an inch of the finest image on the page, so that drawing it loses nothing; never less than the usual.
double sensible_dpi(PopplerPage* page) {
  double dpi = k_usual_dpi;
  GList* images = poppler_page_get_image_mapping(page);
  for (const GList* link = images; link != nullptr; link = link->next) {
    const auto* mapping = static_cast<const PopplerImageMapping*>(link->data);
    const double across = std::abs(mapping->area.x2 - mapping->area.x1) / k_points_an_inch;
    const double down = std::abs(mapping->area.y2 - mapping->area.y1) / k_points_an_inch;
    if (!(across > 0) || !(down > 0)) continue;
    const Surface image{poppler_page_get_image(page, mapping->image_id)};
    if (!image || cairo_surface_status(image.get()) != CAIRO_STATUS_SUCCESS) continue;
    const double width = cairo_image_surface_get_width(image.get());
    const double height = cairo_image_surface_get_height(image.get());
    // A scan that lies on its side has its sides exchanged.
    const double upright = std::max(width / across, height / down);
    const double turned = std::max(width / down, height / across);
    dpi = std::max(dpi, std::min(upright, turned));
  }
  poppler_page_free_image_mapping(images);
  return std::min(dpi, k_most_dpi);
}

struct PageSize {
  int width_px, height_px;
};

// At the page's own resolution; coarser, down to the usual, when that would be more pixels than are read.
PageSize size_of(const ImageFile& file, double width_in, double height_in, double& dpi, int page) {
  const double most = std::sqrt(static_cast<double>(file.limits.most_pixels) / (width_in * height_in));
  dpi = std::clamp(std::floor(std::min(dpi, most)), std::min(dpi, k_usual_dpi), dpi);
  const double width = std::round(width_in * dpi);
  const double height = std::round(height_in * dpi);
  constexpr double k_most = 1e9;
  if (!(width < k_most) || !(height < k_most)) throw image_damaged(file, "a page has no sensible size", page);
  require_acceptable_size(file, static_cast<std::int64_t>(width), static_cast<std::int64_t>(height), page);
  return {static_cast<int>(width), static_cast<int>(height)};
}

Surface draw(const ImageFile& file, PopplerPage* page, const PageSize& size, double dpi, int number) {
  Surface surface{cairo_image_surface_create(CAIRO_FORMAT_RGB24, size.width_px, size.height_px)};
  if (cairo_surface_status(surface.get()) == CAIRO_STATUS_NO_MEMORY) throw std::bad_alloc{};
  const Pen pen{cairo_create(surface.get())};
  cairo_set_source_rgb(pen.get(), 1, 1, 1);
  cairo_paint(pen.get());
  cairo_scale(pen.get(), dpi / k_points_an_inch, dpi / k_points_an_inch);
  poppler_page_render(page, pen.get());
  if (cairo_status(pen.get()) != CAIRO_STATUS_SUCCESS)
    throw image_damaged(
        file, fmt::format("the page could not be drawn: {}", cairo_status_to_string(cairo_status(pen.get()))), number);
  cairo_surface_flush(surface.get());
  return surface;
}

Canvas decode_page(const ImageFile& file, PopplerPage* page, Channels channels, int number) {
  double width_pt = 0;
  double height_pt = 0;
  poppler_page_get_size(page, &width_pt, &height_pt);
  if (!(width_pt > 0) || !(height_pt > 0)) throw image_damaged(file, "a page has no size", number);
  double dpi = sensible_dpi(page);
  const PageSize size = size_of(file, width_pt / k_points_an_inch, height_pt / k_points_an_inch, dpi, number);
  const Surface surface = draw(file, page, size, dpi, number);
  Canvas canvas{channels};
  canvas.allocate(size.width_px, size.height_px);
  const int stride = cairo_image_surface_get_stride(surface.get());
  const std::uint8_t* in = cairo_image_surface_get_data(surface.get());
  for (int y = 0; y < size.height_px; ++y, in += stride) {
    std::uint8_t* out = canvas.row(y);
    const auto* pixel = reinterpret_cast<const std::uint32_t*>(in);
    for (int x = 0; x < size.width_px; ++x, ++pixel, out += canvas.pixel_bytes())
      canvas.paint(out, (*pixel >> 16U) & 0xFFU, (*pixel >> 8U) & 0xFFU, *pixel & 0xFFU);
  }
  return canvas;
}

}  // namespace

void decode_pdf(const ImageFile& file, Channels channels, std::optional<int> only_page, const PageSink& sink) {
  require_whole(file);
  require_acceptable_images(file);
  const std::lock_guard lock{poppler_in_use()};
  const Document document = open(file);
  const int count = poppler_document_get_n_pages(document.get());
  if (count < 1) throw image_damaged(file, "it has no pages");
  if (count > file.limits.most_pages)
    throw data_error(fmt::format("The file has more than {} pages.", file.limits.most_pages), {.file = file.name},
                     "Split it into several.");
  for (int number = 1; number <= count; ++number) {
    if (only_page && *only_page != number) continue;
    const Page page{poppler_document_get_page(document.get(), number - 1)};
    if (!page) throw image_damaged(file, "a page is missing", number);
    sink(number, decode_page(file, page.get(), channels, number));
  }
}

}  // namespace sherdmark
