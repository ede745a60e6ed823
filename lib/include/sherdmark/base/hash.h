// SHA-256 (FIPS 180-4), as lower-case hex. Used for the event chain and for fingerprints of files.
#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace sherdmark {

[[nodiscard]] std::string sha256_hex(std::span<const std::byte> bytes);
[[nodiscard]] std::string sha256_hex(std::string_view text);

// The same for what comes piece by piece, so that a large file need not be in memory.
class Sha256 {
 public:
  Sha256();
  ~Sha256();
  Sha256(const Sha256&) = delete;
  Sha256& operator=(const Sha256&) = delete;
  Sha256(Sha256&&) = delete;
  Sha256& operator=(Sha256&&) = delete;
  void add(std::span<const std::byte> bytes);
  [[nodiscard]] std::string hex();  // ends it; nothing may be added afterwards

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace sherdmark
