// HEIC, WebP and PDF files as other people's tools write them: heif-enc, cwebp and img2webp, tiff2pdf and qpdf. How
// each looks is judged by the picture that was put in.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>

#include "scan/made_pictures.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/random.h"
#include "sherdmark/scan/image.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using testing::bytes_of;
using testing::largest_difference;
using testing::made_by_convert;
using testing::ScratchFolder;

constexpr int k_wide = 96;
constexpr int k_high = 64;

Bytes file_at(const std::filesystem::path& file) { return real_file_system().read(file, std::size_t{64} << 20U); }

void put(const std::filesystem::path& file, const Bytes& bytes) {
  std::ofstream{file, std::ios::binary}.write(reinterpret_cast<const char*>(bytes.data()),
                                              static_cast<std::streamsize>(bytes.size()));
}

void run_well(const std::vector<std::string>& command) {
  const testing::RunResult result = testing::run(command);
  if (result.exit_code != 0) throw std::runtime_error(command.front() + " failed: " + result.err + result.out);
}

// The lopsided picture through convert with more arguments, as a PNG without palette, which heif-enc would misread.
Bytes lopsided_png(const std::vector<std::string>& more = {}, int width = k_wide, int height = k_high,
                   const std::string& format = "png24") {
  const ScratchFolder scratch;
  std::ofstream{scratch / "in.ppm", std::ios::binary} << testing::lopsided_ppm(width, height);
  std::vector<std::string> arguments = {(scratch / "in.ppm").string()};
  arguments.insert(arguments.end(), more.begin(), more.end());
  return made_by_convert(arguments, format);
}

// What `command` makes of the PNGs; "IN0", "IN1" … and "OUT" stand for the files.
Bytes made_by(std::vector<std::string> command, const std::vector<Bytes>& pngs) {
  const ScratchFolder scratch;
  for (std::size_t i = 0; i < pngs.size(); ++i) put(scratch / ("in" + std::to_string(i) + ".png"), pngs[i]);
  for (std::string& word : command) {
    if (word.starts_with("IN")) word = (scratch / ("in" + word.substr(2) + ".png")).string();
    if (word == "OUT") word = (scratch / "out").string();
  }
  run_well(command);
  return file_at(scratch / "out");
}

Bytes heic_of(const Bytes& png) {
  return made_by({"heif-enc", "-q", "95", "-p", "chroma=444", "IN0", "-o", "OUT"}, {png});
}
Bytes webp_of(const Bytes& png) {
  return made_by({"cwebp", "-quiet", "-lossless", "-exact", "IN0", "-o", "OUT"}, {png});
}

// A scanned PDF: each page one picture, at its own resolution.
Bytes pdf_of(const std::vector<std::vector<std::string>>& pages) {
  const ScratchFolder scratch;
  std::vector<std::string> merge = {"qpdf", "--empty", "--pages"};
  for (std::vector<std::string> arguments : pages) {
    const std::string name = (scratch / ("page" + std::to_string(merge.size()))).string();
    for (const char* word : {"-depth", "8", "-compress", "Zip"}) arguments.emplace_back(word);
    put(name + ".tif", made_by_convert(arguments, "tiff"));
    run_well({"tiff2pdf", "-o", name + ".pdf", name + ".tif"});
    merge.push_back(name + ".pdf");
  }
  if (pages.size() == 1) return file_at(merge.back());
  merge.insert(merge.end(), {"--", (scratch / "scan.pdf").string()});
  run_well(merge);
  return file_at(scratch / "scan.pdf");
}

std::vector<std::string> page_of(int grey, const std::string& size, int dpi) {
  return {"-size",  size,           "xc:gray(" + std::to_string(grey) + ")", "-density", std::to_string(dpi),
          "-units", "PixelsPerInch"};
}

GreyPicture only_page(const Bytes& file) {
  std::vector<ImagePage> pages = read_image(file, "picture");
  EXPECT_EQ(pages.size(), 1U);
  return std::move(pages.at(0).grey);
}

using testing::error_of;
using testing::says;

double mean_difference(const GreyView& a, const GreyView& b) {
  if (a.width_px != b.width_px || a.height_px != b.height_px) return 256;
  double sum = 0;
  for (int y = 0; y < a.height_px; ++y)
    for (int x = 0; x < a.width_px; ++x) sum += std::abs(int{a.at(x, y)} - int{b.at(x, y)});
  return sum / a.width_px / a.height_px;
}

struct Row {
  std::string why;
  Bytes file;
  GreyPicture expected;
  double tolerance;  // mean, in grey levels
};

