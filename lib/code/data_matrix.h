// The steps of a Data Matrix ECC 200 symbol (ISO/IEC 16022), apart from each other so that the published worked
// examples can judge each. Called by make_data_matrix and by tests.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace sherdmark {

using Codewords = std::vector<std::uint8_t>;

// One square symbol size of ISO/IEC 16022 table 7.
struct DataMatrixSize {
  int side_modules = 0;
  int regions_per_side = 1;
  int data_codewords = 0;
  int error_codewords = 0;
  int blocks = 1;

  [[nodiscard]] int region_modules() const { return side_modules / regions_per_side - 2; }  // without its own border
  [[nodiscard]] int mapping_modules() const { return region_modules() * regions_per_side; }
};

// From small to large.
[[nodiscard]] const std::vector<DataMatrixSize>& data_matrix_sizes();

// The text in ASCII and C40 encodation (or Base 256 where that is shorter), padded to exactly `capacity` codewords.
// std::nullopt: it does not fit.
[[nodiscard]] std::optional<Codewords> encode_data_codewords(std::string_view text, int capacity);

// Reed-Solomon over GF(256), polynomial 0x12D, first root alpha^1: `count` error codewords of one block.
[[nodiscard]] Codewords error_codewords(const Codewords& data, int count);

// Codewords (data, then error correction, interleaved) placed in the mapping matrix, row by row, 1 is dark.
[[nodiscard]] std::vector<std::uint8_t> place_codewords(const Codewords& codewords, int mapping_modules);

}  // namespace sherdmark
