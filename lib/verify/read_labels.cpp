#include "sherdmark/verify/read_labels.h"

#include "verify/sift_texts.h"

namespace sherdmark {

std::vector<ImageReadings> read_labels(std::span<const std::byte> bytes, const std::string& file_name,
                                       const LabelTextReader& reader, const HouseStandard& standard,
                                       const ImageLimits& limits, bool with_grades) {
  std::vector<ImageReadings> pages;
  for (const ImagePage& page : read_image(bytes, file_name, limits)) {
    ImageReadings readings{file_name, page.page, read_codes(page.grey.view()), {}, {}};
    std::vector<Corners> masked;
    for (const CodeReading& code : readings.codes) masked.push_back(code.corners);
    readings.texts = reader.read(page.grey.view(), masked);
    sift_texts(readings, page.grey.view(), standard);
    if (with_grades) readings.grades = grade_codes(page.grey.view(), readings.codes);
    pages.push_back(std::move(readings));
  }
  return pages;
}

}  // namespace sherdmark
