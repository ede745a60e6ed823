#include "sherdmark/verify/read_labels.h"

#include "sherdmark/code/link_code.h"
#include "verify/sift_texts.h"

namespace sherdmark {
namespace {

// Every carrier that the house standard asks for was read.
bool all_read(const std::vector<CodeReading>& codes, const HouseStandard& standard) {
  bool bag = false, tag = false;
  for (const CodeReading& code : codes) {
    const LinkReading link = parse_code_text(code.text);
    if (!link.link) continue;
    bag = bag || link.link->role == LabelRole::bag;
    tag = tag || link.link->role == LabelRole::tag;
  }
  return bag && (tag || !standard.agreement.tag);
}

}  // namespace

std::vector<ImageReadings> read_labels(std::span<const std::byte> bytes, const std::string& file_name,
                                       const LabelTextReader& reader, const HouseStandard& standard,
                                       const ImageLimits& limits, bool with_grades) {
  CodeReadingOptions options;
  if (!with_grades && standard.artifact.micro_code == MicroCode::none)  // grading wants the corners at full size
    options.nothing_missing = [&standard](const std::vector<CodeReading>& codes) { return all_read(codes, standard); };
  std::vector<ImageReadings> pages;
  for (const ImagePage& page : read_image(bytes, file_name, limits)) {
    ImageReadings readings{file_name, page.page, read_codes(page.grey.view(), options), {}, {}};
    // Nothing is masked: a label may lie on a code, which error correction reads all the same.
    readings.texts = reader.read(page.grey.view(), {});
    sift_texts(readings, page.grey.view(), standard);
    if (with_grades) readings.grades = grade_codes(page.grey.view(), readings.codes);
    pages.push_back(std::move(readings));
  }
  return pages;
}

}  // namespace sherdmark
