// How well the labels of an inventory were printed, year by year. Callable from report.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// Letter bands of the mean grade (ISO/IEC 15415, from memory): A and B from 2.5, C from 1.5, D from 0.5, F below.
inline constexpr std::array<const char*, 4> k_grade_bands{"A and B", "C", "D", "F"};

struct GradeYear {
  std::string year;                    // "2031"
  std::array<std::int64_t, 4> labels;  // by k_grade_bands: labels whose newest grade of that year lies there
  [[nodiscard]] std::int64_t all() const { return labels[0] + labels[1] + labels[2] + labels[3]; }
};

// Of the bags of an inventory, oldest year first; years in which nothing was graded are left out.
[[nodiscard]] std::vector<GradeYear> grade_years(const Ledger& ledger, const std::string& inventory);

}  // namespace sherdmark
