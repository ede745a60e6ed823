#include "sherdmark/report/marked_picture.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/scan/image.h"
#include "sherdmark/sheet/sheets.h"
#include "sherdmark/verify/reasons.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

Corners box(double x, double y, double w, double h) {
  return {PointF{x, y}, PointF{x + w, y}, PointF{x + w, y + h}, PointF{x, y + h}};
}

Reading reading(LabelRole role, bool sure, const std::string& number, const Corners& corners) {
  Reading one;
  one.role = role;
  one.sure = sure;
  if (sure) one.number = number;
  if (sure && role != LabelRole::artifact) one.bag = "B12";
  one.source = role == LabelRole::artifact ? ReadingSource::text : ReadingSource::qr;
  one.image = "IMG_1.jpg";
  one.corners = corners;
  return one;
}

// A stand-in for a photograph: cloth in grey, a bag label, a tag and two artifact labels in white.
ColourPicture photograph(int width_px, int height_px) {
  ColourPicture picture{width_px, height_px, {}};
  picture.rgb.resize(static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px) * 3);
  for (std::size_t i = 0; i < picture.rgb.size(); ++i)
    picture.rgb[i] = static_cast<std::uint8_t>(120 + (i / 3) % static_cast<std::size_t>(width_px) * 60 /
                                                         static_cast<std::size_t>(width_px));
  return picture;
}

SetVerdict verdict_of(Verdict verdict, double scale = 1) {
  SetVerdict set;
  set.set = "IMG_1.jpg";
  set.bag = "B12";
  set.number = "12-3";
  set.verdict = verdict;
  set.evidence = Evidence::bag_and_tag;
  set.expected = 4;
  set.seen = 3;
  set.unlabelled = 0;
  set.reasons = {make_reason(ReasonCode::foreign_artifact, {{"number", "13-1"}, {"bag", "B12"}, {"where", "bag B77"}}),
                 make_reason(ReasonCode::not_read_surely, {{"label", "artifact label in IMG_1.jpg"}}),
                 make_reason(ReasonCode::missing_artifact, {{"number", "12-3"}, {"expected", "2"}, {"seen", "1"}})};
  set.readings = {reading(LabelRole::bag, true, "12-3", box(60 * scale, 80 * scale, 220 * scale, 220 * scale)),
                  reading(LabelRole::tag, true, "12-3", box(420 * scale, 140 * scale, 130 * scale, 130 * scale)),
                  reading(LabelRole::artifact, true, "13-1", box(640 * scale, 120 * scale, 70 * scale, 24 * scale)),
                  reading(LabelRole::artifact, false, "", box(660 * scale, 330 * scale, 70 * scale, 24 * scale))};
  return set;
}

Bytes jpeg_bytes(const ColourPicture& picture, int quality) {
  Bytes bytes;
  write_jpeg(picture, quality,
             [&](std::span<const std::byte> part) { bytes.insert(bytes.end(), part.begin(), part.end()); });
  return bytes;
}

TEST(MarkedPicture, BannerStandsAboveAndCoversNothing) {
  const ColourPicture plain = photograph(800, 500);
  SetVerdict set = verdict_of(Verdict::agree);
  set.readings.clear();
  const ColourPicture marked = mark_picture(plain, set, "IMG_1.jpg", 1);
  EXPECT_EQ(marked.width_px, 800);
  ASSERT_GT(marked.height_px, 500);
  const auto banner = static_cast<std::ptrdiff_t>(marked.rgb.size() - plain.rgb.size());
  EXPECT_TRUE(std::equal(plain.rgb.begin(), plain.rgb.end(), marked.rgb.begin() + banner));
}

TEST(MarkedPicture, OnlyReadingsOfThisImageAndPageAreDrawn) {
  const ColourPicture plain = photograph(800, 500);
  const SetVerdict set = verdict_of(Verdict::disagree);
  SetVerdict none = set;
  none.readings.clear();
  const auto drawn = mark_picture(plain, set, "IMG_1.jpg", 1);
  EXPECT_NE(drawn.rgb, mark_picture(plain, none, "IMG_1.jpg", 1).rgb);
  EXPECT_EQ(mark_picture(plain, set, "IMG_2.jpg", 1).rgb, mark_picture(plain, none, "IMG_2.jpg", 1).rgb);
  EXPECT_EQ(mark_picture(plain, set, "IMG_1.jpg", 2).rgb, mark_picture(plain, none, "IMG_1.jpg", 2).rgb);
  EXPECT_EQ(drawn.rgb, mark_picture(plain, set, "IMG_1.jpg", 1).rgb);  // repeatable
}

