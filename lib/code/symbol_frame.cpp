// The parts of a symbol that are the same whatever it says.
#include <algorithm>
#include <cstdlib>

#include "code/data_matrix.h"
#include "sherdmark/code/reference_decode.h"

namespace sherdmark {
namespace {

class FrameMaker {
 public:
  FrameMaker(SymbolFormat format, int side) {
    frame_.format = format;
    frame_.side_modules = side;
    const auto modules = static_cast<std::size_t>(side) * static_cast<std::size_t>(side);
    frame_.parts.assign(modules, ModulePart::data);
    frame_.dark.assign(modules, 0);
  }

  [[nodiscard]] SymbolFrame take() { return std::move(frame_); }
  [[nodiscard]] int side() const { return frame_.side_modules; }

  void set(int x, int y, ModulePart part, bool dark) {
    if (x < 0 || y < 0 || x >= side() || y >= side()) return;
    const auto index = static_cast<std::size_t>(y) * static_cast<std::size_t>(side()) + static_cast<std::size_t>(x);
    frame_.parts[index] = part;
    frame_.dark[index] = dark ? 1 : 0;
  }

  void finder(int middle_x, int middle_y) {
    for (int y = -4; y <= 4; ++y) {
      for (int x = -4; x <= 4; ++x) {
        const int ring = std::max(std::abs(x), std::abs(y));
        set(middle_x + x, middle_y + y, ring == 4 ? ModulePart::separator : ModulePart::finder, ring <= 1 || ring == 3);
      }
    }
  }

  void alignment(int middle_x, int middle_y) {
    for (int y = -2; y <= 2; ++y)
      for (int x = -2; x <= 2; ++x)
        set(middle_x + x, middle_y + y, ModulePart::alignment, std::max(std::abs(x), std::abs(y)) != 1);
  }

 private:
  SymbolFrame frame_;
};

// 18 bits, BCH (18,6) with generator 0x1F25 (ISO/IEC 18004, annex D).
void add_version_information(FrameMaker& maker, int version) {
  if (version < 7) return;
  int rest = version;
  for (int i = 0; i < 12; ++i) rest = (rest << 1) ^ ((rest >> 11) * 0x1F25);
  const int bits = version << 12 | rest;
  for (int i = 0; i < 18; ++i) {
    const bool dark = ((bits >> i) & 1) != 0;
    const int far = maker.side() - 11 + i % 3;
    maker.set(far, i / 3, ModulePart::version, dark);
    maker.set(i / 3, far, ModulePart::version, dark);
  }
}

SymbolFrame qr_frame(int side) {
  FrameMaker maker{SymbolFormat::qr, side};
  const int version = (side - 17) / 4;
  for (int i = 0; i < side; ++i) {
    maker.set(i, 6, ModulePart::timing, i % 2 == 0);
    maker.set(6, i, ModulePart::timing, i % 2 == 0);
  }
  const std::vector<int> centres = qr_alignment_centres(version);
  for (const int cx : centres)
    for (const int cy : centres) {
      const bool on_finder = (cx == 6 && (cy == 6 || cy == side - 7)) || (cx == side - 7 && cy == 6);
      if (!on_finder) maker.alignment(cx, cy);
    }
  for (int i = 0; i < 9; ++i) {
    if (i != 6) maker.set(8, i, ModulePart::format, false), maker.set(i, 8, ModulePart::format, false);
    if (i < 8) maker.set(side - 1 - i, 8, ModulePart::format, false);
    if (i < 7) maker.set(8, side - 1 - i, ModulePart::format, false);
  }
  maker.set(8, side - 8, ModulePart::finder, true);  // the module that is always dark
  maker.finder(3, 3);
  maker.finder(side - 4, 3);
  maker.finder(3, side - 4);
  add_version_information(maker, version);
  return maker.take();
}

SymbolFrame micro_qr_frame(int side) {
  FrameMaker maker{SymbolFormat::micro_qr, side};
  for (int i = 0; i < side; ++i) {
    maker.set(i, 0, ModulePart::timing, i % 2 == 0);
    maker.set(0, i, ModulePart::timing, i % 2 == 0);
  }
  for (int i = 1; i < 9; ++i) maker.set(8, i, ModulePart::format, false), maker.set(i, 8, ModulePart::format, false);
  maker.finder(3, 3);
  return maker.take();
}

// Solid on the left and below (finder), alternating above and on the right (timing), round every region.
SymbolFrame data_matrix_frame(const DataMatrixSize& size) {
  FrameMaker maker{SymbolFormat::data_matrix, size.side_modules};
  const int outer = size.region_modules() + 2;
  for (int y = 0; y < size.side_modules; ++y) {
    for (int x = 0; x < size.side_modules; ++x) {
      const int in_x = x % outer;
      const int in_y = y % outer;
      if (in_x == 0 || in_y == outer - 1) {
        maker.set(x, y, ModulePart::finder, true);
      } else if (in_y == 0) {
        maker.set(x, y, ModulePart::timing, in_x % 2 == 0);
      } else if (in_x == outer - 1) {
        maker.set(x, y, ModulePart::timing, in_y % 2 == 1);
      }
    }
  }
  return maker.take();
}

}  // namespace

std::vector<int> qr_alignment_centres(int version) {
  if (version < 2) return {};
  const int count = version / 7 + 2;
  const int step = version == 32 ? 26 : (version * 4 + count * 2 + 1) / (count * 2 - 2) * 2;
  std::vector<int> centres{6};
  for (int i = count - 2; i >= 0; --i) centres.push_back(17 + 4 * version - 7 - i * step);
  return centres;
}

std::vector<int> symbol_sides(SymbolFormat format) {
  std::vector<int> sides;
  if (format == SymbolFormat::qr)
    for (int version = 1; version <= 40; ++version) sides.push_back(17 + 4 * version);
  if (format == SymbolFormat::micro_qr) sides = {11, 13, 15, 17};
  if (format == SymbolFormat::data_matrix)
    for (const DataMatrixSize& size : data_matrix_sizes()) sides.push_back(size.side_modules);
  return sides;
}

std::optional<SymbolFrame> symbol_frame(SymbolFormat format, int side_modules) {
  const std::vector<int> sides = symbol_sides(format);
  if (std::ranges::find(sides, side_modules) == sides.end()) return std::nullopt;
  if (format == SymbolFormat::qr) return qr_frame(side_modules);
  if (format == SymbolFormat::micro_qr) return micro_qr_frame(side_modules);
  return data_matrix_frame(*std::ranges::find(data_matrix_sizes(), side_modules, &DataMatrixSize::side_modules));
}

}  // namespace sherdmark
