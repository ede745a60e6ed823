#include "sherdmark/base/random.h"

#include "base/crypto_library.h"
#include "sherdmark/base/error.h"

namespace sherdmark {

std::uint64_t RandomSource::below(std::uint64_t bound) {
  if (bound == 0) throw internal_error("a random number below zero was asked for.");
  const std::uint64_t unusable = (0 - bound) % bound;  // 2^64 mod bound
  for (;;) {
    const std::uint64_t value = next();
    if (value >= unusable) return value % bound;
  }
}

double RandomSource::unit() { return static_cast<double>(next() >> 11U) * 0x1.0p-53; }

std::uint64_t SystemRandom::next() {
  std::uint64_t value = 0;
  if (crypto().RAND_bytes(reinterpret_cast<unsigned char*>(&value), sizeof value) != 1)
    throw environment_error("the system's random generator gave nothing.", {},
                            "Try again; restart the machine if it stays.");
  return value;
}

std::uint64_t SeededRandom::next() {
  state_ += 0x9E3779B97F4A7C15U;
  std::uint64_t z = state_;
  z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
  z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
  return z ^ (z >> 31U);
}

}  // namespace sherdmark