// Without colour, two banners must still differ in many pixels: sign and word carry the meaning.
TEST(MarkedPicture, VerdictsDifferInGreyByMoreThanAFewPixels) {
  const ColourPicture plain = photograph(800, 300);
  std::vector<GreyPicture> signs;
  for (int i = 0; i < k_verdicts; ++i) {
    SetVerdict set = verdict_of(static_cast<Verdict>(i));
    set.readings.clear();
    signs.push_back(to_grey(mark_picture(plain, set, "IMG_1.jpg", 1)));
  }
  for (std::size_t i = 0; i < signs.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      int strong = 0;
      for (int y = 8; y < 46; ++y)
        for (int x = 8; x < 46; ++x) strong += std::abs(signs[i].row(y)[x] - signs[j].row(y)[x]) > 80 ? 1 : 0;
      EXPECT_GT(strong, 40) << i << " and " << j << " look alike without colour";
    }
}

TEST(MarkedPicture, TinyAndNarrowPicturesAreMarkedToo) {
  for (const auto& [w, h] : {std::pair{1, 1}, std::pair{40, 900}, std::pair{900, 12}})
    EXPECT_EQ(mark_picture(photograph(w, h), verdict_of(Verdict::stale), "IMG_1.jpg", 1).width_px, w);
}

TEST(MarkedPicture, EmptyPictureIsAnErrorOfTheData) {
  EXPECT_THROW((void)mark_picture({}, verdict_of(Verdict::stale), "IMG_1.jpg", 1), Error);
}

// ITU-T T.81 (from memory): a JPEG opens with FF D8; APP1 (FF E1) would hold EXIF, COM (FF FE) a comment.
TEST(WriteJpeg, CarriesNoMetadataAndReadsBack) {
  const ColourPicture picture = photograph(320, 200);
  const Bytes bytes = jpeg_bytes(picture, 90);
  ASSERT_GT(bytes.size(), 4U);
  EXPECT_EQ(bytes[0], std::byte{0xFF});
  EXPECT_EQ(bytes[1], std::byte{0xD8});
  std::set<int> markers;
  for (std::size_t at = 2; at + 4 < bytes.size() && bytes[at] == std::byte{0xFF};) {
    const int marker = std::to_integer<int>(bytes[at + 1]);
    markers.insert(marker);
    if (marker == 0xDA) break;
    at += 2U + (std::to_integer<std::size_t>(bytes[at + 2]) << 8U) + std::to_integer<std::size_t>(bytes[at + 3]);
  }
  EXPECT_TRUE(markers.contains(0xDA));
  for (int app = 0xE1; app <= 0xEF; ++app) EXPECT_FALSE(markers.contains(app)) << app;
  EXPECT_FALSE(markers.contains(0xFE));
  const ColourPicture back = read_image_colour(bytes, "marked.jpg", 1);
  ASSERT_EQ(back.rgb.size(), picture.rgb.size());
  int worst = 0;
  for (std::size_t i = 0; i < back.rgb.size(); ++i) worst = std::max(worst, std::abs(back.rgb[i] - picture.rgb[i]));
  EXPECT_LE(worst, 12);
}

TEST(WriteJpeg, SinkThatRefusesIsHeard) {
  EXPECT_THROW(
      write_jpeg(photograph(900, 900), 95, [](std::span<const std::byte>) { throw std::runtime_error("full"); }),
      std::runtime_error);
}

TEST(WriteJpeg, PictureLargerThanAJpegCanHoldIsRefused) {
  EXPECT_THROW(write_jpeg(ColourPicture{70000, 1, std::vector<std::uint8_t>(210000)}, 90, [](auto) {}), Error);
}

// For looking at: SHERDMARK_LOOK=DIR writes one marked picture a verdict there.
TEST(MarkedPicture, CanBeLookedAt) {
  const char* folder = std::getenv("SHERDMARK_LOOK");
  for (int i = 0; i < k_verdicts; ++i) {
    const auto verdict = static_cast<Verdict>(i);
    const ColourPicture marked = mark_picture(photograph(800, 450), verdict_of(verdict), "IMG_1.jpg", 1);
    Bytes bytes = jpeg_bytes(marked, 92);
    EXPECT_GT(bytes.size(), 1000U);
    if (folder == nullptr) continue;
    real_file_system().write_atomic(std::filesystem::path{folder} / (std::string{to_text(verdict)} + ".jpg"),
                                    [&](const ByteSink& sink) { sink(bytes); });
  }
}

}  // namespace
}  // namespace sherdmark
