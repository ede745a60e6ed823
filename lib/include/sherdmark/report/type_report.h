// What was found out about the type of a collection's labels, as text, JSON and a report on paper (docs/type.md).
#pragma once

#include <string>

#include "sherdmark/ledger/soak_tests.h"
#include "sherdmark/report/report_pages.h"
#include "sherdmark/type/judgement.h"

namespace sherdmark {

// Holds a reference: made and written in one go.
struct TypeReport {
  const TypeJudgement& judgement;
  std::string source;            // where the numbers come from: "collection.ledger, 57 artifact labels"
  bool check_character = false;  // printed after each number: a single misread is found out
  SoakStanding soak;
  std::string file{};  // the PDF, if one was written
};
[[nodiscard]] std::string type_text(const TypeReport& report);
[[nodiscard]] std::string type_json(const TypeReport& report);
// The pairs drawn large side by side, as they are and as the eye gets them; fonts with reasons; how small, how far.
// Throws environment_error when the font is not there any more.
[[nodiscard]] Report type_pages(const TypeReport& report, ReportHead head);

// Shared by the three. "8 and B".
[[nodiscard]] std::string pair_text(const GlyphPair& pair);
// Why a font stands where it does.
[[nodiscard]] std::string merit_text(const FontMerit& merit, double size_pt);

}  // namespace sherdmark
