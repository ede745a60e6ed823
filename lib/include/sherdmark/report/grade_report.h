// Print grades as text for people and as JSON (`grade --json`: keys are only ever added).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/scan/print_grade.h"
#include "sherdmark/sheet/placement.h"

namespace sherdmark {

// How large the modules of a symbol came out on paper, and how large they were drawn.
struct PrintedSize {
  double printed_mm = 0;
  double drawn_mm = 0;
  [[nodiscard]] double share_off() const { return printed_mm / drawn_mm - 1; }
};

// More than this smaller or larger, and the sheet was not printed at true size: "fit to page" takes 3 % and more.
inline constexpr double k_most_size_off = 0.015;

// From a flatbed scan of known resolution and the placements of the sheets, which tell how many printer dots a module
// has. std::nullopt: the symbol stands on none of these sheets. A camera's pictures have no such scale.
[[nodiscard]] std::optional<PrintedSize> printed_size(const PrintGrade& grade, double scan_dpi,
                                                      std::span<const Placements> sheets);

// One page of one image file; `error` says why it could not be read at all.
struct GradeResult {
  std::string image;
  int page = 1;
  std::vector<PrintGrade> grades;
  std::optional<std::string> error;
  std::vector<std::optional<PrintedSize>> sizes{};  // of each grade, or empty: not asked for
};

// "16 qr B", what holds it down and what to do, then the caveat that it is an estimate and why.
[[nodiscard]] std::string grade_text(std::span<const GradeResult> results);
[[nodiscard]] std::string grade_json(std::span<const GradeResult> results);

// Lowest grade of all symbols of all pages; std::nullopt: none was graded.
[[nodiscard]] std::optional<int> lowest_grade(std::span<const GradeResult> results);

}  // namespace sherdmark
