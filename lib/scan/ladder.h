// The ways of looking at a place that did not read at first, as data, from cheap and rewarding to dear and rare. What
// each is worth is measured by the benchmark (docs/reading.md). Private to the layer.
#pragma once

#include <span>
#include <string_view>

#include "scan/picture_filters.h"
#include "scan/zxing_reader.h"

namespace sherdmark {

struct Rung {
  std::string_view name;
  MadePicture (*prepare)(const GreyView& place);
  Binarizer binarizer = Binarizer::local_average;
  double cost = 1;  // time relative to looking at the place as it is
};

[[nodiscard]] std::span<const Rung> ladder();

}  // namespace sherdmark
