// The statistics of spot checks: exact, from first principles, with the published tables that judge them named in
// tests/count. Counts are whole; shares and probabilities are 0 … 1. Arguments out of range throw usage_error.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace sherdmark {

// Probability of at most `found` defectives in a draw of `draw` from `lot` that holds `defective`.
[[nodiscard]] double hypergeometric_cdf(std::int64_t found, std::int64_t lot, std::int64_t defective,
                                        std::int64_t draw);
// Probability of at most `found` defectives in `draw` independent trials.
[[nodiscard]] double binomial_cdf(std::int64_t found, std::int64_t draw, double share);

// Defectives that a tolerable share means in a lot: rounded up, the conservative reading of "this share or more".
[[nodiscard]] std::int64_t tolerable_count(std::int64_t lot, double share);
// Smallest draw that shows at least one of `defective` with the confidence; the whole lot if nothing less does.
[[nodiscard]] std::int64_t discovery_sample_size(std::int64_t lot, std::int64_t defective, double confidence);
// The same for an unlimited lot: smallest n with 1 - (1 - share)^n >= confidence.
[[nodiscard]] std::int64_t discovery_sample_size_unlimited(double share, double confidence);

struct Interval {
  double lower = 0;
  double upper = 1;
};
// Clopper and Pearson's exact interval for a share, two-sided with the confidence.
[[nodiscard]] Interval clopper_pearson(std::int64_t found, std::int64_t draw, double confidence);
// One-sided exact upper bound for a share.
[[nodiscard]] double clopper_pearson_upper(std::int64_t found, std::int64_t draw, double confidence);
// Largest number of defectives in the lot that still leaves at least 1 - confidence of seeing so few.
[[nodiscard]] std::int64_t hypergeometric_upper(std::int64_t found, std::int64_t lot, std::int64_t draw,
                                                double confidence);

// ISO 2859-1 / MIL-STD-105E, single sampling, normal inspection.
enum class InspectionLevel { s1, s2, s3, s4, i, ii, iii };
[[nodiscard]] char code_letter(std::int64_t lot, InspectionLevel level);

struct SamplingPlan {
  char letter = 'A';        // after the arrows of the table were followed
  std::int64_t sample = 0;  // the whole lot when the table asks for more than there is
  std::int64_t accept = 0;  // accept when at most so many are defective
};
// `aql_percent` is one of 0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10.
[[nodiscard]] SamplingPlan single_sampling_plan(std::int64_t lot, InspectionLevel level, double aql_percent);

}  // namespace sherdmark