TEST(ImageFormats, heic_and_webp_look_like_what_was_put_in) {
  const auto as_seen = [](const Bytes& png) { return testing::seen_by_convert(png, "png"); };
  const Bytes plain = lopsided_png();
  const Bytes grey = lopsided_png({"-colorspace", "Gray", "-depth", "8"}, k_wide, k_high, "png");
  const Bytes clear =
      lopsided_png({"-alpha", "set", "-channel", "A", "-evaluate", "set", "40%"}, k_wide, k_high, "png32");
  const Bytes odd = lopsided_png({}, 95, 63);
  const std::vector<Row> rows = {
      {"HEIC", heic_of(plain), as_seen(plain), 2},
      {"HEIC, grey", heic_of(grey), as_seen(grey), 2},
      {"HEIC, seen through", heic_of(clear), as_seen(clear), 2},
      {"HEIC, 10 bits a channel",
       made_by({"heif-enc", "-q", "95", "-b", "10", "IN0", "-o", "OUT"}, {lopsided_png({}, k_wide, k_high, "png48")}),
       as_seen(plain), 3},
      {"WebP without loss", webp_of(plain), as_seen(plain), 0.01},
      {"WebP with loss", made_by({"cwebp", "-quiet", "-q", "95", "IN0", "-o", "OUT"}, {plain}), as_seen(plain), 3},
      {"WebP, grey", webp_of(grey), as_seen(grey), 0.01},
      {"WebP, seen through", webp_of(clear), as_seen(clear), 1},
      {"WebP, odd sides", webp_of(odd), as_seen(odd), 0.01},
  };
  for (const Row& row : rows) {
    EXPECT_LE(mean_difference(only_page(row.file).view(), row.expected.view()), row.tolerance) << row.why;
    EXPECT_LE(largest_difference(to_grey(read_image_colour(row.file, "picture", 1)).view(), only_page(row.file).view()),
              1)
        << row.why;
  }
}

TEST(ImageFormats, avif_is_read_where_its_decoder_is_installed_and_refused_in_words_elsewhere) {
  const Bytes file = made_by_convert({"rose:", "-resize", "64x48!"}, "avif");
  const std::string text = error_of(file);
  EXPECT_TRUE(text.empty() || says(text, "are not read")) << text;
  if (text.empty()) {
    EXPECT_EQ(only_page(file).width_px(), 64);
  }
}

// Both are turned in their container: the upright picture is that of the plain file with its sides exchanged.
TEST(ImageFormats, a_webp_that_is_turned_or_mirrored_by_exif_comes_upright) {
  const Bytes plain = lopsided_png();
  for (int orientation = 1; orientation <= 8; ++orientation) {
    const ScratchFolder scratch;
    put(scratch / "plain.webp", webp_of(plain));
    std::string exif = testing::exif_payload(orientation, true);
    std::ofstream{scratch / "exif", std::ios::binary} << exif.substr(6);
    run_well({"webpmux", "-set", "exif", (scratch / "exif").string(), (scratch / "plain.webp").string(), "-o",
              (scratch / "turned.webp").string()});
    // ImageMagick turns the same picture from a JPEG with the same block.
    const Bytes jpeg = testing::with_app1(
        made_by_convert({"-quality", "98", "-sampling-factor", "4:4:4", (scratch / "plain.webp").string()}, "jpeg"),
        exif);
    EXPECT_LE(mean_difference(only_page(file_at(scratch / "turned.webp")).view(),
                              testing::seen_by_convert(jpeg, "jpeg").view()),
              1.5)
        << orientation;
  }
}

TEST(ImageFormats, several_pictures_in_a_heic_file_are_pages) {
  const Bytes file = made_by({"heif-enc", "-q", "95", "IN0", "IN1", "-o", "OUT"},
                             {made_by_convert({"-size", "64x64", "xc:gray(20)"}, "png"),
                              made_by_convert({"-size", "80x64", "xc:gray(220)"}, "png")});
  const std::vector<ImagePage> pages = read_image(file, "two.heic");
  ASSERT_EQ(pages.size(), 2U);
  EXPECT_NEAR(pages[0].grey.view().at(30, 30), 20, 3);
  EXPECT_NEAR(pages[1].grey.view().at(30, 30), 220, 3);
  EXPECT_EQ(pages[1].grey.width_px(), 80);
  EXPECT_EQ(read_image_colour(file, "two.heic", 2).width_px, 80);
}

