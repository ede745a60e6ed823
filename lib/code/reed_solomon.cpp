#include "code/reed_solomon.h"

#include <array>

namespace sherdmark {
namespace {

constexpr int k_order = 255;  // of the field's multiplicative group

class Field {
 public:
  explicit Field(int polynomial) {
    int value = 1;
    for (int i = 0; i < k_order; ++i) {
      power_[static_cast<std::size_t>(i)] = value;
      log_[static_cast<std::size_t>(value)] = i;
      value *= 2;
      if (value > k_order) value ^= polynomial;
    }
  }
  [[nodiscard]] int power(int exponent) const {
    return power_[static_cast<std::size_t>(((exponent % k_order) + k_order) % k_order)];
  }
  [[nodiscard]] int log(int value) const { return log_[static_cast<std::size_t>(value)]; }
  [[nodiscard]] int times(int a, int b) const { return a == 0 || b == 0 ? 0 : power(log(a) + log(b)); }
  [[nodiscard]] int inverse(int a) const { return power(-log(a)); }

 private:
  std::array<int, k_order> power_{};
  std::array<int, k_order + 1> log_{};
};

const Field& field_of(int polynomial) {
  static const Field k_qr{0x11D};
  static const Field k_data_matrix{0x12D};
  return polynomial == 0x11D ? k_qr : k_data_matrix;
}

using Polynomial = std::vector<int>;  // lowest coefficient first

int value_at(const Field& field, const Polynomial& polynomial, int x) {
  int value = 0;
  for (std::size_t i = polynomial.size(); i-- > 0;) value = field.times(value, x) ^ polynomial[i];
  return value;
}

Polynomial syndromes_of(const Field& field, const std::vector<std::uint8_t>& block, int first_root, int count) {
  Polynomial syndromes;
  for (int i = 0; i < count; ++i) {
    const int root = field.power(first_root + i);
    int value = 0;
    for (const std::uint8_t codeword : block) value = field.times(value, root) ^ codeword;
    syndromes.push_back(value);
  }
  return syndromes;
}

// Berlekamp and Massey: the shortest recurrence that the syndromes obey.
Polynomial locator_of(const Field& field, const Polynomial& syndromes) {
  Polynomial locator{1};
  Polynomial before{1};
  std::size_t length = 0;
  std::size_t shift = 1;
  int last = 1;
  for (std::size_t n = 0; n < syndromes.size(); ++n) {
    int discrepancy = syndromes[n];
    for (std::size_t i = 1; i <= length && i < locator.size(); ++i)
      discrepancy ^= field.times(locator[i], syndromes[n - i]);
    if (discrepancy == 0) {
      ++shift;
      continue;
    }
    const Polynomial kept = locator;
    const int factor = field.times(discrepancy, field.inverse(last));
    if (locator.size() < before.size() + shift) locator.resize(before.size() + shift, 0);
    for (std::size_t i = 0; i < before.size(); ++i) locator[i + shift] ^= field.times(factor, before[i]);
    if (2 * length <= n) {
      length = n + 1 - length;
      before = kept;
      last = discrepancy;
      shift = 1;
    } else {
      ++shift;
    }
  }
  while (locator.size() > 1 && locator.back() == 0) locator.pop_back();
  return locator;
}

// Forney: what was added at the place whose power is `exponent`.
int magnitude_at(const Field& field, const Polynomial& syndromes, const Polynomial& locator, int exponent,
                 int first_root) {
  const int inverse = field.power(-exponent);
  int above = 0;  // the evaluator, syndromes × locator cut off at the number of syndromes
  for (std::size_t i = syndromes.size(); i-- > 0;) {
    int coefficient = 0;
    for (std::size_t j = 0; j <= i && j < locator.size(); ++j) coefficient ^= field.times(locator[j], syndromes[i - j]);
    above = field.times(above, inverse) ^ coefficient;
  }
  int below = 0;  // the derivative: odd coefficients only
  for (std::size_t i = 1; i < locator.size(); i += 2)
    below ^= field.times(locator[i], field.power(-exponent * static_cast<int>(i - 1)));
  if (below == 0) return 0;
  return field.times(field.times(above, field.inverse(below)), field.power(exponent * (1 - first_root)));
}

}  // namespace

std::optional<int> correct_block(const ReedSolomonCode& code, std::vector<std::uint8_t>& block, int error_count) {
  const Field& field = field_of(code.polynomial);
  const Polynomial syndromes = syndromes_of(field, block, code.first_root, error_count);
  bool whole = true;
  for (const int syndrome : syndromes) whole = whole && syndrome == 0;
  if (whole) return 0;
  const Polynomial locator = locator_of(field, syndromes);
  const int errors = static_cast<int>(locator.size()) - 1;
  if (errors < 1 || 2 * errors > error_count) return std::nullopt;
  std::vector<std::uint8_t> corrected = block;
  int found = 0;
  for (std::size_t i = 0; i < block.size(); ++i) {
    const int exponent = static_cast<int>(block.size() - 1 - i);
    if (value_at(field, locator, field.power(-exponent)) != 0) continue;
    ++found;
    corrected[i] ^= static_cast<std::uint8_t>(magnitude_at(field, syndromes, locator, exponent, code.first_root));
  }
  if (found != errors) return std::nullopt;
  for (const int syndrome : syndromes_of(field, corrected, code.first_root, error_count))
    if (syndrome != 0) return std::nullopt;
  block = std::move(corrected);
  return errors;
}

}  // namespace sherdmark
