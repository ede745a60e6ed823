// What each rung of the ladder is worth: of the photographs that the plain pass does not read, how many this rung alone
// reads, and what it costs, photographs without codes included. Usage: rungs_bench [FOLDER] (see photos_bench).
#include <chrono>
#include <cstdio>
#include <fstream>

#include "scan/ladder.h"
#include "scan/photo_benchmark.h"
#include "scan/zxing_reader.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/text.h"
#include "sherdmark/scan/image.h"

namespace {

using sherdmark::GreyPicture;

struct Photo {
  GreyPicture grey;
  std::string accepted;
  bool has_code = true;
};

std::vector<Photo> unread_photos(const std::filesystem::path& photos) {
  std::vector<Photo> unread;
  for (const std::string& folder : sherdmark::testing::photo_sets()) {
    std::ifstream table{photos / (folder + ".tsv")};
    for (std::string line; std::getline(table, line);) {
      const auto cells = sherdmark::split(line, '\t');
      if (cells.size() < 2 || cells[0] == "file") continue;
      const auto bytes = sherdmark::real_file_system().read(photos / cells[0], std::size_t{64} << 20U);
      GreyPicture grey = std::move(sherdmark::read_image(bytes, cells[0]).at(0).grey);
      if (sherdmark::read_once(grey.view(), {}).empty())
        unread.push_back({std::move(grey), cells[1], folder != "no-code"});
    }
  }
  return unread;
}

std::vector<sherdmark::CodeReading> climb(const sherdmark::Rung& rung, const GreyPicture& grey) {
  if (rung.prepare == nullptr) return rung.read(grey.view());
  const sherdmark::MadePicture made = rung.prepare(grey.view());
  return sherdmark::read_once(made.picture.view(), {.binarizer = rung.binarizer, .all_formats = false});
}

void measure(const std::filesystem::path& photos) {
  const std::vector<Photo> unread = unread_photos(photos);
  std::printf("%zu photographs that the plain pass does not read\n", unread.size());
  std::printf("%-22s %5s %6s %12s\n", "rung", "reads", "wrong", "ms a picture");
  for (const sherdmark::Rung& rung : sherdmark::ladder()) {
    int reads = 0;
    int wrong = 0;
    const auto start = std::chrono::steady_clock::now();
    for (const Photo& photo : unread) {
      for (const sherdmark::CodeReading& reading : climb(rung, photo.grey)) {
        const bool right =
            photo.has_code && (photo.accepted == "-" || sherdmark::testing::accepted(photo.accepted, reading.text));
        ++(right ? reads : wrong);
      }
    }
    const double ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
    std::printf("%-22s %5d %6d %12.1f\n", std::string{rung.name}.c_str(), reads, wrong,
                ms / static_cast<double>(unread.size()));
  }
}

}  // namespace

int main(int argc, char** argv) {
  try {
    const auto photos = argc > 1 ? std::optional{std::filesystem::path{argv[1]}} : sherdmark::testing::photo_folder();
    if (photos) measure(*photos);
    if (!photos) std::printf("SKIPPED: no folder of photographs. Name it, or set SHERDMARK_PHOTOS.\n");
    return 0;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "rungs_bench: %s\n", error.what());
    return 2;
  }
}
