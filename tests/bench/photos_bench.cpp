// Codes in folders of real photographs: how many are read, how many wrongly, how long it takes; beside the same count
// for the readers ZXingReader and zbarimg where they are installed. Usage: photos_bench [FOLDER]; without FOLDER the
// environment variable SHERDMARK_PHOTOS or ../shared/photos beside the sources. Exit 1 when a text was read wrongly.
#include <cstdio>

#include "scan/photo_benchmark.h"
#include "sherdmark/base/text.h"
#include "support/test_support.h"

namespace {

using sherdmark::testing::PhotoTally;
using sherdmark::testing::Reader;

std::string text_of_hex(const std::string& hex) {
  std::string bytes;
  for (const std::string& byte : sherdmark::split(hex, ' '))
    if (byte.size() == 2) bytes.push_back(static_cast<char>(std::stoi(byte, nullptr, 16)));
  if (sherdmark::is_valid_utf8(bytes)) return bytes;
  std::u32string latin;
  for (const char c : bytes) latin.push_back(static_cast<unsigned char>(c));
  return sherdmark::encode_utf8(latin);
}

// The others print in their own ways; whatever could be the text is offered, and only hits are counted.
Reader zxing_reader() {
  return [](const std::filesystem::path& image) {
    std::vector<std::string> texts;
    for (const std::string& line :
         sherdmark::split(sherdmark::testing::run({"ZXingReader", image.string()}).out, '\n')) {
      if (line.starts_with("Text:") && line.size() > 14) texts.push_back(line.substr(13, line.size() - 14));
      if (line.starts_with("Bytes:")) texts.push_back(text_of_hex(line.substr(6)));
    }
    return texts;
  };
}

Reader zbar_reader() {
  return [](const std::filesystem::path& image) {
    const std::string out = sherdmark::testing::run({"zbarimg", "--quiet", "--raw", image.string()}).out;
    if (out.empty()) return std::vector<std::string>{};
    std::vector<std::string> texts = sherdmark::split(out, '\n');
    texts.push_back(out);
    return texts;
  };
}

bool installed(const std::string& program) {
  try {
    (void)sherdmark::testing::run({program, "--version"});
    return true;
  } catch (const std::exception&) {
    return false;
  }
}

void print(const char* reader, const PhotoTally& tally, bool ours) {
  const std::string wrong = ours ? std::to_string(tally.wrong) : "-";
  std::printf("%-12s %-12s %6d %6d %9d %6s %9.0f %8.0f\n", tally.folder.c_str(), reader, tally.images, tally.read,
              tally.unlisted, wrong.c_str(), tally.milliseconds, tally.slowest_ms);
}

int measure(const std::filesystem::path& photos) {
  std::printf("%-12s %-12s %6s %6s %9s %6s %9s %8s\n", "folder", "reader", "images", "read", "unlisted", "wrong", "ms",
              "slowest");
  const bool zxing = installed("ZXingReader");
  const bool zbar = installed("zbarimg");
  int wrong = 0;
  for (const std::string& folder : sherdmark::testing::photo_sets()) {
    const PhotoTally ours = sherdmark::testing::read_photos(photos, folder, sherdmark::testing::our_reader());
    print("sherdmark", ours, true);
    wrong += ours.wrong;
    for (const std::string& mistake : ours.mistakes) std::printf("  wrong:  %s\n", mistake.c_str());
    for (const std::string& name : ours.missed) std::printf("  missed: %s\n", name.c_str());
    if (zxing) print("ZXingReader", sherdmark::testing::read_photos(photos, folder, zxing_reader()), false);
    if (zbar) print("zbarimg", sherdmark::testing::read_photos(photos, folder, zbar_reader()), false);
  }
  std::printf("unlisted: read, but no right text is known. Times of the others include starting their program.\n");
  if (!zxing) std::printf("ZXingReader is not installed: not measured.\n");
  if (!zbar) std::printf("zbarimg is not installed: not measured.\n");
  return wrong == 0 ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    const auto photos = argc > 1 ? std::optional{std::filesystem::path{argv[1]}} : sherdmark::testing::photo_folder();
    if (!photos) {
      std::printf("SKIPPED: no folder of photographs. Name it, or set SHERDMARK_PHOTOS.\n");
      return 0;
    }
    return measure(*photos);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "photos_bench: %s\n", error.what());
    return 2;
  }
}
