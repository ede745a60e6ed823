// Codes in folders of real photographs: how many are read, how many wrongly, how long it takes; beside the same count
// for ZXingReader, zbarimg, and the node modules zxing-wasm and jsqr, where they are installed. Usage: photos_bench
// [FOLDER]; without FOLDER the environment variable SHERDMARK_PHOTOS or ../shared/photos beside the sources. Exit 1
// when a text was read wrongly.
#include <cstdio>
#include <map>

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
// ZXingReader writes  Text: "…"  over as many lines as the text has, then a line with its bytes.
Reader zxing_reader() {
  return [](const std::filesystem::path& image) {
    constexpr std::string_view k_text = "Text:       \"";
    constexpr std::string_view k_bytes = "\nBytes:";
    const std::string out = sherdmark::testing::run({"ZXingReader", image.string()}).out;
    std::vector<std::string> texts;
    for (auto at = out.find(k_text); at != std::string::npos; at = out.find(k_text, at + 1)) {
      const auto begin = at + k_text.size();
      const auto end = out.find(k_bytes, begin);
      if (end == std::string::npos || end == begin) continue;
      texts.push_back(out.substr(begin, end - begin - 1));  // without the quotation mark
      const auto line_end = out.find('\n', end + 1);
      texts.push_back(text_of_hex(out.substr(end + k_bytes.size(), line_end - end - k_bytes.size())));
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

// Readers for JavaScript, where node and their modules are there (NODE_PATH): one run for all images of a folder.
Reader node_reader(const std::string& module, const std::filesystem::path& photos, const std::string& folder) {
  std::vector<std::string> command = {
      "node", (sherdmark::testing::source_dir() / "tests/bench/read_photos.cjs").string(), module};
  for (const auto& entry : std::filesystem::recursive_directory_iterator{photos / folder})
    if (entry.is_regular_file()) command.push_back(std::filesystem::weakly_canonical(entry.path()).string());
  std::map<std::string, std::vector<std::string>> texts;
  for (const std::string& line : sherdmark::split(sherdmark::testing::run(command).out, '\n')) {
    const auto cells = sherdmark::split(line, '\t');
    if (cells.size() == 2) texts[cells[0]].push_back(text_of_hex(cells[1]));
  }
  return [texts](const std::filesystem::path& image) {
    const auto found = texts.find(std::filesystem::weakly_canonical(image).string());
    return found == texts.end() ? std::vector<std::string>{} : found->second;
  };
}

bool node_has(const std::string& module) {
  try {
    return sherdmark::testing::run({"node", "-e", "require.resolve('" + module + "')"}).exit_code == 0;
  } catch (const std::exception&) {
    return false;
  }
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
    for (const std::string module : {"zxing-wasm", "jsqr"})
      if (node_has(module))
        print(module.c_str(), sherdmark::testing::read_photos(photos, folder, node_reader(module, photos, folder)),
              false);
    if (zbar) print("zbarimg", sherdmark::testing::read_photos(photos, folder, zbar_reader()), false);
  }
  std::printf("unlisted: read, but no right text is known. Times of the others include starting their program.\n");
  for (const std::string module : {"zxing-wasm", "jsqr"})
    if (!node_has(module)) std::printf("%s for node is not installed (NODE_PATH): not measured.\n", module.c_str());
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
