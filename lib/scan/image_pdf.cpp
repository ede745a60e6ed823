// Pages of PDF files, drawn by the programs of Poppler (pdfinfo, pdfimages, pdftoppm) as processes of their own: a
// hostile file can neither hold this program up nor take it down. The only file that knows them.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <map>
#include <sstream>

#include "scan/image_formats.h"
#include "sherdmark/base/program.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr double k_points_an_inch = 72;
constexpr double k_usual_dpi = 300;  // for drawn pages, and the least for scanned ones
constexpr double k_most_dpi = 1200;  // of the images on a page, that the page is drawn at
constexpr std::size_t k_tail_bytes = 2048;
constexpr std::size_t k_dictionary_bytes = 2048;
constexpr std::size_t k_most_listing = std::size_t{16} << 20U;

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

// The JPEG that begins right behind the word "stream", up to the stream's end; empty when it is something else.
std::string_view jpeg_in(std::string_view stream) {
  stream.remove_prefix(std::min(stream.find_first_not_of("\r\n"), stream.size()));
  return stream.starts_with("\xFF\xD8\xFF") ? stream.substr(0, stream.find("endstream")) : std::string_view{};
}

// Poppler fills what a JPEG lacks with grey and says nothing of it: decoded here, it is refused as it would be by
// itself. Its pixels.
std::int64_t require_whole_jpeg(const ImageFile& file, std::string_view jpeg) {
  const Canvas canvas = decode_jpeg({std::as_bytes(std::span{jpeg}), file.name, file.limits}, Channels::grey);
  return std::int64_t{canvas.width_px()} * canvas.height_px();
}

// The sizes that embedded images claim, looked at before Poppler unpacks any of them. Their dictionaries always stand
// in the open: a stream is never inside another one (ISO 32000-1, 7.5.7).
void require_acceptable_images(const ImageFile& file) {
  std::int64_t jpeg_pixels = 0;
  constexpr std::string_view k_subtype = "/Subtype";
  constexpr std::string_view k_stream = "stream";
  const std::string_view text = text_of(file);
  std::size_t next = 0;
  for (auto at = text.find(k_subtype); at != std::string_view::npos; at = text.find(k_subtype, next)) {
    next = at + 1;
    const auto value = text.find_first_not_of(" \r\n\t", at + k_subtype.size());
    if (value == std::string_view::npos || !text.substr(value).starts_with("/Image")) continue;
    const std::size_t from = at - std::min(at, k_dictionary_bytes);
    const auto opening = text.substr(from, at - from).rfind("obj");
    const std::size_t begin = opening == std::string_view::npos ? from : from + opening;
    const std::string_view after = text.substr(begin, 2 * k_dictionary_bytes);
    const auto stream = after.find(k_stream);
    const std::string_view dictionary = after.substr(0, stream);
    const auto width = entry_of(dictionary, "/Width");
    const auto height = entry_of(dictionary, "/Height");
    if (width && height && *width > 0 && *height > 0) require_acceptable_size(file, *width, *height);
    if (stream == std::string_view::npos) continue;
    const std::string_view jpeg = jpeg_in(text.substr(begin + stream + k_stream.size()));
    if (jpeg.empty()) continue;
    next = static_cast<std::size_t>(jpeg.data() + jpeg.size() - text.data());
    jpeg_pixels += require_whole_jpeg(file, jpeg);
    if (jpeg_pixels > file.limits.most_pixels_of_all_pages)
      throw data_error(fmt::format("The pictures in it together have more than {} million pixels.",
                                   file.limits.most_pixels_of_all_pages / 1'000'000),
                       {.file = file.name}, "Split the file into several.");
  }
}

// The first complaint after which Poppler leaves something out and goes on: a picture that it cannot unpack, a page's
// content that is not there. Empty when there is none; its warnings are about other things.
std::string_view what_was_left_out(std::string_view complaints) {
  for (std::string_view rest = complaints; !rest.empty();) {
    const std::string_view line = rest.substr(0, rest.find('\n'));
    for (const std::string_view kind : {"Syntax Error", "Internal Error", "I/O Error", "Unimplemented Feature"})
      if (line.starts_with(kind)) return line;
    rest.remove_prefix(std::min(line.size() + 1, rest.size()));
  }
  return {};
}

