#include "sheet/raster.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <stdexcept>

#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "support/test_support.h"

namespace sherdmark::testing {

GreyPicture read_pgm(const std::filesystem::path& file) {
  std::ifstream in{file, std::ios::binary};
  std::string magic;
  int width = 0;
  int height = 0;
  int most = 0;
  in >> magic >> width >> height >> most;
  in.get();
  if (!in || magic != "P5" || most != 255) throw std::runtime_error("not a PGM: " + file.string());
  GreyPicture picture{width, height};
  for (int y = 0; y < height; ++y) in.read(reinterpret_cast<char*>(picture.row(y)), width);
  if (!in) throw std::runtime_error("short PGM: " + file.string());
  return picture;
}

void write_pgm(const GreyView& picture, const std::filesystem::path& file) {
  std::ofstream out{file, std::ios::binary};
  out << "P5 " << picture.width_px << ' ' << picture.height_px << " 255\n";
  for (int y = 0; y < picture.height_px; ++y)
    out.write(reinterpret_cast<const char*>(picture.row(y)), picture.width_px);
}

GreyPicture cut_out(const GreyPicture& page, const PlacedLabel& label, double dpi, double around_mm) {
  const auto px = [dpi](double mm) { return static_cast<int>(std::lround(mm_to_dots(mm, dpi))); };
  const GreyView part = page.view().crop(px(label.x_mm - around_mm), px(label.y_mm - around_mm),
                                         px(label.w_mm + 2 * around_mm), px(label.h_mm + 2 * around_mm));
  GreyPicture copy{part.width_px, part.height_px};
  for (int y = 0; y < part.height_px; ++y) std::copy_n(part.row(y), part.width_px, copy.row(y));
  return copy;
}

std::vector<std::string> zxing_texts(const std::filesystem::path& file, const std::string& format) {
  const std::string report = run({"ZXingReader", "-format", format, file.string()}).out;
  std::vector<std::string> texts;
  for (const std::string& line : split(report, '\n'))
    if (line.starts_with("Text:")) {
      const std::string value{trim(line.substr(5))};
      if (value.size() >= 2) texts.push_back(value.substr(1, value.size() - 2));
    }
  std::sort(texts.begin(), texts.end());
  return texts;
}

std::vector<std::string> zbar_texts(const std::filesystem::path& file) {
  std::vector<std::string> texts;
  for (const std::string& line : split(run({"zbarimg", "--quiet", "--raw", file.string()}).out, '\n'))
    if (!line.empty()) texts.push_back(line);
  std::sort(texts.begin(), texts.end());
  return texts;
}

std::vector<std::string> dmtx_texts(const std::filesystem::path& file) {
  std::vector<std::string> texts;
  for (const std::string& line : split(run({"dmtxread", "-n", "-N1", "-m3000", file.string()}).out, '\n'))
    if (!line.empty()) texts.push_back(line);
  std::sort(texts.begin(), texts.end());
  return texts;
}

}  // namespace sherdmark::testing
