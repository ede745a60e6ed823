// The text of artifact labels in a picture, read by the scheme's grammar and the house font. Blind to the ledger.
//
// Method: find bright paper regions; find the thin rule under each line, which gives direction, scale and both ends
// of the line; straighten; match rendered glyphs at the estimated blur; the best string that the grammar allows is
// accepted by its margin over the second best.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark {

struct TextReading {
  bool sure = false;
  std::string number;  // canonical number when sure, else the best guess (never used in a verdict), may be empty
  std::vector<std::string> lines;
  double margin = 0;  // score of the best string over the second best; larger is safer
  std::string runner_up;
  std::string why_not;           // when not sure: "rule end not seen", "too blurred", "margin" …
  double px_per_mm = 0;          // measured from the rule
  double px_per_mm_of_rule = 0;  // not sure: by the thickness of what looks like a label's rule; 0: no rule like one
  double most_px_per_mm_of_rule = 0;  // more than that where gloss or dirt made the rule paler: it may be so thick
  Corners corners{};                  // of the paper or of the text block, as it reads upright
};

// Of the paper's light, that full ink is taken to take away where the thickness of a rule is measured.
inline constexpr double k_full_ink_share = 0.85;

inline constexpr int k_text_budget_ms = 3000;

// Why a whole picture counts as not read: begins so, and goes on with the time.
inline constexpr std::string_view k_gave_up = "gave up after ";
[[nodiscard]] inline bool gave_up(const TextReading& text) { return text.why_not.starts_with(k_gave_up); }

// What the codes of a picture show before its texts are searched.
struct ShownByCodes {
  std::vector<double> px_per_mm{};  // their scales; labels may lie nearer or farther. Empty: any scale
  std::vector<Corners> masked{};    // not searched, as far as a whole block of the search lies inside
};

struct TextSearch {
  ShownByCodes shown{};
  // Asked once, when it is needed, in place of `shown`: codes may be read by another thread meanwhile.
  std::function<ShownByCodes()> ask_shown{};
  int budget_ms = k_text_budget_ms;  // of processor time, of all threads together
  unsigned threads = 1;
};

class LabelTextReader {
 public:
  // Reads every scheme of the standard in the house artifact font, at the design's size.
  explicit LabelTextReader(const HouseStandard& standard);
  ~LabelTextReader();
  LabelTextReader(LabelTextReader&&) noexcept;
  LabelTextReader& operator=(LabelTextReader&&) noexcept;
  LabelTextReader(const LabelTextReader&) = delete;
  LabelTextReader& operator=(const LabelTextReader&) = delete;

  // Thread-safe. Regions given in `masked` are not searched. After so much processor time the search ends, and the
  // whole picture is given back as one more text that was not read. Where the scale is known, labels of half as large
  // again to half the size are found for sure, others by chance.
  [[nodiscard]] std::vector<TextReading> read(const GreyView& picture, const std::vector<Corners>& masked,
                                              int budget_ms = k_text_budget_ms) const {
    return search(picture, {.shown = {{}, masked}, .budget_ms = budget_ms});
  }
  [[nodiscard]] std::vector<TextReading> search(const GreyView& picture, const TextSearch& search) const;

  struct Impl;

 private:
  std::unique_ptr<const Impl> impl_;
};

}  // namespace sherdmark
