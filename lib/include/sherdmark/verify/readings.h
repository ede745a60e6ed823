// What the reader found in pictures → one set of readings for judge(). Pure.
#pragma once

#include <string>
#include <vector>

#include "sherdmark/scan/codes.h"
#include "sherdmark/scan/label_text.h"
#include "sherdmark/scan/print_grade.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

// What was found on one page of one image file.
struct ImageReadings {
  std::string image;
  int page = 1;
  std::vector<CodeReading> codes;
  std::vector<TextReading> texts;
  std::vector<TextReading> set_aside{};  // marks that are no artifact labels by their place or size; told in `notes`
  std::vector<PrintGrade> grades{};      // of the codes, only when asked for
  std::vector<Corners> unread_codes{};   // codes that are seen and were not read
  std::vector<Corners> unseen_codes{};   // where codes of bag labels and tags stand of which only the large print is seen
};

// Our codes and label texts become readings. Foreign codes are no part of a set: each is named in `notes`. A damaged
// code, one that is seen and not read, or an unsure text is a reading that is not sure; a code of a newer version says so. A small code that lies on
// the paper of a label text, or nearest to it within a few millimetres, is joined to it; a text that was not read
// surely is completed by its code only when the code lies within the text's own outline.
[[nodiscard]] ReadingSet build_set(const std::string& name, const std::vector<ImageReadings>& pictures);

}  // namespace sherdmark
