// Which pictures belong to one set, when nobody said so: each page is a set of its own, until a divider card is seen;
// from there on all pictures up to the next card are one set. Pure; called by the tool before build_set.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "sherdmark/verify/readings.h"

namespace sherdmark {

// One image file in the order of the stream.
struct PictureFile {
  std::string name;
  std::vector<ImageReadings> pages;
  bool read = true;  // false: nothing is known of it, and it may have been a divider
};

struct PictureGroup {
  std::string name;
  std::vector<ImageReadings> pages;
  bool whole = true;  // false: a file of it could not be read, so no verdict may be given
};

// A page with a card and other labels begins the set and is a part of it; one with the card alone is no part. A card
// without a name gives the set the name of its picture. data_error for a page with cards of two sets. A file that was
// not read spoils the set it stands in, up to the next card.
[[nodiscard]] std::vector<PictureGroup> group_pictures(std::vector<PictureFile> files);

// The picture whose divider card begins another set among pages that a person said are one: a card behind pages with
// something else on them, or one of another name than the first. std::nullopt: none does. data_error as above.
[[nodiscard]] std::optional<std::string> divided_at(const std::vector<ImageReadings>& pages);

// Serial and print grade of our labels on these pages, each once with its best grade: the picture, and not the print,
// may be what held it down. Those whose picture is too coarse are left out.
[[nodiscard]] std::vector<std::pair<std::string, int>> grades_of_labels(const std::vector<ImageReadings>& pages);

}  // namespace sherdmark
