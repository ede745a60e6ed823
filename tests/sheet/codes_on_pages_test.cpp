// Every code on every page is read back from the finished raster by readers that are not ours: zbarimg (QR), dmtxread
// (Data Matrix) and ZXing (all three), at 300 and at 600 dpi; those of artifacts also with spread toner and in a
// close-up through a bag.
#include <gtest/gtest.h>

#include <algorithm>

#include "sheet/printed_and_seen.h"
#include "sheet/raster.h"
#include "sheet/sheet_samples.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

std::vector<std::string> texts_on_page(const Placements& placements, int page) {
  std::vector<std::string> texts;
  for (const PlacedLabel& label : placements.labels)
    if (label.page == page) texts.push_back(label.code->text);
  std::sort(texts.begin(), texts.end());
  return texts;
}

TEST(CodesOnPages, two_readers_read_every_bag_label_and_tag_of_both_standards) {
  const ScratchFolder scratch;
  for (const std::string& name : sample_standard_names()) {
    const HouseStandard standard = sample_standard(name);
    for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
      const auto sheets = make_carrier_sheets(standard, sample_carriers(standard, role, role == LabelRole::bag ? 7 : 5),
                                              scratch / (name + std::string{to_text(role)} + ".pdf"));
      for (const int dpi : {300, 600}) {
        const auto pages = rasterise(sheets.pdf, dpi);
        ASSERT_EQ(static_cast<int>(pages.size()), sheets.placements.pages);
        for (std::size_t i = 0; i < pages.size(); ++i) {
          const auto expected = texts_on_page(sheets.placements, static_cast<int>(i) + 1);
          EXPECT_EQ(zbar_texts(pages[i]), expected) << name << ' ' << to_text(role) << ' ' << dpi << " dpi";
          EXPECT_EQ(zxing_texts(pages[i], "QRCode"), expected) << name << ' ' << to_text(role) << ' ' << dpi << " dpi";
        }
      }
    }
  }
}

// One label at a time, enlarged pixel by pixel as a screen would: at 300 dpi a module of the artifact's code is only
// two pixels wide.
GreyPicture enlarged(const GreyPicture& picture, int times) {
  GreyPicture large{picture.width_px() * times, picture.height_px() * times};
  for (int y = 0; y < large.height_px(); ++y)
    for (int x = 0; x < large.width_px(); ++x) large.row(y)[x] = picture.row(y / times)[x / times];
  return large;
}

// The paper around a label that was cut out: the edge of the label is not the edge of the picture.
GreyPicture on_a_table(const GreyPicture& label, int margin_px) {
  GreyPicture table{label.width_px() + 2 * margin_px, label.height_px() + 2 * margin_px};
  for (int y = 0; y < table.height_px(); ++y)
    for (int x = 0; x < table.width_px(); ++x) {
      const int lx = x - margin_px, ly = y - margin_px;
      const bool on = lx >= 0 && ly >= 0 && lx < label.width_px() && ly < label.height_px();
      table.row(y)[x] = on ? label.row(ly)[lx] : std::uint8_t{96};
    }
  return table;
}

// As it comes from a printer whose toner spreads, and in a close-up of the artifact through its bag.
void read_as_used(const GreyPicture& label, const std::string& number, const std::vector<std::string>& expected,
                  const std::string& zxing_format, bool by_dmtx, const std::filesystem::path& file) {
  const GreyPicture spread = with_toner_spread(label);
  write_pgm(enlarged(spread, 2).view(), file);
  EXPECT_EQ(zxing_texts(file, zxing_format), expected) << number << ", spread toner";
  if (by_dmtx) {
    EXPECT_EQ(dmtx_texts(file), expected) << number << ", spread toner";
  }
  // A single reader misses some: each enlargement is asked for, and none may say anything else.
  const GreyPicture photo = photographed_through_a_bag(on_a_table(spread, 60), 1.0);
  int read = 0;
  for (const int times : {1, 2, 3}) {
    write_pgm(enlarged(photo, times).view(), file);
    std::vector<std::vector<std::string>> heard{zxing_texts(file, zxing_format)};
    if (by_dmtx) heard.push_back(dmtx_texts(file));
    for (const std::vector<std::string>& texts : heard) {
      if (texts.empty()) continue;
      EXPECT_EQ(texts, expected) << number << ", close-up through a bag, enlarged " << times << " times";
      ++read;
    }
  }
  EXPECT_GE(read, 1) << number << ": no reader makes out its code in a close-up through a bag";
}

void read_micro_codes(MicroCode kind, const std::string& zxing_format, bool by_dmtx) {
  const ScratchFolder scratch;
  for (const std::string& name : sample_standard_names()) {
    HouseStandard standard = sample_standard(name);
    standard.artifact.micro_code = kind;
    std::vector<std::string> numbers = name == "ostervane" ? std::vector<std::string>{"2031-66-99", "1950-9-1"}
                                                           : std::vector<std::string>{"16ZQ5/12.3", "16ZQ5/9.66"};
    if (kind == MicroCode::data_matrix)  // too long for a Micro QR
      numbers.push_back(name == "ostervane" ? "2079-999-99999zz" : "22ZQ1066/347.99-12");
    std::vector<ArtifactLabelRequest> labels;
    for (const std::string& number : numbers) labels.push_back(artifact_request(standard, number, 2));
    const auto sheets = make_artifact_sheets(standard, labels, scratch / (name + ".pdf"));
    for (const int dpi : {300, 600}) {
      const auto pages = rasterise(sheets.pdf, dpi);
      ASSERT_EQ(sheets.placements.pages, 1);
      const GreyPicture page = read_pgm(pages[0]);
      for (const PlacedLabel& label : sheets.placements.labels) {
        const auto file = scratch / "label.pgm";
        write_pgm(enlarged(cut_out(page, label, dpi), 1200 / dpi).view(), file);
        const std::vector<std::string> expected{label.code->text};
        EXPECT_EQ(zxing_texts(file, zxing_format), expected) << label.number << ' ' << dpi << " dpi";
        if (by_dmtx) {
          EXPECT_EQ(dmtx_texts(file), expected) << label.number << ' ' << dpi << " dpi";
        }
        if (dpi == 600) read_as_used(cut_out(page, label, dpi), label.number, expected, zxing_format, by_dmtx, file);
      }
    }
  }
}

TEST(CodesOnPages, two_readers_read_every_data_matrix_beside_an_artifact_number) {
  read_micro_codes(MicroCode::data_matrix, "DataMatrix", true);
}

TEST(CodesOnPages, every_micro_qr_beside_an_artifact_number_is_read) {
  read_micro_codes(MicroCode::micro_qr, "MicroQRCode", false);
}

}  // namespace
}  // namespace sherdmark
