// The ways of looking at a place that did not read at first, as data, from cheap and rewarding to dear and rare. What
// each is worth is measured by the benchmark (docs/reading.md). Private to the layer.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "scan/picture_filters.h"
#include "scan/zxing_reader.h"

namespace sherdmark {

// Either a picture made of the place, for the third-party reader, or a reader of our own.
struct Rung {
  std::string_view name;
  MadePicture (*prepare)(const GreyView& place) = nullptr;
  Binarizer binarizer = Binarizer::local_average;
  std::vector<CodeReading> (*read)(const GreyView& place) = nullptr;
};

[[nodiscard]] std::span<const Rung> ladder();

}  // namespace sherdmark
