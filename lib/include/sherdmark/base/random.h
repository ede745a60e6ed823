// Randomness is passed in. `SystemRandom` for keys and draws, `SeededRandom` wherever a result must repeat.
#pragma once

#include <cstdint>

namespace sherdmark {

class RandomSource {
 public:
  virtual ~RandomSource() = default;
  [[nodiscard]] virtual std::uint64_t next() = 0;  // 64 uniform bits

  // Uniform in 0 … bound-1, without modulo bias. `bound` must be positive.
  [[nodiscard]] std::uint64_t below(std::uint64_t bound);
  // Uniform in [0, 1).
  [[nodiscard]] double unit();
};

class SystemRandom final : public RandomSource {  // the operating system's generator
 public:
  [[nodiscard]] std::uint64_t next() override;
};

// SplitMix64; the same sequence on every machine for ever.
class SeededRandom final : public RandomSource {
 public:
  explicit SeededRandom(std::uint64_t seed) : state_(seed) {}
  [[nodiscard]] std::uint64_t next() override;

 private:
  std::uint64_t state_;
};

}  // namespace sherdmark
