#include "sherdmark/count/sampling.h"

#include <algorithm>
#include <cmath>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

void require(bool holds, const char* what) {
  if (!holds) throw usage_error(what, "Check the counts, the share and the confidence.");
}

long double log_choose(std::int64_t n, std::int64_t k) {
  const auto lg = [](std::int64_t x) { return lgammal(static_cast<long double>(x) + 1.0L); };
  return lg(n) - lg(k) - lg(n - k);
}

// Smallest value in [low, high] for which a monotone predicate holds; `high` if none does.
template <typename Predicate>
std::int64_t smallest_where(std::int64_t low, std::int64_t high, Predicate holds) {
  while (low < high) {
    const std::int64_t middle = low + (high - low) / 2;
    if (holds(middle))
      high = middle;
    else
      low = middle + 1;
  }
  return low;
}

// The share at which the falling function passes `target`.
template <typename Function>
double share_where(double target, Function falling) {
  double low = 0;
  double high = 1;
  for (int i = 0; i < 200 && high - low > 1e-15; ++i) {
    const double middle = (low + high) / 2;
    (falling(middle) > target ? low : high) = middle;
  }
  return (low + high) / 2;
}

}  // namespace

double hypergeometric_cdf(std::int64_t found, std::int64_t lot, std::int64_t defective, std::int64_t draw) {
  require(lot >= 0 && defective >= 0 && defective <= lot && draw >= 0 && draw <= lot,
          "the lot must hold the defectives and the draw.");
  const std::int64_t least = std::max<std::int64_t>(0, draw - (lot - defective));
  const std::int64_t most = std::min(draw, defective);
  if (found < least) return 0;
  if (found >= most) return 1;
  const long double all = log_choose(lot, draw);
  long double sum = 0;
  for (std::int64_t x = least; x <= found; ++x)
    sum += expl(log_choose(defective, x) + log_choose(lot - defective, draw - x) - all);
  return static_cast<double>(std::min(1.0L, sum));
}

double binomial_cdf(std::int64_t found, std::int64_t draw, double share) {
  require(draw >= 0 && share >= 0 && share <= 1, "the share must lie between 0 and 1.");
  if (found < 0) return 0;
  if (found >= draw || share <= 0) return 1;
  if (share >= 1) return 0;
  const long double yes = logl(static_cast<long double>(share));
  const long double no = log1pl(-static_cast<long double>(share));
  long double sum = 0;
  for (std::int64_t x = 0; x <= found; ++x)
    sum += expl(log_choose(draw, x) + static_cast<long double>(x) * yes + static_cast<long double>(draw - x) * no);
  return static_cast<double>(std::min(1.0L, sum));
}

std::int64_t tolerable_count(std::int64_t lot, double share) {
  require(lot >= 0 && share >= 0 && share <= 1, "the tolerable share must lie between 0 and 1.");
  return static_cast<std::int64_t>(std::ceil(static_cast<double>(lot) * share - 1e-9));
}

std::int64_t discovery_sample_size(std::int64_t lot, std::int64_t defective, double confidence) {
  require(lot > 0 && defective > 0 && defective <= lot, "the lot must hold at least one defective.");
  require(confidence > 0 && confidence < 1, "the confidence must lie between 0 and 1.");
  return smallest_where(1, lot, [&](std::int64_t draw) {
    return 1.0 - hypergeometric_cdf(0, lot, defective, draw) >= confidence - 1e-12;
  });
}

std::int64_t discovery_sample_size_unlimited(double share, double confidence) {
  require(share > 0 && share < 1 && confidence > 0 && confidence < 1, "share and confidence must lie between 0 and 1.");
  return static_cast<std::int64_t>(std::ceil(std::log1p(-confidence) / std::log1p(-share) - 1e-9));
}

double clopper_pearson_upper(std::int64_t found, std::int64_t draw, double confidence) {
  require(draw > 0 && found >= 0 && found <= draw, "the sample must hold what was found.");
  require(confidence > 0 && confidence < 1, "the confidence must lie between 0 and 1.");
  if (found == draw) return 1;
  return share_where(1 - confidence, [&](double share) { return binomial_cdf(found, draw, share); });
}

Interval clopper_pearson(std::int64_t found, std::int64_t draw, double confidence) {
  const double each_side = 1 - (1 - confidence) / 2;
  // The lower bound for what was found is one less the upper bound for what was not.
  return {1 - clopper_pearson_upper(draw - found, draw, each_side), clopper_pearson_upper(found, draw, each_side)};
}

std::int64_t hypergeometric_upper(std::int64_t found, std::int64_t lot, std::int64_t draw, double confidence) {
  require(lot > 0 && draw > 0 && draw <= lot && found >= 0 && found <= draw, "the lot must hold the draw.");
  require(confidence > 0 && confidence < 1, "the confidence must lie between 0 and 1.");
  const std::int64_t first_unlikely = smallest_where(found, lot - draw + found + 1, [&](std::int64_t defective) {
    return defective > lot - draw + found || hypergeometric_cdf(found, lot, defective, draw) <= 1 - confidence;
  });
  return std::max(found, first_unlikely - 1);
}

}  // namespace sherdmark
