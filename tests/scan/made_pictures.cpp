#include "scan/made_pictures.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "sherdmark/base/error.h"
#include "support/test_support.h"

namespace sherdmark::testing {
namespace {

void put_number(std::string& out, std::uint32_t value, std::size_t length, bool big_endian = true) {
  for (std::size_t i = 0; i < length; ++i) {
    const std::size_t shift = 8 * (big_endian ? length - 1 - i : i);
    out.push_back(static_cast<char>((value >> shift) & 0xFFU));
  }
}

std::uint32_t crc32_of(std::string_view text) {
  std::uint32_t crc = 0xFFFFFFFFU;
  for (const char c : text) {
    crc ^= static_cast<unsigned char>(c);
    for (int bit = 0; bit < 8; ++bit) crc = (crc & 1U) != 0 ? (crc >> 1U) ^ 0xEDB88320U : crc >> 1U;
  }
  return ~crc;
}

std::string chunk(const std::string& type, const std::string& data) {
  std::string out;
  put_number(out, static_cast<std::uint32_t>(data.size()), 4);
  out += type + data;
  put_number(out, crc32_of(type + data), 4);
  return out;
}

}  // namespace

Bytes bytes_of(std::string_view text) {
  const auto span = as_byte_span(text);
  return {span.begin(), span.end()};
}

Bytes made_by_convert(std::vector<std::string> arguments, const std::string& format) {
  const ScratchFolder scratch;
  const auto file = scratch / "picture";
  arguments.insert(arguments.begin(), "convert");
  arguments.push_back(format + ":" + file.string());
  const RunResult result = run(arguments);
  if (result.exit_code != 0) throw std::runtime_error("convert failed: " + result.err);
  return real_file_system().read(file, std::size_t{64} << 20U);
}

GreyPicture seen_by_convert(const Bytes& file, const std::string& format) {
  const ScratchFolder scratch;
  std::ofstream{scratch / "in", std::ios::binary}.write(reinterpret_cast<const char*>(file.data()),
                                                        static_cast<std::streamsize>(file.size()));
  const RunResult result =
      run({"convert", format + ":" + (scratch / "in").string(), "-auto-orient", "-background", "white", "-alpha",
           "remove", "-colorspace", "sRGB", "-depth", "8", "ppm:" + (scratch / "out").string()});
  if (result.exit_code != 0) throw std::runtime_error("convert failed: " + result.err);
  std::ifstream in{scratch / "out", std::ios::binary};
  std::string magic;
  int most = 0;
  ColourPicture picture;
  in >> magic >> picture.width_px >> picture.height_px >> most;
  in.get();
  picture.rgb.resize(static_cast<std::size_t>(picture.width_px) * static_cast<std::size_t>(picture.height_px) * 3);
  in.read(reinterpret_cast<char*>(picture.rgb.data()), static_cast<std::streamsize>(picture.rgb.size()));
  if (!in || magic != "P6" || most != 255) throw std::runtime_error("convert wrote no PPM");
  return to_grey(picture);
}

std::string lopsided_ppm(int width_px, int height_px) {
  std::string ppm = "P6\n" + std::to_string(width_px) + " " + std::to_string(height_px) + "\n255\n";
  for (int y = 0; y < height_px; ++y) {
    for (int x = 0; x < width_px; ++x) {
      const bool low = y > height_px / 2;
      const bool right = x > width_px / 2;
      ppm.push_back(static_cast<char>(low ? 40 : 220));
      ppm.push_back(static_cast<char>(right ? 60 : 200));
      ppm.push_back(static_cast<char>(low && right ? 250 : 90));
    }
  }
  return ppm;
}

Bytes with_app1(const Bytes& jpeg, const std::string& payload) {
  std::string segment = "\xFF\xE1";
  put_number(segment, static_cast<std::uint32_t>(payload.size() + 2), 2);
  segment += payload;
  Bytes out{jpeg.begin(), jpeg.begin() + 2};
  const Bytes inserted = bytes_of(segment);
  out.insert(out.end(), inserted.begin(), inserted.end());
  out.insert(out.end(), jpeg.begin() + 2, jpeg.end());
  return out;
}

std::string exif_payload(int orientation, bool big_endian) {
  std::string out{"Exif\0\0", 6};
  out += big_endian ? "MM" : "II";
  put_number(out, 42, 2, big_endian);
  put_number(out, 8, 4, big_endian);
  put_number(out, 1, 2, big_endian);
  put_number(out, 0x0112, 2, big_endian);
  put_number(out, 3, 2, big_endian);
  put_number(out, 1, 4, big_endian);
  put_number(out, static_cast<std::uint32_t>(orientation), 2, big_endian);
  put_number(out, 0, 2, big_endian);
  put_number(out, 0, 4, big_endian);
  return out;
}

Bytes png_file(std::uint32_t width, std::uint32_t height, const std::string& idat, const std::string& extra_chunk) {
  std::string header;
  put_number(header, width, 4);
  put_number(header, height, 4);
  header += std::string{"\x08\0\0\0\0", 5};  // 8-bit grey
  std::string out = "\x89PNG\r\n\x1A\n" + chunk("IHDR", header);
  if (!extra_chunk.empty()) out += chunk(extra_chunk, std::string(8, '\0'));
  return bytes_of(out + chunk("IDAT", idat) + chunk("IEND", ""));
}

int largest_difference(const GreyView& a, const GreyView& b) {
  if (a.width_px != b.width_px || a.height_px != b.height_px) return 256;
  int largest = 0;
  for (int y = 0; y < a.height_px; ++y)
    for (int x = 0; x < a.width_px; ++x) largest = std::max(largest, std::abs(int{a.at(x, y)} - int{b.at(x, y)}));
  return largest;
}

std::string error_of(std::span<const std::byte> file, const ImageLimits& limits) {
  try {
    (void)read_image(file, "IMG_0042", limits);
    return {};
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::data) << error.what();
    EXPECT_EQ(error.place().file, "IMG_0042");
    EXPECT_FALSE(error.remedy().empty());
    return error.what();
  }
}

bool says(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

}  // namespace sherdmark::testing
