// Print grades as text for people and as JSON (`grade --json`: keys are only ever added).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/scan/print_grade.h"

namespace sherdmark {

// One page of one image file; `error` says why it could not be read at all.
struct GradeResult {
  std::string image;
  int page = 1;
  std::vector<PrintGrade> grades;
  std::optional<std::string> error;
};

// "16 qr B", what holds it down and what to do, then the caveat that it is an estimate and why.
[[nodiscard]] std::string grade_text(std::span<const GradeResult> results);
[[nodiscard]] std::string grade_json(std::span<const GradeResult> results);

// Lowest grade of all symbols of all pages; std::nullopt: none was graded.
[[nodiscard]] std::optional<int> lowest_grade(std::span<const GradeResult> results);

}  // namespace sherdmark
