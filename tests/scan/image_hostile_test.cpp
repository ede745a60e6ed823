// Broken and hostile picture files: a clear error that names the file, no crash, bounded memory.
#include <gtest/gtest.h>

#include "scan/made_pictures.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/random.h"
#include "sherdmark/scan/image.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using testing::bytes_of;
using testing::made_by_convert;

using testing::error_of;
using testing::says;

const std::vector<std::pair<std::string, Bytes>>& small_files() {
  static const std::vector<std::pair<std::string, Bytes>> k_files = {
      {"jpeg", made_by_convert({"rose:", "-resize", "24x16!", "-quality", "70"}, "jpeg")},
      {"progressive jpeg",
       made_by_convert({"rose:", "-resize", "24x16!", "-interlace", "JPEG", "-quality", "70"}, "jpeg")},
      {"png", made_by_convert({"rose:", "-resize", "24x16!"}, "png")},
      {"interlaced png", made_by_convert({"rose:", "-resize", "24x16!", "-interlace", "PNG"}, "png")},
      {"tiff", made_by_convert({"rose:", "-resize", "24x16!", "-compress", "LZW"}, "tiff")},
      {"plain tiff", made_by_convert({"rose:", "-resize", "24x16!", "-compress", "None"}, "tiff")},
  };
  return k_files;
}

TEST(HostileImage, every_truncated_file_is_refused_and_never_half_read) {
  for (const auto& [name, file] : small_files()) {
    ASSERT_EQ(error_of(file), "") << name;
    int said_truncated = 0;
    for (std::size_t length = 0; length < file.size(); ++length) {
      const std::string text = error_of(std::span{file}.first(length));
      ASSERT_NE(text, "") << name << " cut to " << length << " of " << file.size();
      said_truncated += says(text, "truncated") ? 1 : 0;
    }
    EXPECT_GT(said_truncated, static_cast<int>(file.size()) / 2) << name;
  }
}

TEST(HostileImage, every_flipped_byte_gives_a_picture_or_an_error) {
  for (const auto& [name, file] : small_files()) {
    int refused = 0;
    for (std::size_t at = 0; at < file.size(); ++at) {
      for (const unsigned flip : {0x01U, 0x80U, 0xFFU}) {
        Bytes changed = file;
        changed[at] ^= static_cast<std::byte>(flip);
        refused += error_of(changed, {.most_pixels = 4'000'000}).empty() ? 0 : 1;
      }
    }
    // A PNG carries check sums over everything: most changes must be found.
    EXPECT_GT(refused, says(name, "png") ? static_cast<int>(file.size()) : 0) << name;
  }
}

TEST(HostileImage, random_bytes_after_a_good_opening_are_refused) {
  SeededRandom random{4};
  for (const std::string& opening : {std::string{"\xFF\xD8\xFF"}, std::string{"\x89PNG\r\n\x1A\n"},
                                     std::string{"II*\0", 4}, std::string{"MM\0*", 4}}) {
    for (int i = 0; i < 300; ++i) {
      Bytes file = bytes_of(opening);
      for (std::uint64_t n = random.below(400); n > 0; --n) file.push_back(static_cast<std::byte>(random.below(256)));
      EXPECT_NE(error_of(file), "");
    }
  }
}

struct WordsRow {
  Bytes file;
  std::string words;
};

TEST(HostileImage, what_is_no_picture_is_said_in_words) {
  const std::vector<WordsRow> rows = {
      {{}, "The file is empty."},
      {bytes_of("x"), "not a picture in any format"},
      {Bytes(5000, std::byte{0}), "not a picture in any format"},
      {bytes_of("number,object\n1,sherd\n"), "not a picture in any format"},
      {bytes_of("GIF89a"), "GIF pictures are not read"},
      {bytes_of("BM......"), "BMP pictures are not read"},
      {testing::png_file(4, 4, "", "acTL"), "Animated PNGs are not read"},
      {testing::png_file(4, 4, "no zlib stream"), "damaged"},
      {testing::png_file(0, 4, ""), "damaged"},
  };
  for (const WordsRow& row : rows) EXPECT_TRUE(says(error_of(row.file), row.words)) << error_of(row.file);
}

TEST(HostileImage, a_folder_is_not_a_picture) {
  const testing::ScratchFolder folder;
  try {
    (void)real_file_system().read(folder.path(), 1000);
    ADD_FAILURE() << "a folder was read";
  } catch (const Error& error) {
    EXPECT_TRUE(says(error.what(), folder.path().string())) << error.what();
  }
}

// Claims a size in the frame header of a baseline JPEG.
Bytes jpeg_claiming(unsigned width, unsigned height) {
  Bytes file = small_files().at(0).second;
  for (std::size_t at = 2; at + 9 < file.size();) {
    const auto marker = std::to_integer<unsigned>(file[at + 1]);
    if (marker >= 0xC0 && marker <= 0xC2) {
      file[at + 5] = static_cast<std::byte>(height >> 8U), file[at + 6] = static_cast<std::byte>(height & 0xFFU);
      file[at + 7] = static_cast<std::byte>(width >> 8U), file[at + 8] = static_cast<std::byte>(width & 0xFFU);
      return file;
    }
    at += 2 + std::to_integer<std::size_t>(file[at + 2]) * 256 + std::to_integer<std::size_t>(file[at + 3]);
  }
  throw std::runtime_error("no frame header");
}

