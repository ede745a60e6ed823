// Codes in a picture, ours or foreign. ZXing-cpp lives behind this header in one file.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/code/symbol.h"

namespace sherdmark {

struct CodeReading {
  SymbolFormat format = SymbolFormat::other;
  std::string text;     // UTF-8
  Corners corners{};    // in pixels of the picture given
};

struct CodeReadingOptions {
  bool all_formats = true;      // false: only the three we print
  int budget_ms = 3000;         // of the thread's processor time; after this no further rung is tried
  // Asked after every step: true ends the search. A caller that knows which labels it still misses saves the rest of
  // the time; without it every place that looks like a code is tried.
  std::function<bool(const std::vector<CodeReading>&)> enough{};
  // Asked of a large picture after the look at its smaller copy: true when every code that is wanted has been read. What
  // else looks like a code is then looked at once, at full size, and the whole picture is not; places with a finder
  // pattern are climbed all the same.
  std::function<bool(const std::vector<CodeReading>&)> nothing_missing{};
};

// What a picture holds: codes that were read, and places where a QR or Micro QR code is seen (a finder pattern of it)
// that was not: cut off, covered, blurred.
struct CodesFound {
  std::vector<CodeReading> readings;
  std::vector<Corners> unread;
};
[[nodiscard]] CodesFound find_codes(const GreyView& picture, const CodeReadingOptions& options = {});

// Every code found, each once. Nothing found is an empty list, not an error.
[[nodiscard]] std::vector<CodeReading> read_codes(const GreyView& picture, const CodeReadingOptions& options = {});

}  // namespace sherdmark
