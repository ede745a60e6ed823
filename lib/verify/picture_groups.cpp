#include "sherdmark/verify/picture_groups.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <optional>

#include "sherdmark/base/error.h"
#include "sherdmark/code/cards.h"
#include "sherdmark/code/link_code.h"

namespace sherdmark {
namespace {

struct Divider {
  std::string set;
  bool alone = true;  // nothing else of ours on the page, read or only seen, and no label text
};

std::optional<Divider> divider_on(const ImageReadings& page) {
  std::optional<Divider> divider;
  bool others = !page.texts.empty() || !page.unread_codes.empty() || !page.unseen_codes.empty();
  for (const CodeReading& code : page.codes) {
    const LinkReading link = parse_code_text(code.text);
    if (link.status == LinkStatus::foreign) continue;
    const auto set = link.link ? divider_set(*link.link) : std::nullopt;
    if (!set) {
      others = true;
    } else if (divider && divider->set != *set) {
      ErrorPlace place{.file = page.image};
      place.page = static_cast<std::size_t>(page.page);
      throw data_error("Two divider cards lie in one picture.", place, "Photograph one card between two sets.");
    } else {
      divider = Divider{*set, true};
    }
  }
  if (divider) divider->alone = !others;
  return divider;
}

std::string page_name(const PictureFile& file, const ImageReadings& page) {
  return file.pages.size() == 1 ? file.name : fmt::format("{}, page {}", file.name, page.page);
}

}  // namespace

std::vector<PictureGroup> group_pictures(std::vector<PictureFile> files) {
  std::vector<PictureGroup> groups;
  bool divided = false;
  for (PictureFile& file : files) {
    if (!file.read) {
      if (divided) groups.back().whole = false;
      continue;  // a set of its own otherwise, and there is nothing to judge in it
    }
    for (ImageReadings& page : file.pages) {
      const std::string name = page_name(file, page);
      const auto divider = divider_on(page);
      if (divider) {
        divided = true;
        groups.push_back({divider->set.empty() ? name : divider->set, {}, true});
        if (divider->alone) continue;
      } else if (!divided) {
        groups.push_back({name, {}, true});
      }
      groups.back().pages.push_back(std::move(page));
    }
  }
  // A card with nothing behind it: an empty set, which is not silently left out.
  return groups;
}

std::optional<std::string> divided_at(const std::vector<ImageReadings>& pages) {
  std::optional<std::string> begun;  // by a card of that name; empty: by something else
  for (const ImageReadings& page : pages) {
    const auto divider = divider_on(page);
    if (divider && begun && (begun->empty() || *begun != divider->set)) return page.image;
    if (!begun) begun = divider ? divider->set : std::string{};
  }
  return std::nullopt;
}

std::vector<std::pair<std::string, int>> grades_of_labels(const std::vector<ImageReadings>& pages) {
  std::map<std::string, int> best;
  for (const ImageReadings& page : pages) {
    for (const PrintGrade& grade : page.grades) {
      if (grade.module_px < k_least_grading_module_px) continue;
      const LinkReading link = parse_code_text(grade.text);
      if (link.status != LinkStatus::ours || !link.link || link.link->serial.empty()) continue;
      if (link.link->serial == k_card_serial) continue;
      const auto [known, added] = best.emplace(link.link->serial, grade.grade);
      if (!added) known->second = std::max(known->second, grade.grade);
    }
  }
  return {best.begin(), best.end()};
}

}  // namespace sherdmark