// A little-endian TIFF of one empty strip that claims a size.
Bytes tiff_claiming(std::uint32_t width, std::uint32_t height) {
  std::string file{"II*\0\x08\0\0\0\x08\0", 10};
  const auto entry = [&file](unsigned tag, unsigned type, std::uint32_t value) {
    for (const unsigned byte : {tag & 0xFFU, tag >> 8U, type, 0U, 1U, 0U, 0U, 0U})
      file.push_back(static_cast<char>(byte));
    for (unsigned shift = 0; shift < 32; shift += 8) file.push_back(static_cast<char>((value >> shift) & 0xFFU));
  };
  entry(256, 4, width);
  entry(257, 4, height);
  entry(258, 3, 8);
  entry(259, 3, 1);
  entry(262, 3, 1);
  entry(273, 4, 8);
  entry(278, 4, height);
  entry(279, 4, 0x7FFFFFFF);
  return bytes_of(file + std::string(4, '\0'));
}

TEST(HostileImage, pictures_that_claim_to_be_huge_are_refused_before_any_memory_is_taken) {
  const std::vector<Bytes> files = {
      testing::png_file(60000, 60000, ""), testing::png_file(0x7FFFFFFF, 1, ""), jpeg_claiming(65000, 65000),
      tiff_claiming(60000, 60000),         tiff_claiming(0x7FFFFFFF, 1),
  };
  for (const Bytes& file : files) EXPECT_TRUE(says(error_of(file), "million pixels")) << error_of(file);
}

TEST(HostileImage, a_tiff_that_promises_more_than_it_holds_is_refused) {
  EXPECT_NE(error_of(tiff_claiming(1000, 1000)), "");
  EXPECT_NE(error_of(tiff_claiming(10000, 10000)), "");
  EXPECT_NE(error_of(tiff_claiming(0xFFFFFFFFU, 0xFFFFFFFFU)), "");
}

// What the decoders of fax and JPEG strips could not make out they leave white or grey, with a warning.
TEST(HostileImage, a_tiff_whose_pixels_are_damaged_is_refused) {
  const std::vector<std::string> drawn = {"-size",
                                          "400x400",
                                          "xc:white",
                                          "-fill",
                                          "black",
                                          "-draw",
                                          "rectangle 40,40 150,150",
                                          "-draw",
                                          "rectangle 250,250 350,350"};
  const auto tiff = [&drawn](std::vector<std::string> more) {
    more.insert(more.begin(), drawn.begin(), drawn.end());
    return made_by_convert(more, "tiff");
  };
  struct Row {
    std::string why;
    Bytes file;
    std::size_t from;  // in bytes; the pixels begin at the eighth
  };
  const std::vector<Row> rows = {
      {"group 4", tiff({"-threshold", "50%", "-compress", "Group4"}), 40},
      {"fax", tiff({"-threshold", "50%", "-compress", "Fax"}), 400},
      {"JPEG", tiff({"-type", "TrueColor", "-compress", "JPEG"}), 3000},
  };
  for (const Row& row : rows) {
    ASSERT_EQ(error_of(row.file), "") << row.why;
    Bytes changed = row.file;
    for (std::size_t i = 0; i < 24; ++i) changed[row.from + i] = std::byte{0x55};
    EXPECT_TRUE(says(error_of(changed), "damaged")) << row.why << ": " << error_of(changed);
  }
}

TEST(HostileImage, the_limits_are_kept_to_the_pixel) {
  const Bytes file = made_by_convert({"-size", "100x50", "xc:gray(99)"}, "png");
  EXPECT_EQ(error_of(file, {.most_pixels = 5000}), "");
  EXPECT_TRUE(says(error_of(file, {.most_pixels = 4999}), "100 × 50"));
  EXPECT_EQ(error_of(file, {.most_side_px = 100}), "");
  EXPECT_TRUE(says(error_of(file, {.most_side_px = 99}), "100 × 50"));
}

TEST(HostileImage, pages_are_counted_and_their_pixels_added_up) {
  const Bytes file = made_by_convert({"-size", "100x50", "xc:gray(9)", "xc:gray(99)", "xc:gray(199)"}, "tiff");
  EXPECT_EQ(error_of(file, {.most_pages = 3}), "");
  EXPECT_TRUE(says(error_of(file, {.most_pages = 2}), "more than 2 pages"));
  EXPECT_EQ(error_of(file, {.most_pixels_of_all_pages = 15000}), "");
  EXPECT_TRUE(says(error_of(file, {.most_pixels_of_all_pages = 14999}), "together"));
}

}  // namespace
}  // namespace sherdmark