TEST(ImageFormats, every_page_of_a_scanned_pdf_is_read_at_the_resolution_of_the_scan) {
  const Bytes file = pdf_of({page_of(20, "1200x600", 600), page_of(120, "300x450", 300), page_of(230, "150x150", 75)});
  const std::vector<ImagePage> pages = read_image(file, "scan.pdf");
  ASSERT_EQ(pages.size(), 3U);
  const std::vector<std::pair<int, int>> sizes = {{1200, 600}, {300, 450}, {600, 600}};  // never below 300 dpi
  const std::vector<int> greys = {20, 120, 230};
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(pages[i].page, static_cast<int>(i) + 1);
    EXPECT_NEAR(pages[i].grey.width_px(), sizes[i].first, 4) << i;
    EXPECT_NEAR(pages[i].grey.height_px(), sizes[i].second, 4) << i;
    EXPECT_NEAR(pages[i].grey.view().at(100, 100), greys[i], 1) << i;
    EXPECT_EQ(read_image_colour(file, "scan.pdf", static_cast<int>(i) + 1).width_px, pages[i].grey.width_px());
  }
}

TEST(ImageFormats, a_pdf_page_looks_like_the_picture_that_was_scanned_however_it_is_turned) {
  const ScratchFolder scratch;
  std::ofstream{scratch / "in.ppm", std::ios::binary} << testing::lopsided_ppm(900, 600);
  const Bytes file = pdf_of({{(scratch / "in.ppm").string(), "-density", "300", "-units", "PixelsPerInch"}});
  put(scratch / "scan.pdf", file);
  for (const std::string turn : {"0", "90", "180", "270"}) {
    run_well({"qpdf", "--rotate=+" + turn, (scratch / "scan.pdf").string(), (scratch / "turned.pdf").string()});
    run_well({"convert", (scratch / "in.ppm").string(), "-rotate", turn, (scratch / "judge.png").string()});
    const GreyPicture judged = testing::seen_by_convert(file_at(scratch / "judge.png"), "png");
    EXPECT_LE(mean_difference(only_page(file_at(scratch / "turned.pdf")).view(), judged.view()), 2.0)
        << turn << ": the two weigh red, green and blue a little differently";
  }
}

// Form 10 draws form 11 ten times, that draws form 12 ten times, …: a hundred thousand million strokes in a kilobyte.
std::string pdf_that_draws_for_hours() {
  constexpr int k_first = 10;
  constexpr int k_last = 20;
  std::vector<std::string> objects{"1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n",
                                   "2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n",
                                   "3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 72 72]/Resources<</XObject<</F 10 0 "
                                   "R>>>>/Contents 4 0 R>>endobj\n",
                                   "4 0 obj<</Length 5>>stream\n/F Do\nendstream endobj\n"};
  for (int form = k_first; form <= k_last; ++form) {
    std::string strokes;
    for (int i = 0; i < 10; ++i) strokes += form == k_last ? "0 0 m 72 72 l S " : "/F Do ";
    objects.push_back(std::to_string(form) +
                      " 0 obj<</Type/XObject/Subtype/Form/BBox[0 0 72 72]/Resources<</XObject<</F " +
                      std::to_string(form + 1) + " 0 R>>>>/Length " + std::to_string(strokes.size()) + ">>stream\n" +
                      strokes + "\nendstream endobj\n");
  }
  std::string pdf = "%PDF-1.4\n";
  std::string table = "xref\n";
  for (const std::string& object : objects) {
    const std::string offset = std::to_string(pdf.size());
    table +=
        object.substr(0, object.find(' ')) + " 1\n" + std::string(10 - offset.size(), '0') + offset + " 00000 n \n";
    pdf += object;
  }
  const std::string start = std::to_string(pdf.size());
  return pdf + table + "trailer<</Size 21/Root 1 0 R>>\nstartxref\n" + start + "\n%%EOF\n";
}

