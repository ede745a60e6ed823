#include "sherdmark/code/reference_decode.h"

#include <algorithm>
#include <bit>

#include "code/data_matrix.h"
#include "code/reed_solomon.h"
#include "code/symbol_walk.h"

namespace sherdmark {
namespace {

constexpr int k_most_format_errors = 3;  // BCH (15,5) corrects three

// What the format information says.
struct Format {
  unsigned bits = 0;  // as printed
  int mask = 0;
  std::optional<ErrorLevel> level;
  int micro_symbol = 0;
  std::vector<int> errors;  // of each copy
};

unsigned format_bits(unsigned data, bool micro) {
  unsigned rest = data;
  for (int i = 0; i < 10; ++i) rest = (rest << 1U) ^ ((rest >> 9U) * 0x537U);
  return (data << 10U | rest) ^ (micro ? 0x4445U : 0x5412U);
}

Format understood(unsigned data, bool micro) {
  Format format;
  format.bits = format_bits(data, micro);
  if (micro) {
    format.mask = static_cast<int>(data & 3U);
    format.micro_symbol = static_cast<int>(data >> 2U);
  } else {
    constexpr std::array k_levels = {ErrorLevel::m, ErrorLevel::l, ErrorLevel::h, ErrorLevel::q};
    format.mask = static_cast<int>(data & 7U);
    format.level = k_levels.at(data >> 3U);
  }
  return format;
}

std::optional<Format> read_format(const SymbolMatrix& seen, const std::vector<FormatPlaces>& copies) {
  const bool micro = seen.format == SymbolFormat::micro_qr;
  std::optional<Format> best;
  int least = k_most_format_errors + 1;
  for (unsigned data = 0; data < 32; ++data) {
    Format format = understood(data, micro);
    for (const FormatPlaces& places : copies) {
      unsigned bits = 0;
      for (std::size_t i = 0; i < places.size(); ++i)
        bits |= unsigned{seen.dark[static_cast<std::size_t>(places[i])]} << i;
      format.errors.push_back(std::popcount(bits ^ format.bits));
    }
    const int errors = *std::ranges::min_element(format.errors);  // one good copy is enough
    if (errors < least) least = errors, best = format;
  }
  return best;
}

// Sizes of Micro QR symbol numbers: M1, M2, M2, M3, M3, M4, M4, M4.
int micro_side(int symbol_number) {
  constexpr std::array k_sides = {11, 13, 13, 15, 15, 17, 17, 17};
  return k_sides.at(static_cast<std::size_t>(symbol_number));
}

struct Layout {
  BlockPlan plan;
  ReedSolomonCode code;
  int bits_of_last_data = 8;  // M1 and M3 end in half a codeword
};

// Which codeword of the symbol is which codeword of which block: [block][position].
std::vector<std::vector<std::size_t>> blocks_of(const BlockPlan& plan, bool data_matrix) {
  std::vector<std::vector<std::size_t>> blocks(static_cast<std::size_t>(plan.blocks));
  std::size_t next = 0;
  const int most = plan.data_of_short + (plan.short_blocks < plan.blocks ? 1 : 0);
  for (int position = 0; position < most; ++position)
    for (int block = 0; block < plan.blocks; ++block)
      if (data_matrix || position < plan.data_of_short + (block >= plan.short_blocks ? 1 : 0))
        blocks[static_cast<std::size_t>(block)].push_back(next++);
  for (int position = 0; position < plan.error_codewords; ++position)
    for (auto& block : blocks) block.push_back(next++);
  return blocks;
}

class Decoder {
 public:
  Decoder(const SymbolMatrix& seen, const SymbolFrame& frame, const Layout& layout, int mask)
      : seen_(seen), frame_(frame), layout_(layout), mask_(mask) {
    result_.printed = seen;
    for (std::size_t i = 0; i < frame.parts.size(); ++i)
      if (frame.parts[i] != ModulePart::data && frame.parts[i] != ModulePart::format)
        result_.printed.dark[i] = frame.dark[i];
  }

  [[nodiscard]] std::optional<ReferenceDecode> decode() {
    take_codewords();
    const bool data_matrix = seen_.format == SymbolFormat::data_matrix;
    const auto blocks = blocks_of(layout_.plan, data_matrix);
    std::vector<std::uint8_t> corrected = values_;
    for (std::size_t b = 0; b < blocks.size(); ++b) {
      std::vector<std::uint8_t> block;
      for (const std::size_t index : blocks[b]) {
        if (index >= values_.size()) return std::nullopt;
        block.push_back(values_[index]);
      }
      const auto wrong = correct_block(layout_.code, block, layout_.plan.error_codewords);
      if (!wrong) return std::nullopt;
      result_.blocks.push_back({layout_.plan.error_codewords, layout_.plan.kept_for_detection, *wrong});
      for (std::size_t i = 0; i < block.size(); ++i) {
        const std::size_t index = blocks[b][i];
        corrected[index] = block[i];
        result_.codewords[index].block = static_cast<int>(b);
        result_.codewords[index].wrong = block[i] != values_[index];
      }
    }
    for (std::size_t i = 0; i < corrected.size(); ++i) print(result_.codewords[i], corrected[i]);
    print_the_rest();
    return std::move(result_);
  }

