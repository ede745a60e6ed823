// Data codewords → symbol (ISO/IEC 16022, 5.5 to 5.8 and annexes E and F). Square sizes only: a label's place for its
// code is square, and the writer that Debian packages chooses oblong symbols by itself for 11-13 and 17-22 characters.
#include "code/data_matrix.h"

#include <fmt/format.h>

#include <array>

#include "sherdmark/base/error.h"
#include "sherdmark/code/symbol.h"

namespace sherdmark {
namespace {

constexpr int k_field = 256;
constexpr int k_polynomial = 0x12D;

struct Field {
  std::array<int, k_field> log{};
  std::array<int, k_field> power{};
  Field() {
    int value = 1;
    for (int i = 0; i < k_field - 1; ++i) {
      power[static_cast<std::size_t>(i)] = value;
      log[static_cast<std::size_t>(value)] = i;
      value *= 2;
      if (value >= k_field) value ^= k_polynomial;
    }
  }
  [[nodiscard]] int times(int a, int b) const {
    if (a == 0 || b == 0) return 0;
    const int sum = log[static_cast<std::size_t>(a)] + log[static_cast<std::size_t>(b)];
    return power[static_cast<std::size_t>(sum % (k_field - 1))];
  }
};

const Field& field() {
  static const Field k_gf;
  return k_gf;
}

// Coefficients of (x - alpha^1)…(x - alpha^count) below the leading one, highest first.
std::vector<int> generator(int count) {
  std::vector<int> g{1};
  for (int root = 1; root <= count; ++root) {
    const int alpha = field().power[static_cast<std::size_t>(root)];
    g.push_back(0);
    for (std::size_t i = g.size() - 1; i > 0; --i) g[i] ^= field().times(g[i - 1], alpha);
  }
  g.erase(g.begin());
  return g;
}

// Annex F: the walk that puts every bit of every codeword on its module.
class Placement {
 public:
  Placement(const Codewords& codewords, int side) : codewords_(codewords), side_(side), modules_(count(side), k_free) {
    walk();
    const std::size_t last = modules_.size() - 1;
    if (modules_[last] == k_free) {
      modules_[last] = 1;
      modules_[last - static_cast<std::size_t>(side_) - 1] = 1;
    }
    for (std::uint8_t& module : modules_)
      if (module == k_free) module = 0;
  }

  [[nodiscard]] std::vector<std::uint8_t> take() { return std::move(modules_); }

 private:
  static constexpr std::uint8_t k_free = 2;
  struct At {
    int row;
    int column;
  };
  static std::size_t count(int side) { return static_cast<std::size_t>(side) * static_cast<std::size_t>(side); }

  [[nodiscard]] std::uint8_t& module(int row, int column) {
    return modules_[static_cast<std::size_t>(row) * static_cast<std::size_t>(side_) + static_cast<std::size_t>(column)];
  }

  void put(At at, int bit) {
    if (at.row < 0) at = {at.row + side_, at.column + 4 - (side_ + 4) % 8};
    if (at.column < 0) at = {at.row + 4 - (side_ + 4) % 8, at.column + side_};
    module(at.row, at.column) = static_cast<std::uint8_t>((codewords_.at(next_) >> (7 - bit)) & 1);
  }

  void put_all(const std::array<At, 8>& places) {
    for (int bit = 0; bit < 8; ++bit) put(places[static_cast<std::size_t>(bit)], bit);
    ++next_;
  }

  void utah(int r, int c) {
    if (r < 0 || r >= side_ || c < 0 || c >= side_ || module(r, c) != k_free) return;
    put_all(
        {{{r - 2, c - 2}, {r - 2, c - 1}, {r - 1, c - 2}, {r - 1, c - 1}, {r - 1, c}, {r, c - 2}, {r, c - 1}, {r, c}}});
  }

  void corner(int r, int c) {
    const int n = side_;
    if (r == n && c == 0)
      put_all({{{n - 1, 0}, {n - 1, 1}, {n - 1, 2}, {0, n - 2}, {0, n - 1}, {1, n - 1}, {2, n - 1}, {3, n - 1}}});
    if (r == n - 2 && c == 0 && n % 4 != 0)
      put_all({{{n - 3, 0}, {n - 2, 0}, {n - 1, 0}, {0, n - 4}, {0, n - 3}, {0, n - 2}, {0, n - 1}, {1, n - 1}}});
    if (r == n - 2 && c == 0 && n % 8 == 4)
      put_all({{{n - 3, 0}, {n - 2, 0}, {n - 1, 0}, {0, n - 2}, {0, n - 1}, {1, n - 1}, {2, n - 1}, {3, n - 1}}});
    if (r == n + 4 && c == 2 && n % 8 == 0)
      put_all({{{n - 1, 0}, {n - 1, n - 1}, {0, n - 3}, {0, n - 2}, {0, n - 1}, {1, n - 3}, {1, n - 2}, {1, n - 1}}});
  }

