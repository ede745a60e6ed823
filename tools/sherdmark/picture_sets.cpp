#include "picture_sets.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "pictures.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/text.h"
#include "sherdmark/verify/read_labels.h"
#include "sherdmark/verify/readings.h"

namespace sherdmark {
namespace {

struct FileReadings {
  std::vector<ImageReadings> pages;
  std::string problem;  // empty: read
  int code = 0;
};

FileReadings read_file(const Session& session, const std::string& file, const LabelTextReader& reader,
                       const HouseStandard& standard) {
  try {
    return {read_labels(session.seams().files.read(file, k_image_file_limit_bytes), file, reader, standard), {}, 0};
  } catch (const Error& error) {
    if (error.family() == ErrorFamily::internal) throw;
    return {{}, error.what(), error.exit_code()};
  }
}

std::vector<FileReadings> read_files(const Session& session, const std::vector<std::string>& files,
                                     const HouseStandard& standard) {
  const LabelTextReader reader{standard};
  std::vector<FileReadings> readings(files.size());
  Progress progress{session, "reading", files.size()};
  for_each_index(files.size(), session.environment().workers, [&](std::size_t i) {
    readings[i] = read_file(session, files[i], reader, standard);
    progress.step();
  });
  return readings;
}

// Sets of readings. A set with an image that could not be read gets no verdict: what is on it is not known.
std::vector<ReadingSet> make_sets(const Session& session, bool folder_is_set, const std::vector<PictureSet>& pictures,
                                  std::vector<FileReadings> readings, int& code) {
  std::vector<ReadingSet> sets;
  auto next = readings.begin();
  for (const PictureSet& set : pictures) {
    std::vector<ImageReadings> pages;
    bool whole = true;
    for (std::size_t i = 0; i < set.files.size(); ++i, ++next) {
      code = std::max(code, next->code);
      whole = whole && next->problem.empty();
      if (!next->problem.empty()) session.warn("sherdmark: " + printable(next->problem));
      std::move(next->pages.begin(), next->pages.end(), std::back_inserter(pages));
    }
    if (!whole) continue;
    if (folder_is_set || pages.size() == 1) {
      sets.push_back(build_set(set.name, pages));
      continue;
    }
    for (const ImageReadings& page : pages)
      sets.push_back(build_set(fmt::format("{}, page {}", set.name, page.page), {page}));
  }
  return sets;
}

}  // namespace

std::vector<ReadingSet> read_picture_sets(const Session& session, const HouseStandard& standard,
                                          const std::vector<std::string>& images, bool folder_is_set, int& code) {
  const std::vector<PictureSet> pictures = find_pictures(session, images, folder_is_set);
  std::vector<std::string> files;
  for (const PictureSet& set : pictures) files.insert(files.end(), set.files.begin(), set.files.end());
  return make_sets(session, folder_is_set, pictures, read_files(session, files, standard), code);
}

}  // namespace sherdmark