// A page of one picture, whose stream is given as it stands in the file.
Bytes pdf_with_picture(const std::string& filter, const Bytes& stream, const std::string& content = "/I Do") {
  const auto sized = [](const std::string& entries, const std::string& body) {
    return "<<" + entries + "/Length " + std::to_string(body.size()) + ">>stream\n" + body + "\nendstream ";
  };
  const std::string body{reinterpret_cast<const char*>(stream.data()), stream.size()};
  const std::vector<std::string> objects{
      "<</Type/Catalog/Pages 2 0 R>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>",
      "<</Type/Page/Parent 2 0 R/MediaBox[0 0 96 64]/Resources<</XObject<</I 5 0 R>>>>/Contents 4 0 R>>",
      sized("", "q 96 0 0 64 0 0 cm " + content + " Q"),
      sized("/Type/XObject/Subtype/Image/Width 96/Height 64/ColorSpace/DeviceRGB/BitsPerComponent 8/Filter/" + filter,
            body)};
  std::string pdf = "%PDF-1.4\n";
  std::string table = "xref\n0 6\n0000000000 65535 f \n";
  for (std::size_t i = 0; i < objects.size(); ++i) {
    const std::string offset = std::to_string(pdf.size());
    table += std::string(10 - offset.size(), '0') + offset + " 00000 n \n";
    pdf += std::to_string(i + 1) + " 0 obj" + objects[i] + "endobj\n";
  }
  return bytes_of(pdf + table + "trailer<</Size 6/Root 1 0 R>>\nstartxref\n" + std::to_string(pdf.size()) +
                  "\n%%EOF\n");
}

// Poppler leaves out what it cannot make out, and goes on.
TEST(ImageFormats, a_pdf_page_of_which_a_picture_cannot_be_drawn_whole_is_refused) {
  const Bytes jpeg = made_by_convert({"rose:", "-resize", "96x64!", "-quality", "98"}, "jpeg");
  const Bytes half(jpeg.begin(), jpeg.begin() + static_cast<std::ptrdiff_t>(jpeg.size() / 2));
  EXPECT_EQ(error_of(pdf_with_picture("DCTDecode", jpeg)), "");
  EXPECT_TRUE(says(error_of(pdf_with_picture("DCTDecode", half)), "truncated"));
  EXPECT_TRUE(says(error_of(pdf_with_picture("DCTDecode", bytes_of("no picture"))), "Could not find start of jpeg"));
  EXPECT_TRUE(says(error_of(pdf_with_picture("FooDecode", jpeg)), "Unknown filter"));
  EXPECT_TRUE(says(error_of(pdf_with_picture("FlateDecode", jpeg)), "the PDF reader says"));
  EXPECT_TRUE(says(error_of(pdf_with_picture("DCTDecode", jpeg, "/J Do")), "'J' is unknown"));
}

TEST(ImageFormats, a_pdf_that_would_draw_for_hours_is_given_up_in_words) {
  const std::string pdf = pdf_that_draws_for_hours();
  const auto* bytes = reinterpret_cast<const std::byte*>(pdf.data());
  const std::string said = error_of(Bytes(bytes, bytes + pdf.size()), {.most_page_seconds = 0.5});
  EXPECT_TRUE(says(said, "given up after 0.5 s")) << said;
}

TEST(ImageFormats, a_pdf_that_is_locked_with_a_password_is_refused_in_words) {
  const ScratchFolder scratch;
  put(scratch / "scan.pdf", pdf_of({page_of(120, "300x300", 300)}));
  run_well({"qpdf", "--encrypt", "secret", "secret", "256", "--", (scratch / "scan.pdf").string(),
            (scratch / "locked.pdf").string()});
  EXPECT_TRUE(says(error_of(file_at(scratch / "locked.pdf")), "locked with a password"));
}

TEST(ImageFormats, moving_pictures_are_refused_in_words) {
  const Bytes one = lopsided_png();
  const Bytes other = lopsided_png({"-negate"});
  EXPECT_TRUE(says(error_of(made_by({"img2webp", "-lossless", "IN0", "IN1", "-o", "OUT"}, {one, other})),
                   "Animated WebP pictures are not read"));
}

const std::vector<std::pair<std::string, Bytes>>& small_files() {
  static const std::vector<std::pair<std::string, Bytes>> k_files = {
      {"heic", heic_of(lopsided_png({}, 64, 48))},
      {"webp", webp_of(lopsided_png({"-attenuate", "0.3", "+noise", "Gaussian"}, 32, 24))},
      {"webp with loss", made_by({"cwebp", "-quiet", "IN0", "-o", "OUT"}, {lopsided_png({}, 32, 24)})},
      {"pdf", pdf_of({page_of(120, "40x30", 300)})},
  };
  return k_files;
}

TEST(ImageFormats, every_truncated_file_is_refused_and_never_half_read) {
  for (const auto& [name, file] : small_files()) {
    ASSERT_EQ(error_of(file), "") << name;
    int said_truncated = 0;
    int lengths = 0;
    const std::size_t step = std::max<std::size_t>(1, file.size() / 400);
    for (std::size_t length = 0; length + 1 < file.size(); length += step, ++lengths) {
      const std::string text = error_of(std::span{file}.first(length));
      // Of a PDF only the line end after its last word may be missing.
      ASSERT_NE(text, "") << name << " cut to " << length << " of " << file.size();
      said_truncated += says(text, "truncated") ? 1 : 0;
    }
    EXPECT_GT(said_truncated, lengths / 2) << name;
  }
}