  void walk() {
    int row = 4;
    int column = 0;
    while (row < side_ || column < side_) {
      corner(row, column);
      for (; row >= 0 && column < side_; row -= 2, column += 2) utah(row, column);
      row += 1;
      column += 3;
      for (; row < side_ && column >= 0; row += 2, column -= 2) utah(row, column);
      row += 3;
      column += 1;
    }
  }

  const Codewords& codewords_;
  int side_;
  std::size_t next_ = 0;
  std::vector<std::uint8_t> modules_;
};

// Error correction block by block: codeword i belongs to block i mod blocks.
Codewords with_error_correction(const Codewords& data, const DataMatrixSize& size) {
  const auto blocks = static_cast<std::size_t>(size.blocks);
  Codewords all = data;
  all.resize(data.size() + static_cast<std::size_t>(size.error_codewords));
  for (std::size_t block = 0; block < blocks; ++block) {
    Codewords own;
    for (std::size_t i = block; i < data.size(); i += blocks) own.push_back(data[i]);
    const Codewords error = error_codewords(own, size.error_codewords / size.blocks);
    for (std::size_t i = 0; i < error.size(); ++i) all[data.size() + block + i * blocks] = error[i];
  }
  return all;
}

// Every region inside its border: solid on the left and below, alternating above and on the right.
SymbolMatrix framed(const std::vector<std::uint8_t>& mapping, const DataMatrixSize& size) {
  SymbolMatrix symbol;
  symbol.format = SymbolFormat::data_matrix;
  symbol.width_modules = symbol.height_modules = size.side_modules;
  symbol.quiet_zone_modules = 1;
  const int inner = size.region_modules();
  const int outer = inner + 2;
  for (int y = 0; y < size.side_modules; ++y) {
    for (int x = 0; x < size.side_modules; ++x) {
      const int in_x = x % outer;
      const int in_y = y % outer;
      bool dark = false;
      if (in_x == 0 || in_y == outer - 1) {
        dark = true;
      } else if (in_y == 0) {
        dark = in_x % 2 == 0;
      } else if (in_x == outer - 1) {
        dark = in_y % 2 == 1;
      } else {
        const int row = y / outer * inner + in_y - 1;
        const int column = x / outer * inner + in_x - 1;
        dark = mapping[static_cast<std::size_t>(row * size.mapping_modules() + column)] != 0;
      }
      symbol.dark.push_back(dark ? 1 : 0);
    }
  }
  return symbol;
}

}  // namespace

const std::vector<DataMatrixSize>& data_matrix_sizes() {
  static const std::vector<DataMatrixSize> k_sizes = {
      {10, 1, 3, 5, 1},      {12, 1, 5, 7, 1},       {14, 1, 8, 10, 1},      {16, 1, 12, 12, 1},   {18, 1, 18, 14, 1},
      {20, 1, 22, 18, 1},    {22, 1, 30, 20, 1},     {24, 1, 36, 24, 1},     {26, 1, 44, 28, 1},   {32, 2, 62, 36, 1},
      {36, 2, 86, 42, 1},    {40, 2, 114, 48, 1},    {44, 2, 144, 56, 1},    {48, 2, 174, 68, 1},  {52, 2, 204, 84, 2},
      {64, 4, 280, 112, 2},  {72, 4, 368, 144, 4},   {80, 4, 456, 192, 4},   {88, 4, 576, 224, 4}, {96, 4, 696, 272, 4},
      {104, 4, 816, 336, 6}, {120, 6, 1050, 408, 6}, {132, 6, 1304, 496, 8},
  };
  return k_sizes;
}

Codewords error_codewords(const Codewords& data, int count) {
  const std::vector<int> g = generator(count);
  std::vector<int> remainder(static_cast<std::size_t>(count), 0);
  for (const std::uint8_t codeword : data) {
    const int feedback = codeword ^ remainder.front();
    for (std::size_t i = 0; i + 1 < remainder.size(); ++i)
      remainder[i] = remainder[i + 1] ^ field().times(feedback, g[i]);
    remainder.back() = field().times(feedback, g.back());
  }
  Codewords result;
  for (const int value : remainder) result.push_back(static_cast<std::uint8_t>(value));
  return result;
}

std::vector<std::uint8_t> place_codewords(const Codewords& codewords, int mapping_modules) {
  return Placement{codewords, mapping_modules}.take();
}

SymbolMatrix make_data_matrix(std::string_view text) {
  for (const DataMatrixSize& size : data_matrix_sizes()) {
    const auto data = encode_data_codewords(text, size.data_codewords);
    if (!data) continue;
    return framed(place_codewords(with_error_correction(*data, size), size.mapping_modules()), size);
  }
  throw data_error(fmt::format("No Data Matrix symbol holds this text of {} bytes.", text.size()), {},
                   "Shorten the number, or print no micro-code.");
}

}  // namespace sherdmark
