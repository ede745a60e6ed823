// ZXing-cpp: the only file that knows it. Written for the 1.4 of Debian 12 and, where its names changed, for 2.x.
#define ZX_USE_UTF8 1
#include "scan/zxing_reader.h"

#include <ZXing/ReadBarcode.h>
#if __has_include(<ZXing/Version.h>)
#include <ZXing/Version.h>
#else
#include <ZXing/ZXVersion.h>
#endif

#include <utility>

#include "scan/block_threshold.h"
#include "scan/crowded_view.h"
#include "scan/picture_filters.h"
#include "scan/reader_guard.h"

namespace sherdmark {
namespace {

#if ZXING_VERSION_MAJOR >= 2 && ZXING_VERSION_MINOR >= 2 || ZXING_VERSION_MAJOR >= 3
using Options = ZXing::ReaderOptions;
using Found = ZXing::Barcode;
#else
using Options = ZXing::DecodeHints;
using Found = ZXing::Result;
#endif

SymbolFormat format_of(ZXing::BarcodeFormat format) {
  switch (format) {
    case ZXing::BarcodeFormat::QRCode:
      return SymbolFormat::qr;
    case ZXing::BarcodeFormat::MicroQRCode:
      return SymbolFormat::micro_qr;
    case ZXing::BarcodeFormat::DataMatrix:
      return SymbolFormat::data_matrix;
    case ZXing::BarcodeFormat::Code128:
      return SymbolFormat::code_128;
    case ZXing::BarcodeFormat::Code39:
      return SymbolFormat::code_39;
    case ZXing::BarcodeFormat::EAN8:
    case ZXing::BarcodeFormat::EAN13:
    case ZXing::BarcodeFormat::UPCA:
    case ZXing::BarcodeFormat::UPCE:
      return SymbolFormat::ean;
    case ZXing::BarcodeFormat::ITF:
      return SymbolFormat::itf;
    case ZXing::BarcodeFormat::Aztec:
      return SymbolFormat::aztec;
    case ZXing::BarcodeFormat::PDF417:
      return SymbolFormat::pdf417;
    case ZXing::BarcodeFormat::Codabar:
      return SymbolFormat::codabar;
    default:
      return SymbolFormat::other;
  }
}

ZXing::Binarizer binarizer_of(Binarizer binarizer) {
  switch (binarizer) {
    case Binarizer::global_histogram:
      return ZXing::Binarizer::GlobalHistogram;
    case Binarizer::fixed_threshold:
      return ZXing::Binarizer::FixedThreshold;
    case Binarizer::local_average:
      break;
  }
  return ZXing::Binarizer::LocalAverage;
}

Options options_of(const ReaderPass& pass) {
  Options options;
  options.setTryHarder(pass.harder);
  options.setTryRotate(pass.rotate);
  options.setTryDownscale(pass.downscale);
  options.setBinarizer(binarizer_of(pass.binarizer));
#if ZXING_VERSION_MAJOR >= 2
  options.setTryInvert(false);  // the ladder inverts, so that both generations are used alike
#endif
  if (!pass.all_formats)
    options.setFormats(ZXing::BarcodeFormat::QRCode | ZXing::BarcodeFormat::MicroQRCode |
                       ZXing::BarcodeFormat::DataMatrix);
  return options;
}

CodeReading reading_of(const Found& found) {
  CodeReading reading;
  reading.format = format_of(found.format());
  reading.text = found.text();
  for (std::size_t i = 0; i < 4; ++i) {
    const auto& corner = found.position()[i];
    reading.corners[i] = {static_cast<double>(corner.x), static_cast<double>(corner.y)};
  }
  return reading;
}

ZXing::ImageView view_of(const GreyView& picture) {
  return {picture.data, picture.width_px, picture.height_px, ZXing::ImageFormat::Lum,
          static_cast<int>(picture.stride_bytes)};
}

constexpr int k_strip_radius_px = 15;
constexpr int k_most_divisions = 3;
constexpr double k_part_share = 0.625;  // of a side, so that neighbours have a quarter of it in common

// As the reader itself will see it in black and white, or nearly so.
bool is_too_much(const GreyView& picture, Binarizer binarizer) {
  if (binarizer == Binarizer::fixed_threshold) return is_crowded(picture);
  const GreyPicture two_tone = threshold_by_blocks(picture);
  return is_crowded(two_tone.empty() ? thresholded(picture, k_strip_radius_px, 0).view() : two_tone.view());
}

std::vector<CodeReading> read_whole(const GreyView& picture, const ReaderPass& pass) {
  std::vector<CodeReading> readings;
  const bool whole = guarded([&] {
    for (const Found& found : ZXing::ReadBarcodes(view_of(picture), options_of(pass)))
      if (found.isValid()) readings.push_back(reading_of(found));
  });
  if (!whole) readings.clear();  // it stopped half way: nothing was read
  return readings;
}

std::vector<CodeReading> read_divided(const GreyView& picture, const ReaderPass& pass, int divisions) {
  if (picture.empty()) return {};
  if (!is_too_much(picture, pass.binarizer)) return read_whole(picture, pass);
  if (divisions == k_most_divisions) return {};
  const int width = static_cast<int>(picture.width_px * k_part_share);
  const int height = static_cast<int>(picture.height_px * k_part_share);
  std::vector<CodeReading> readings;
  for (const int left : {0, picture.width_px - width}) {
    for (const int top : {0, picture.height_px - height}) {
      for (CodeReading& reading : read_divided(picture.crop(left, top, width, height), pass, divisions + 1)) {
        for (PointF& corner : reading.corners) corner = {corner.x + left, corner.y + top};
        readings.push_back(std::move(reading));
      }
    }
  }
  return readings;
}

}  // namespace

std::vector<CodeReading> read_clean(const GreyView& picture, SymbolFormat format) {
  Options options;
  options.setIsPure(true);
  options.setBinarizer(ZXing::Binarizer::FixedThreshold);
  options.setFormats(format == SymbolFormat::qr ? ZXing::BarcodeFormat::QRCode : ZXing::BarcodeFormat::DataMatrix);
  std::vector<CodeReading> readings;
  const bool whole = guarded([&] {
    const Found found = ZXing::ReadBarcode(view_of(picture), options);
    if (found.isValid()) readings.push_back(reading_of(found));
  });
  if (!whole) readings.clear();  // it stopped half way: nothing was read
  return readings;
}

std::vector<CodeReading> read_once(const GreyView& picture, const ReaderPass& pass) {
  return read_divided(picture, pass, 0);
}

}  // namespace sherdmark
