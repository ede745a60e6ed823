// A code that cannot be read is not a code that is not there.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>
#include <string>

#include "scan/crowded_view.h"
#include "scan/zxing_reader.h"
#include "sherdmark/base/random.h"
#include "sherdmark/code/symbol.h"
#include "sherdmark/scan/codes.h"

namespace sherdmark {
namespace {

constexpr int k_width_px = 2400, k_height_px = 1800;  // large: first looked at in a smaller copy
constexpr int k_module_px = 8;
constexpr PointF k_first{200, 300};
constexpr PointF k_second{1400, 900};

GreyPicture bench_with(const PointF& place, const std::string& text, int light = 225, int dark = 25) {
  GreyPicture picture{k_width_px, k_height_px, static_cast<std::uint8_t>(light)};
  const SymbolMatrix symbol = make_qr(text, ErrorLevel::q);
  for (int y = 0; y < symbol.height_modules * k_module_px; ++y)
    for (int x = 0; x < symbol.width_modules * k_module_px; ++x)
      if (symbol.is_dark(x / k_module_px, y / k_module_px))
        picture.row(static_cast<int>(place.y) + y)[static_cast<int>(place.x) + x] = static_cast<std::uint8_t>(dark);
  return picture;
}

int side_px(const std::string& text) { return make_qr(text, ErrorLevel::q).width_modules * k_module_px; }

// The darker of the two, pixel by pixel: prints of both on one table.
GreyPicture together(const GreyPicture& a, const GreyPicture& b) {
  GreyPicture both{k_width_px, k_height_px};
  for (int y = 0; y < k_height_px; ++y)
    for (int x = 0; x < k_width_px; ++x) both.row(y)[x] = std::min(a.view().at(x, y), b.view().at(x, y));
  return both;
}

// Three means over squares one after the other are near to a lens out of focus.
GreyPicture out_of_focus(const GreyPicture& picture, int radius) {
  GreyPicture made{k_width_px, k_height_px, 225};
  GreyPicture from{k_width_px, k_height_px};
  std::copy_n(picture.row(0), static_cast<std::size_t>(k_width_px) * k_height_px, from.row(0));
  for (int pass = 0; pass < 3; ++pass) {
    for (int y = radius; y < k_height_px - radius; ++y) {
      for (int x = radius; x < k_width_px - radius; ++x) {
        const bool near = x > k_second.x - 80 && x < k_second.x + 480 && y > k_second.y - 80 && y < k_second.y + 480;
        if (!near) continue;
        int sum = 0;
        for (int dy = -radius; dy <= radius; ++dy)
          for (int dx = -radius; dx <= radius; ++dx) sum += from.view().at(x + dx, y + dy);
        made.row(y)[x] = static_cast<std::uint8_t>(sum / ((2 * radius + 1) * (2 * radius + 1)));
      }
    }
    std::copy_n(made.row(0), static_cast<std::size_t>(k_width_px) * k_height_px, from.row(0));
  }
  return made;
}

void with_noise(GreyPicture& picture, int levels, std::uint64_t seed) {
  SeededRandom random{seed};
  for (int y = 0; y < k_height_px; ++y)
    for (int x = 0; x < k_width_px; ++x) {
      const int grain = static_cast<int>(random.below(static_cast<std::uint64_t>(2 * levels + 1))) - levels;
      picture.row(y)[x] = static_cast<std::uint8_t>(std::clamp(picture.row(y)[x] + grain, 0, 255));
    }
}

// Found as `check` does: with the first code all that is wanted has been read.
CodesFound found_in(const GreyPicture& picture) {
  CodeReadingOptions options;
  options.nothing_missing = [](const std::vector<CodeReading>& codes) { return !codes.empty(); };
  return find_codes(picture.view(), options);
}

TEST(UnreadCodes, none_where_every_code_is_read) {
  GreyPicture picture = together(bench_with(k_first, "SM1 A FIRST"), bench_with(k_second, "SM1 B SECOND"));
  with_noise(picture, 6, 1);
  const CodesFound found = found_in(picture);
  EXPECT_EQ(found.readings.size(), 2U);
  EXPECT_TRUE(found.unread.empty());
}

TEST(UnreadCodes, none_where_there_is_only_grain) {
  for (const int levels : {2, 20, 90}) {
    GreyPicture picture = bench_with(k_first, "SM1 A FIRST");
    with_noise(picture, levels, static_cast<std::uint64_t>(levels));
    EXPECT_TRUE(found_in(picture).unread.empty()) << levels;
  }
}

TEST(UnreadCodes, one_whose_middle_is_covered_is_told_with_its_place) {
  GreyPicture second = bench_with(k_second, "SM1 B SECOND");
  const int side = side_px("SM1 B SECOND");
  for (int y = side * 35 / 100; y < side; ++y)
    for (int x = side * 35 / 100; x < side; ++x)
      second.row(static_cast<int>(k_second.y) + y)[static_cast<int>(k_second.x) + x] = 225;
  GreyPicture picture = together(bench_with(k_first, "SM1 A FIRST"), second);
  with_noise(picture, 4, 2);
  const CodesFound found = found_in(picture);
  EXPECT_EQ(found.readings.size(), 1U);
  ASSERT_EQ(found.unread.size(), 1U);
  EXPECT_NEAR(found.unread[0][0].x, k_second.x, 4 * k_module_px);
  EXPECT_NEAR(found.unread[0][0].y, k_second.y, 4 * k_module_px);
}

TEST(UnreadCodes, one_out_of_focus_is_told_or_read) {
  for (const int radius : {2, 4, 5}) {
    GreyPicture picture =
        together(bench_with(k_first, "SM1 A FIRST"), out_of_focus(bench_with(k_second, "SM1 B SECOND"), radius));
    with_noise(picture, 2, 3);
    const CodesFound found = found_in(picture);
    EXPECT_EQ(found.readings.size() + found.unread.size(), 2U) << radius;
  }
}

TEST(UnreadCodes, a_small_or_pale_one_is_read_though_all_that_is_wanted_was) {
  GreyPicture picture = together(bench_with(k_first, "SM1 A FIRST"), bench_with(k_second, "SM1 B SECOND", 225, 180));
  with_noise(picture, 3, 4);
  const CodesFound found = found_in(picture);
  EXPECT_EQ(found.readings.size(), 2U);
  EXPECT_TRUE(found.unread.empty());
}

// All of the code but the square in its first corner.
void cover_but_first_square(GreyPicture& picture, const PointF& place, const std::string& text) {
  constexpr int k_square_modules = 8;
  const int side = side_px(text);
  for (int y = 0; y < side; ++y)
    for (int x = 0; x < side; ++x)
      if (std::max(x, y) >= k_square_modules * k_module_px)
        picture.row(static_cast<int>(place.y) + y)[static_cast<int>(place.x) + x] = 225;
}

TEST(UnreadCodes, one_beside_another_that_is_read_only_in_the_end_is_told) {
  const PointF pale{900, 900}, beside{900.0 + side_px("SM1 B SECOND") + 60, 900};
  GreyPicture covered = bench_with(beside, "SM1 C THIRD");
  cover_but_first_square(covered, beside, "SM1 C THIRD");
  GreyPicture picture =
      together(together(bench_with(k_first, "SM1 A FIRST"), bench_with(pale, "SM1 B SECOND", 225, 180)), covered);
  with_noise(picture, 3, 4);
  const CodesFound found = found_in(picture);
  EXPECT_EQ(found.readings.size(), 2U);
  ASSERT_EQ(found.unread.size(), 1U);
  EXPECT_NEAR(found.unread[0][0].x, beside.x, 4 * k_module_px);
}

// `text` turned by 45° about the middle of where it would stand.
GreyPicture turned_bench(const PointF& middle, const std::string& text) {
  GreyPicture picture{k_width_px, k_height_px, 225};
  const SymbolMatrix symbol = make_qr(text, ErrorLevel::q);
  const double half = symbol.width_modules / 2.0;
  for (int y = 0; y < k_height_px; ++y)
    for (int x = 0; x < k_width_px; ++x) {
      const double dx = x + 0.5 - middle.x, dy = y + 0.5 - middle.y;
      const double u = (dx + dy) * std::numbers::sqrt2 / 2 / k_module_px + half;
      const double v = (dy - dx) * std::numbers::sqrt2 / 2 / k_module_px + half;
      const bool inside = u >= 0 && v >= 0 && u < symbol.width_modules && v < symbol.height_modules;
      if (inside && symbol.is_dark(static_cast<int>(u), static_cast<int>(v))) picture.row(y)[x] = 25;
    }
  return picture;
}

TEST(UnreadCodes, one_of_which_a_square_shows_close_beside_a_turned_code_is_told) {
  const PointF middle{1000, 800};
  const double reach = side_px("SM1 A FIRST") * std::numbers::sqrt2 / 2;  // from the middle to a corner of it
  const PointF place{middle.x + reach - 7 * k_module_px, middle.y + reach - 7 * k_module_px};
  GreyPicture covered = bench_with(place, "SM1 B SECOND");
  cover_but_first_square(covered, place, "SM1 B SECOND");
  GreyPicture picture = together(turned_bench(middle, "SM1 A FIRST"), covered);
  with_noise(picture, 4, 5);
  const CodesFound found = found_in(picture);
  EXPECT_EQ(found.readings.size(), 1U);
  ASSERT_EQ(found.unread.size(), 1U);
  EXPECT_NEAR(found.unread[0][0].x, place.x, 4 * k_module_px);
}

// Patches busier than any code, as many as a tray of gravel or sherds has.
void strew_gravel(GreyPicture& picture) {
  constexpr int k_side = 60, k_apart = 150;
  SeededRandom random{7};
  for (int top = 900; top + k_side < k_height_px; top += k_apart)
    for (int left = 40; left + k_side < 1300; left += k_apart)
      for (int y = 0; y < k_side; y += 2)
        for (int x = 0; x < k_side; x += 2) {
          const auto shade = static_cast<std::uint8_t>(random.below(2) == 0 ? 0 : 255);
          for (const int dy : {0, 1}) std::fill_n(picture.row(top + y + dy) + left + x, 2, shade);
        }
}

TEST(UnreadCodes, a_small_one_among_much_that_is_busier_is_told) {
  // Modules of 2 pixels, which are 1 in the smaller copy: of the code only a corner shows.
  constexpr int k_small_px = 2;
  const SymbolMatrix symbol = make_qr("SM1 B SECOND", ErrorLevel::q);
  GreyPicture picture = bench_with(k_first, "SM1 A FIRST");
  strew_gravel(picture);
  const int corner = 12 * k_small_px;
  for (int y = 0; y < corner; ++y)
    for (int x = 0; x < corner; ++x)
      if (symbol.is_dark(x / k_small_px, y / k_small_px))
        picture.row(static_cast<int>(k_second.y) + y)[static_cast<int>(k_second.x) + x] = 70;
  const CodesFound found = found_in(picture);
  EXPECT_EQ(found.readings.size(), 1U);
  EXPECT_TRUE(std::ranges::any_of(found.unread, [](const Corners& corners) {
    return std::hypot(corners[0].x - k_second.x, corners[0].y - k_second.y) < 4 * k_small_px;
  }));
}

// The reader's library would try every three of them as one code, for days.
TEST(UnreadCodes, a_picture_full_of_their_squares_is_told_and_not_given_to_the_library) {
  constexpr int k_apart_px = 9;
  GreyPicture picture{k_width_px, k_height_px, 255};
  for (int y = 0; y < k_height_px; ++y)
    for (int x = 0; x < k_width_px; ++x) {
      const int ring = std::max(std::abs(x % k_apart_px - 4), std::abs(y % k_apart_px - 4));
      picture.row(y)[x] = ring <= 1 || ring == 3 ? 0 : 255;
    }
  EXPECT_TRUE(is_crowded(picture.view()));
  EXPECT_TRUE(read_once(picture.view(), {}).empty());
  EXPECT_TRUE(read_once(picture.view(), {.binarizer = Binarizer::global_histogram}).empty());
  EXPECT_TRUE(find_codes(picture.view(), {}).readings.empty());
}

// Each three of their squares could be a code, for the reader's library: given the whole, it reads few of them.
TEST(UnreadCodes, three_hundred_codes_in_one_picture_are_all_read) {
  constexpr int k_columns = 20, k_rows = 15, k_side_px = 120, k_small_px = 4;
  GreyPicture picture{k_columns * k_side_px, k_rows * k_side_px, 225};
  for (int i = 0; i < k_columns * k_rows; ++i) {
    const SymbolMatrix symbol = make_qr("SM1 " + std::to_string(1000 + i), ErrorLevel::m);
    const int left = i % k_columns * k_side_px + 5 + i * 7 % 9, top = i / k_columns * k_side_px + 5 + i * 5 % 9;
    for (int y = 0; y < symbol.height_modules * k_small_px; ++y)
      for (int x = 0; x < symbol.width_modules * k_small_px; ++x)
        if (symbol.is_dark(x / k_small_px, y / k_small_px)) picture.row(top + y)[left + x] = 25;
  }
  std::set<std::string> texts;
  const CodesFound found = find_codes(picture.view(), {});
  for (const CodeReading& reading : found.readings) texts.insert(reading.text);
  EXPECT_EQ(texts.size(), 300U);
  EXPECT_EQ(found.readings.size(), 300U) << "each once";
  EXPECT_TRUE(found.unread.empty());
}

TEST(UnreadCodes, one_that_the_border_cuts_is_told) {
  GreyPicture second = bench_with({1400, 900}, "SM1 B SECOND");
  const int side = side_px("SM1 B SECOND");
  GreyPicture picture = together(bench_with(k_first, "SM1 A FIRST"), second);
  const GreyView cut = picture.view().crop(0, 0, 1400 + side * 6 / 10, k_height_px);
  CodeReadingOptions options;
  options.nothing_missing = [](const std::vector<CodeReading>& codes) { return !codes.empty(); };
  const CodesFound found = find_codes(cut, options);
  EXPECT_EQ(found.readings.size(), 1U);
  EXPECT_EQ(found.unread.size(), 1U);
}

}  // namespace
}  // namespace sherdmark