// One of the programs, on this file; what went wrong with it, in words.
std::string poppler(const ImageFile& file, const std::vector<std::string>& command, std::size_t most_output,
                    std::optional<int> page = {}) {
  ProgramLimits limits;
  limits.most_seconds = file.limits.most_page_seconds;
  limits.most_output_bytes = most_output;
  ProgramResult result = run_program(command, file.bytes, limits);
  const std::string remedy = "If it opens in a viewer, save its pages as PNG or TIFF and read those.";
  switch (result.end) {
    case ProgramEnd::missing:
      throw environment_error(fmt::format("PDF pages need the program {}, which is not installed.", command.front()),
                              {.file = file.name}, "Install the package poppler-utils, or read pictures instead.");
    case ProgramEnd::out_of_time:
      throw data_error(fmt::format("The PDF was given up after {:g} s{}.", limits.most_seconds,
                                   page ? fmt::format(" at page {}", *page) : ""),
                       {.file = file.name}, remedy);
    case ProgramEnd::too_much_output:
      throw data_error("The PDF makes more than its page sizes allow.", {.file = file.name}, remedy);
    case ProgramEnd::died:
      throw image_damaged(file, "the PDF reader broke off", page);
    case ProgramEnd::finished:
      break;
  }
  const std::string_view amiss = what_was_left_out(result.err);
  if (result.exit_code == 0 && amiss.empty()) return std::move(result.out);
  if (result.err.find("Incorrect password") != std::string::npos)
    throw data_error("The PDF is locked with a password.", {.file = file.name}, "Save it again without one.");
  const std::string_view said = amiss.empty() ? trim(result.err) : amiss;
  throw image_damaged(file, fmt::format("the PDF reader says \"{}\"", printable(said.substr(0, said.find('\n')))),
                      page);
}

struct PageFacts {
  double width_in = 0, height_in = 0;  // as it is to be looked at
  double image_dpi = 0;                // of the finest image on it
};

// "Page    1 size:  612 x 792 pts (letter)", "Page    1 rot:   90".
void note_page(std::string_view line, std::map<int, PageFacts>& pages) {
  std::istringstream words{std::string{line}};
  std::string page, what, by;
  int number = 0;
  if (!(words >> page >> number >> what) || page != "Page") return;
  double first = 0;
  if (!(words >> first)) return;
  PageFacts& facts = pages[number];
  if (what == "rot:" && std::fmod(std::abs(first), 180.0) == 90.0) std::swap(facts.width_in, facts.height_in);
  if (what != "size:" || !(words >> by >> facts.height_in)) return;
  facts.width_in = first / k_points_an_inch;
  facts.height_in /= k_points_an_inch;
}

struct Contents {
  int count = 0;
  std::map<int, PageFacts> pages;
};

Contents contents_of(const ImageFile& file, std::optional<int> only_page) {
  Contents contents;
  const std::string from = std::to_string(only_page.value_or(1));
  const std::string to = std::to_string(only_page.value_or(file.limits.most_pages));
  std::istringstream listing{poppler(file, {"pdfinfo", "-f", from, "-l", to, "-"}, k_most_listing)};
  for (std::string line; std::getline(listing, line);) {
    constexpr std::string_view k_pages = "Pages:";
    if (line.starts_with(k_pages)) contents.count = std::atoi(line.c_str() + k_pages.size());
    note_page(line, contents.pages);
  }
  return contents;
}

