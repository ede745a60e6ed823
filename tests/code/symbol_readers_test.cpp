// What other people's readers and writers say of our symbols: ZXingReader, zbarimg, dmtxread read them; qrencode and
// zint make the same text, which must come out as the same size and be read the same.
#include <gtest/gtest.h>

#include <fstream>
#include <set>

#include "code/worked_symbols.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/code/symbol.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using testing::run;
using testing::ScratchFolder;

std::string link_text(const std::string& number) {
  LinkCode link;
  link.collection_key = "K7QD";
  link.subject = "00042";
  link.number = number;
  link.serial = "1A2B3C4D";
  return write_link_code(link);
}

// The format and the text that ZXingReader gives for a picture.
struct Zxing {
  std::string format;
  std::string text;
  std::string level;
};

std::string field(const std::string& report, const std::string& name) {
  const std::size_t at = report.find(name + ":");
  if (at == std::string::npos) return {};
  const std::size_t end = report.find('\n', at);
  std::string value{trim(report.substr(at + name.size() + 1, end - at - name.size() - 1))};
  if (value.size() >= 2 && value.front() == '"') value = value.substr(1, value.size() - 2);
  return value;
}

Zxing zxing(const std::filesystem::path& picture) {
  const std::string report = run({"ZXingReader", picture.string()}).out;
  return {field(report, "Format"), field(report, "Text"), field(report, "EC Level")};
}

std::filesystem::path written(const ScratchFolder& scratch, const SymbolMatrix& symbol) {
  std::filesystem::path file = scratch / "symbol.pgm";
  std::ofstream{file, std::ios::binary} << testing::to_pgm(symbol, 6);
  return file;
}

const std::vector<std::string>& numbers() {
  static const std::vector<std::string> k_numbers = {"7",     "16WC5/12/347", "2031.44.1127a",     "AA:12:34(ASM)-9",
                                                     "Véa-3", "\U0001F3FA 9", std::string(64, 'z')};
  return k_numbers;
}

TEST(SymbolReaders, two_readers_read_every_qr) {
  const ScratchFolder scratch;
  for (const std::string& number : numbers()) {
    const std::string text = link_text(number);
    const auto file = written(scratch, make_qr(text, ErrorLevel::q));
    const Zxing seen = zxing(file);
    EXPECT_EQ(seen.format, "QRCode");
    EXPECT_EQ(seen.text, text);
    EXPECT_EQ(seen.level, "Q");
    EXPECT_EQ(run({"zbarimg", "--quiet", "--raw", file.string()}).out, text + "\n");
  }
}

TEST(SymbolReaders, micro_qr_is_read) {
  const ScratchFolder scratch;
  for (const std::string number : {"7", "12", "1234", "16WC5/12/347", "2031.44.1127"}) {
    const std::string text = write_micro_code({number});
    const Zxing seen = zxing(written(scratch, make_micro_qr(text, ErrorLevel::m)));
    EXPECT_EQ(seen.format, "MicroQRCode");
    EXPECT_EQ(seen.text, text);
  }
}

TEST(SymbolReaders, two_readers_read_every_data_matrix) {
  const ScratchFolder scratch;
  for (const std::string& number : numbers()) {
    const std::string text = write_micro_code({number});
    const auto file = written(scratch, make_data_matrix(text));
    EXPECT_EQ(zxing(file).text, text);
    EXPECT_EQ(run({"dmtxread", "--stop-after=1", file.string()}).out, text);
  }
}

// Every way that the encodation can end, and every size with its regions and blocks.
TEST(SymbolReaders, data_matrix_of_every_length_and_size_is_read) {
  const ScratchFolder scratch;
  const std::string mixed = "Y16WC5Z312Z334748A00BB7 a1-ZZ99";
  std::vector<std::string> texts;
  for (std::size_t length = 1; length <= mixed.size(); ++length) texts.push_back(mixed.substr(0, length));
  for (const std::size_t length :
       {80U, 120U, 160U, 200U, 240U, 290U, 400U, 500U, 650U, 800U, 1000U, 1150U, 1500U, 1900U})
    texts.push_back(std::string(length - 2, 'K') + "7Z");
  std::set<int> sides;
  for (const std::string& text : texts) {
    const SymbolMatrix symbol = make_data_matrix(text);
    sides.insert(symbol.width_modules);
    EXPECT_EQ(zxing(written(scratch, symbol)).text, text) << symbol.width_modules;
  }
  EXPECT_GE(sides.size(), 20U);
}

TEST(SymbolReaders, qrencode_makes_a_qr_of_the_same_size_and_text) {
  const ScratchFolder scratch;
  for (const std::string& number : numbers()) {
    const std::string text = link_text(number);
    const auto theirs = scratch / "theirs.png";
    ASSERT_EQ(run({"qrencode", "-l", "Q", "-s", "1", "-m", "0", "-o", theirs.string(), text}).exit_code, 0);
    const std::string size = run({"identify", "-format", "%w", theirs.string()}).out;
    EXPECT_EQ(size, std::to_string(make_qr(text, ErrorLevel::q).width_modules)) << text;
    ASSERT_EQ(run({"qrencode", "-l", "Q", "-s", "6", "-m", "4", "-o", theirs.string(), text}).exit_code, 0);
    EXPECT_EQ(zxing(theirs).text, text);
  }
}

std::string zint_size(const std::filesystem::path& file, const std::vector<std::string>& what) {
  std::vector<std::string> command = {"zint", "--scale=0.5", "-o", file.string()};
  command.insert(command.end(), what.begin(), what.end());
  EXPECT_EQ(run(command).exit_code, 0);
  return run({"identify", "-format", "%w %h", file.string()}).out;
}

// zint draws one pixel a module at scale 0.5 and no quiet zone unless told to.
TEST(SymbolReaders, zint_makes_micro_codes_of_the_same_size) {
  const ScratchFolder scratch;
  for (const std::string number : {"7", "1234", "16WC5/12/347", "2031.44.1127"}) {
    const std::string text = write_micro_code({number});
    const SymbolMatrix micro = make_micro_qr(text, ErrorLevel::m);
    const std::string side = std::to_string(micro.width_modules);
    EXPECT_EQ(zint_size(scratch / "m.png", {"-b", "MICROQR", "--secure=2", "-d", text}), side + " " + side) << text;
    const std::string dm_side = std::to_string(make_data_matrix(text).width_modules);
    EXPECT_EQ(zint_size(scratch / "d.png", {"-b", "DATAMATRIX", "--square", "-d", text}), dm_side + " " + dm_side)
        << text;
  }
}

}  // namespace
}  // namespace sherdmark
