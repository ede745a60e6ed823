// ZXing-cpp: the only file that knows it. Written for the 1.4 of Debian 12 and, where its names changed, for 2.x.
#define ZX_USE_UTF8 1
#include "scan/zxing_reader.h"

#include <ZXing/ReadBarcode.h>
#if __has_include(<ZXing/Version.h>)
#include <ZXing/Version.h>
#else
#include <ZXing/ZXVersion.h>
#endif

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
  std::vector<CodeReading> readings;
  if (picture.empty()) return readings;
  const bool whole = guarded([&] {
    for (const Found& found : ZXing::ReadBarcodes(view_of(picture), options_of(pass)))
      if (found.isValid()) readings.push_back(reading_of(found));
  });
  if (!whole) readings.clear();  // it stopped half way: nothing was read
  return readings;
}

}  // namespace sherdmark