// Pixels an inch of the finest image on each page, so that drawing it loses nothing. The listing's last columns are
// resolution across and down, bytes, and how far they were packed.
void note_images(const ImageFile& file, std::optional<int> only_page, Contents& contents) {
  std::vector<std::string> command{"pdfimages", "-list"};
  if (only_page) command.insert(command.end(), {"-f", std::to_string(*only_page), "-l", std::to_string(*only_page)});
  command.emplace_back("-");
  std::istringstream listing{poppler(file, command, k_most_listing)};
  for (std::string line; std::getline(listing, line);) {
    std::istringstream cells{line};
    std::vector<std::string> row;
    for (std::string cell; cells >> cell;) row.push_back(cell);
    if (row.size() < 6) continue;
    const auto page = contents.pages.find(std::atoi(row.front().c_str()));
    if (page == contents.pages.end()) continue;
    for (const std::size_t from_end : {4U, 3U})
      page->second.image_dpi = std::max(page->second.image_dpi, std::atof(row[row.size() - from_end].c_str()));
  }
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

// The whole numbers at the head of a portable pixmap as pdftoppm writes it: "P5 WIDTH HEIGHT 255 " and the pixels.
struct Pixmap {
  int width_px = 0, height_px = 0;
  std::string_view pixels;
};

Pixmap pixmap_of(const ImageFile& file, std::string_view text, std::string_view magic, int page) {
  std::array<int, 3> head{};
  std::size_t at = magic.size();
  bool whole = text.starts_with(magic);
  for (int& number : head) {
    at = text.find_first_not_of(" \n", at);
    if (!whole || at == std::string_view::npos) break;
    const auto [end, problem] = std::from_chars(text.data() + at, text.data() + text.size(), number);
    whole = problem == std::errc{} && number > 0;
    at = static_cast<std::size_t>(end - text.data());
  }
  if (!whole || head[2] != 255 || at >= text.size()) throw image_damaged(file, "a page could not be drawn", page);
  const std::string_view pixels = text.substr(at + 1);
  const std::size_t needed =
      static_cast<std::size_t>(head[0]) * static_cast<std::size_t>(head[1]) * (magic == "P6" ? 3 : 1);
  if (pixels.size() < needed) throw image_damaged(file, "a page could not be drawn to its end", page);
  return {head[0], head[1], pixels};
}

Canvas decode_page(const ImageFile& file, const PageFacts& facts, Channels channels, int number) {
  if (!(facts.width_in > 0) || !(facts.height_in > 0)) throw image_damaged(file, "a page has no size", number);
  double dpi = std::clamp(facts.image_dpi, k_usual_dpi, k_most_dpi);
  const PageSize size = size_of(file, facts.width_in, facts.height_in, dpi, number);
  const bool grey = channels == Channels::grey;
  const std::size_t bytes =
      (static_cast<std::size_t>(size.width_px) + 2) * (static_cast<std::size_t>(size.height_px) + 2) * (grey ? 1 : 3);
  const std::string page = std::to_string(number);
  std::vector<std::string> command{"pdftoppm", "-cropbox", "-r", fmt::format("{:.0f}", dpi), "-f", page, "-l", page};
  if (grey) command.emplace_back("-gray");
  command.emplace_back("-");
  constexpr std::size_t k_most_head = 64;
  const std::string drawn = poppler(file, command, bytes + k_most_head, number);
  const Pixmap pixmap = pixmap_of(file, drawn, grey ? "P5" : "P6", number);
  require_acceptable_size(file, pixmap.width_px, pixmap.height_px, number);
  Canvas canvas{channels};
  canvas.allocate(pixmap.width_px, pixmap.height_px);
  const std::size_t row_bytes = static_cast<std::size_t>(pixmap.width_px) * (grey ? 1 : 3);
  for (int y = 0; y < pixmap.height_px; ++y)
    std::copy_n(pixmap.pixels.data() + static_cast<std::size_t>(y) * row_bytes, row_bytes,
                reinterpret_cast<char*>(canvas.row(y)));
  return canvas;
}

}  // namespace

void decode_pdf(const ImageFile& file, Channels channels, std::optional<int> only_page, const PageSink& sink) {
  require_whole(file);
  require_acceptable_images(file);
  Contents contents = contents_of(file, only_page);
  if (contents.count < 1) throw image_damaged(file, "it has no pages");
  if (contents.count > file.limits.most_pages)
    throw data_error(fmt::format("The file has more than {} pages.", file.limits.most_pages), {.file = file.name},
                     "Split it into several.");
  note_images(file, only_page, contents);
  for (int number = 1; number <= contents.count; ++number) {
    if (only_page && *only_page != number) continue;
    const auto facts = contents.pages.find(number);
    if (facts == contents.pages.end()) throw image_damaged(file, "a page is missing", number);
    sink(number, decode_page(file, facts->second, channels, number));
  }
}

}  // namespace sherdmark
