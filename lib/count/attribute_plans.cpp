// ISO 2859-1 table 1 and table 2-A (MIL-STD-105E tables I and II-A): code letters and single plans, normal inspection.
#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "sherdmark/base/error.h"
#include "sherdmark/count/sampling.h"

namespace sherdmark {
namespace {

struct LetterRow {
  std::int64_t largest_lot;
  std::string_view letters;  // S1 S2 S3 S4 I II III
};
constexpr std::array k_letters{
    LetterRow{8, "AAAAAAB"},      LetterRow{15, "AAAAABC"},     LetterRow{25, "AABBBCD"},
    LetterRow{50, "ABBCCDE"},     LetterRow{90, "BBCCCEF"},     LetterRow{150, "BBCDDFG"},
    LetterRow{280, "BCDEEGH"},    LetterRow{500, "BCDEFHJ"},    LetterRow{1200, "CCEFGJK"},
    LetterRow{3200, "CDEGHKL"},   LetterRow{10000, "CDFGJLM"},  LetterRow{35000, "CDFHKMN"},
    LetterRow{150000, "DEGJLNP"}, LetterRow{500000, "DEGJMPQ"}, LetterRow{INT64_MAX, "DEHKNQR"}};

constexpr std::string_view k_row_letters = "ABCDEFGHJKLMNPQR";
constexpr std::array<std::int64_t, 16> k_sizes{2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000};
constexpr std::array k_aql_percent{0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10.0};

// The table is one diagonal: down from the row where Ac is 0 stand an up arrow, a down arrow, then these numbers.
constexpr std::array<std::int64_t, 8> k_accept{1, 2, 3, 5, 7, 10, 14, 21};
constexpr int k_down = -1;
constexpr int k_up = -2;

// Acceptance number at a row and an AQL column, or an arrow.
std::int64_t cell(std::size_t row, std::size_t column) {
  const auto zero_row = static_cast<std::ptrdiff_t>(10 - column);  // L for 0.065 … A for 6.5; 10 % would lie above A
  const std::ptrdiff_t below = static_cast<std::ptrdiff_t>(row) - zero_row;
  if (below < 0) return k_down;
  if (below == 0) return 0;
  if (below == 1) return row == 0 ? k_down : k_up;  // no row lies above A: use the first plan below
  if (below == 2) return k_down;
  const auto step = static_cast<std::size_t>(below - 3);
  return step < k_accept.size() ? k_accept[step] : k_up;
}

}  // namespace

char code_letter(std::int64_t lot, InspectionLevel level) {
  if (lot < 2) throw usage_error("a lot for a sampling plan holds at least two.", "Inspect the one item.");
  const auto row = std::find_if(k_letters.begin(), k_letters.end(),
                                [lot](const LetterRow& candidate) { return lot <= candidate.largest_lot; });
  return row->letters[static_cast<std::size_t>(level)];
}

SamplingPlan single_sampling_plan(std::int64_t lot, InspectionLevel level, double aql_percent) {
  const auto aql = std::find_if(k_aql_percent.begin(), k_aql_percent.end(),
                                [aql_percent](double known) { return std::abs(known - aql_percent) < 1e-9; });
  if (aql == k_aql_percent.end())
    throw usage_error("this AQL is not in the table.",
                      "Use one of 0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5 or 10.");
  const auto column = static_cast<std::size_t>(aql - k_aql_percent.begin());
  std::size_t row = k_row_letters.find(code_letter(lot, level));
  const std::int64_t first = cell(row, column);
  for (std::int64_t value = first; value < 0; value = cell(row, column)) row = first == k_down ? row + 1 : row - 1;
  return {k_row_letters[row], std::min(lot, k_sizes[row]), cell(row, column)};
}

}  // namespace sherdmark