 private:
  [[nodiscard]] bool turned(int index) const {
    if (seen_.format == SymbolFormat::data_matrix) return false;
    return masked(seen_.format, mask_, index % seen_.width_modules, index / seen_.width_modules);
  }

  void take_codewords() {
    walk_ = data_walk(frame_);
    const auto count = [this] {
      int codewords = 0;
      for (int b = 0; b < layout_.plan.blocks; ++b)
        codewords +=
            layout_.plan.data_of_short + (b >= layout_.plan.short_blocks ? 1 : 0) + layout_.plan.error_codewords;
      return codewords;
    }();
    for (int i = 0; i < count; ++i) {
      const int bits = i == layout_.plan.data_of_short - 1 ? layout_.bits_of_last_data : 8;
      CodewordPlace place;
      unsigned value = 0;
      for (int bit = 0; bit < bits && used_ < walk_.size(); ++bit) {
        const int index = walk_[used_++];
        place.modules.push_back(index);
        const bool dark = seen_.dark[static_cast<std::size_t>(index)] != 0;
        value = value << 1U | (dark != turned(index) ? 1U : 0U);
      }
      result_.codewords.push_back(std::move(place));
      values_.push_back(static_cast<std::uint8_t>(value));
    }
  }

  void print(const CodewordPlace& place, std::uint8_t value) {
    const std::size_t bits = place.modules.size();
    for (std::size_t i = 0; i < bits; ++i) {
      const int index = place.modules[i];
      const bool one = ((value >> (bits - 1 - i)) & 1U) != 0;
      result_.printed.dark[static_cast<std::size_t>(index)] = one != turned(index) ? 1 : 0;
    }
  }

  // Remainder bits are zeros before masking; a Data Matrix may have a fixed corner that holds no bit.
  void print_the_rest() {
    for (; used_ < walk_.size(); ++used_)
      result_.printed.dark[static_cast<std::size_t>(walk_[used_])] = turned(walk_[used_]) ? 1 : 0;
    if (seen_.format != SymbolFormat::data_matrix) return;
    std::vector<bool> held(frame_.parts.size(), false);
    for (const int index : walk_)
      if (index >= 0) held[static_cast<std::size_t>(index)] = true;
    const int side = seen_.width_modules;
    for (int y = side - 3; y <= side - 2; ++y)
      for (int x = side - 3; x <= side - 2; ++x) {
        const auto index = static_cast<std::size_t>(y * side + x);
        const bool diagonal = (x == side - 3) == (y == side - 3);
        if (!held[index]) result_.printed.dark[index] = diagonal ? 1 : 0;
      }
  }

  const SymbolMatrix& seen_;
  const SymbolFrame& frame_;
  const Layout& layout_;
  int mask_;
  std::vector<int> walk_{};
  std::size_t used_ = 0;
  std::vector<std::uint8_t> values_{};
  ReferenceDecode result_{};
};

Layout data_matrix_layout(int side) {
  const DataMatrixSize& size = *std::ranges::find(data_matrix_sizes(), side, &DataMatrixSize::side_modules);
  BlockPlan plan;
  plan.blocks = plan.short_blocks = size.blocks;
  plan.data_of_short = size.data_codewords / size.blocks;
  plan.error_codewords = size.error_codewords / size.blocks;
  return {plan, {0x12D, 1}, 8};
}

Layout qr_layout(const SymbolMatrix& seen, const Format& format) {
  if (seen.format == SymbolFormat::qr) return {qr_blocks((seen.width_modules - 17) / 4, *format.level), {}, 8};
  const int number = format.micro_symbol;
  const bool half = number == 0 || number == 3 || number == 4;
  return {micro_qr_blocks(number), {}, half ? 4 : 8};
}

void print_format(ReferenceDecode& decode, const Format& format, const std::vector<FormatPlaces>& copies) {
  for (const FormatPlaces& places : copies)
    for (std::size_t i = 0; i < places.size(); ++i)
      decode.printed.dark[static_cast<std::size_t>(places[i])] = (format.bits >> i) & 1U;
  decode.format_errors = format.errors;
}

}  // namespace

std::optional<ReferenceDecode> reference_decode(const SymbolMatrix& seen) {
  if (seen.width_modules != seen.height_modules) return std::nullopt;
  const auto frame = symbol_frame(seen.format, seen.width_modules);
  if (!frame || seen.dark.size() != frame->parts.size()) return std::nullopt;
  if (seen.format == SymbolFormat::data_matrix)
    return Decoder{seen, *frame, data_matrix_layout(seen.width_modules), 0}.decode();
  const std::vector<FormatPlaces> copies = format_places(seen.format, seen.width_modules);
  const auto format = read_format(seen, copies);
  if (!format) return std::nullopt;
  if (seen.format == SymbolFormat::micro_qr && micro_side(format->micro_symbol) != seen.width_modules)
    return std::nullopt;
  auto decode = Decoder{seen, *frame, qr_layout(seen, *format), format->mask}.decode();
  if (decode) print_format(*decode, *format, copies);
  return decode;
}

}  // namespace sherdmark