TEST(ImageFormats, a_copy_as_long_as_the_file_whose_rest_is_zeros_is_refused) {
  const Bytes png = lopsided_png({"-attenuate", "0.5", "+noise", "Gaussian"}, 256, 192);
  for (const Bytes& file : {heic_of(png), webp_of(png)}) {
    ASSERT_EQ(error_of(file), "");
    ASSERT_GT(file.size(), 16'000U);
    Bytes copied = file;
    std::fill(copied.begin() + static_cast<std::ptrdiff_t>(copied.size() / 2), copied.end(), std::byte{0});
    EXPECT_TRUE(says(error_of(copied), "truncated")) << error_of(copied);
  }
}

TEST(ImageFormats, flipped_bytes_give_a_picture_or_an_error) {
  SeededRandom random{15};
  for (const auto& [name, file] : small_files()) {
    int refused = 0;
    const int rounds = name == "pdf" ? 40 : 250;  // three programs look at each PDF
    for (int i = 0; i < rounds; ++i) {
      Bytes changed = file;
      changed[random.below(file.size())] ^= static_cast<std::byte>(1 + random.below(255));
      refused += error_of(changed, {.most_pixels = 4'000'000}).empty() ? 0 : 1;
    }
    EXPECT_GT(refused, 0) << name;
  }
}

// The bytes with the first `from` replaced; both are equally long.
Bytes replaced(const Bytes& file, const std::string& from, const std::string& to) {
  std::string text{reinterpret_cast<const char*>(file.data()), file.size()};
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  EXPECT_EQ(from.size(), to.size());
  return bytes_of(text.replace(at, from.size(), to));
}

TEST(ImageFormats, pictures_that_claim_to_be_huge_are_refused_before_any_memory_is_taken) {
  // The extent that a HEIC item states: the box "ispe", version and flags, then width and height.
  std::string heic;
  const Bytes& small = small_files()[0].second;
  heic.assign(reinterpret_cast<const char*>(small.data()), small.size());
  const auto ispe = heic.find("ispe");
  ASSERT_NE(ispe, std::string::npos);
  heic.replace(ispe + 8, 8, std::string{"\x7F\xFF\xFF\xFF\x7F\xFF\xFF\xFF", 8});
  EXPECT_NE(error_of(bytes_of(heic)), "");
  // What an image inside a PDF claims is looked at before it is unpacked.
  const Bytes pdf = pdf_of({page_of(120, "9000x1", 300)});
  EXPECT_TRUE(says(error_of(replaced(pdf, "/Height 1", "/Height 9"), {.most_pixels = 20'000}), "9000 × 9"));
  EXPECT_TRUE(says(error_of(pdf, {.most_side_px = 8999}), "a side"));
  EXPECT_TRUE(says(error_of(pdf, {.most_pixels = 8999}), "million pixels"));
  // WebP holds at most 16,383 a side; its limit is kept to the pixel.
  const Bytes webp = webp_of(lopsided_png());
  EXPECT_EQ(error_of(webp, {.most_pixels = k_wide * k_high}), "");
  EXPECT_TRUE(says(error_of(webp, {.most_pixels = k_wide * k_high - 1}), "96 × 64"));
  const Bytes two = pdf_of({page_of(1, "300x300", 300), page_of(2, "300x300", 300)});
  EXPECT_TRUE(says(error_of(two, {.most_pages = 1}), "more than 1 pages"));
  EXPECT_TRUE(says(error_of(two, {.most_pixels_of_all_pages = 100'000}), "together"));
}

TEST(ImageFormats, random_bytes_after_a_good_opening_are_refused) {
  SeededRandom random{4};
  for (const std::string& opening : {std::string{"RIFF\x40\0\0\0WEBPVP8 ", 16},
                                     std::string{"\0\0\0\x18"
                                                 "ftypheic\0\0\0\0mif1heic",
                                                 24},
                                     std::string{"%PDF-1.4\n"}}) {
    for (int i = 0; i < 100; ++i) {
      Bytes file = bytes_of(opening);
      for (std::uint64_t n = random.below(400); n > 0; --n) file.push_back(static_cast<std::byte>(random.below(256)));
      EXPECT_NE(error_of(file), "");
    }
  }
}

}  // namespace
}  // namespace sherdmark
