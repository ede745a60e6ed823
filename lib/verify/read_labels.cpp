#include "sherdmark/verify/read_labels.h"

#include <future>
#include <utility>

#include "sherdmark/base/parallel.h"
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

// What the codes of the carriers show, as soon as every carrier that is needed has been read; the search for texts
// waits for it, that for further codes does not.
class Shown {
 public:
  void tell(ShownByCodes shown) {
    if (told_) return;
    told_ = true;
    promise_.set_value(std::move(shown));
  }
  [[nodiscard]] ShownByCodes wait() { return promise_.get_future().get(); }

 private:
  bool told_ = false;
  std::promise<ShownByCodes> promise_;
};

// Codes and texts. A code is masked only where the picture shows that nothing lies on it: a label may, and error
// correction reads the code all the same.
void read_page(const GreyView& view, const AskReader& reader, const HouseStandard& standard, bool with_grades,
               unsigned threads, ImageReadings& readings) {
  Shown shown;
  const auto read_texts = [&] {
    return reader().search(view, TextSearch{.ask_shown = [&] { return shown.wait(); }, .threads = threads});
  };
  CodeReadingOptions options;
  if (!with_grades && standard.artifact.micro_code == MicroCode::none)  // grading wants the corners at full size
    options.nothing_missing = [&](const std::vector<CodeReading>& codes) {
      const bool all = all_read(codes, standard);
      if (all) shown.tell(shown_by_codes(codes, view, standard));
      return all;
    };
  const Beside<std::vector<TextReading>> texts{read_texts, threads > 1};
  try {
    CodesFound found = find_codes(view, options);
    readings.codes = std::move(found.readings);
    readings.unread_codes = std::move(found.unread);
    shown.tell(shown_by_codes(readings.codes, view, standard));
  } catch (...) {
    shown.tell({});  // or the other thread would wait for ever
    throw;
  }
  readings.texts = std::move(texts.get());
}

}  // namespace

std::vector<ImageReadings> read_labels(const std::vector<ImagePage>& pages, const std::string& file_name,
                                       const AskReader& reader, const HouseStandard& standard, bool with_grades,
                                       unsigned threads) {
  std::vector<ImageReadings> read;
  for (const ImagePage& page : pages) {
    ImageReadings readings{file_name, page.page, {}, {}, {}};
    read_page(page.grey.view(), reader, standard, with_grades, threads, readings);
    sift_texts(readings, page.grey.view(), standard);
    if (with_grades) readings.grades = grade_codes(page.grey.view(), readings.codes);
    read.push_back(std::move(readings));
  }
  return read;
}

std::vector<ImageReadings> read_labels(std::span<const std::byte> bytes, const std::string& file_name,
                                       const LabelTextReader& reader, const HouseStandard& standard,
                                       const ImageLimits& limits, bool with_grades, unsigned threads) {
  const AskReader ask = [&reader]() -> const LabelTextReader& { return reader; };
  return read_labels(read_image(bytes, file_name, limits), file_name, ask, standard, with_grades, threads);
}

}  // namespace sherdmark
