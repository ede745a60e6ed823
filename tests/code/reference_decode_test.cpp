// Symbols drawn by libqrencode, by this project's own Data Matrix writer, and the published worked examples: decoded by
// the reference decode, with and without planted errors, they come back as they were printed.
#include "sherdmark/code/reference_decode.h"

#include <gtest/gtest.h>

#include <set>

#include "code/worked_symbols.h"
#include "sherdmark/base/random.h"

namespace sherdmark {
namespace {

std::string text_of(std::size_t length) {
  constexpr std::string_view k_letters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
  std::string text;
  for (std::size_t i = 0; i < length; ++i) text.push_back(k_letters[(i * 7 + length) % k_letters.size()]);
  return text;
}

int wrong_of(const ReferenceDecode& decode) {
  int wrong = 0;
  for (const BlockDecode& block : decode.blocks) wrong += block.wrong;
  return wrong;
}

// Every symbol that a test uses once, small and large, of every level.
std::vector<SymbolMatrix> symbols() {
  std::vector<SymbolMatrix> all;
  for (const ErrorLevel level : {ErrorLevel::l, ErrorLevel::m, ErrorLevel::q, ErrorLevel::h})
    for (std::size_t length = 3; length <= 1850;
         length += std::min(length / 50 + 1, 1850 - length + (length == 1850 ? 1 : 0))) {
      SymbolMatrix symbol = make_qr(text_of(length), level);
      if (all.empty() || all.back().version != symbol.version || all.back().level != symbol.level)
        all.push_back(std::move(symbol));
    }
  for (const ErrorLevel level : {ErrorLevel::l, ErrorLevel::m, ErrorLevel::q})
    for (const std::size_t length : {1U, 3U, 5U, 8U, 10U, 13U, 20U}) try {
        all.push_back(make_micro_qr(text_of(length), level, level));
      } catch (const std::exception&) {
        continue;  // too long for that level
      }
  for (std::size_t length = 2; length < 2000; length += length / 18 + 1)
    all.push_back(make_data_matrix(text_of(length)));
  return all;
}

TEST(ReferenceDecode, clean_symbols_of_every_kind_come_back_without_a_wrong_codeword) {
  std::set<int> versions;
  std::set<int> data_matrix_sides;
  for (const SymbolMatrix& symbol : symbols()) {
    const auto decode = reference_decode(symbol);
    ASSERT_TRUE(decode) << to_text(symbol.format) << " of " << symbol.width_modules;
    EXPECT_EQ(wrong_of(*decode), 0);
    EXPECT_EQ(decode->printed.dark, symbol.dark) << to_text(symbol.format) << " of " << symbol.width_modules;
    for (const int errors : decode->format_errors) EXPECT_EQ(errors, 0);
    if (symbol.format == SymbolFormat::qr) versions.insert(symbol.version);
    if (symbol.format == SymbolFormat::data_matrix) data_matrix_sides.insert(symbol.width_modules);
  }
  EXPECT_EQ(versions.size(), 40U);
  EXPECT_EQ(data_matrix_sides.size(), 23U);
}

TEST(ReferenceDecode, planted_wrong_codewords_are_counted_and_repaired_up_to_the_capacity_and_not_beyond) {
  SeededRandom random{9};
  for (const SymbolMatrix& symbol : symbols()) {
    if (symbol.width_modules > 60) continue;
    const auto clean = reference_decode(symbol);
    ASSERT_TRUE(clean);
    const int most = clean->blocks.front().error_codewords / 2;
    for (int errors = 0; errors <= most; errors += std::max(1, most / 3)) {
      SymbolMatrix damaged = symbol;
      std::set<std::size_t> chosen;
      while (static_cast<int>(chosen.size()) < errors) {
        const std::size_t index = random.below(clean->codewords.size());
        if (clean->codewords[index].block != 0 || !chosen.insert(index).second) continue;
        const auto& modules = clean->codewords[index].modules;
        damaged.dark[static_cast<std::size_t>(modules[random.below(modules.size())])] ^= 1U;
      }
      const auto decode = reference_decode(damaged);
      ASSERT_TRUE(decode) << to_text(symbol.format) << " of " << symbol.width_modules << ", " << errors << " errors";
      EXPECT_EQ(wrong_of(*decode), errors);
      EXPECT_EQ(decode->printed.dark, symbol.dark);
      for (std::size_t i = 0; i < decode->codewords.size(); ++i)
        EXPECT_EQ(decode->codewords[i].wrong, chosen.contains(i));
    }
    SymbolMatrix ruined = symbol;
    for (const CodewordPlace& place : clean->codewords)
      for (const int module : place.modules)
        ruined.dark[static_cast<std::size_t>(module)] = static_cast<std::uint8_t>(random.below(2));
    const auto decode = reference_decode(ruined);
    if (decode) {
      EXPECT_NE(decode->printed.dark, symbol.dark);
    }
  }
}

TEST(ReferenceDecode, format_information_with_three_wrong_modules_is_still_understood) {
  const SymbolMatrix symbol = make_qr("16WC5", ErrorLevel::q);
  SymbolMatrix damaged = symbol;
  const auto flip = [&damaged](int x, int y) {
    damaged.dark[static_cast<std::size_t>(y * damaged.width_modules + x)] ^= 1U;
  };
  flip(8, 0), flip(8, 2), flip(8, 4);
  const auto decode = reference_decode(damaged);
  ASSERT_TRUE(decode);
  EXPECT_EQ(decode->format_errors, (std::vector<int>{3, 0}));
  EXPECT_EQ(decode->printed.dark, symbol.dark);
}

TEST(ReferenceDecode, what_is_no_symbol_is_none) {
  SymbolMatrix none;
  EXPECT_FALSE(reference_decode(none));
  none.width_modules = none.height_modules = 22;
  none.dark.assign(22U * 22U, 0);
  EXPECT_FALSE(reference_decode(none));
  none.format = SymbolFormat::code_128;
  EXPECT_FALSE(reference_decode(none));
}

}  // namespace
}  // namespace sherdmark
