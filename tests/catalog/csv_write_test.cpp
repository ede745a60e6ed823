#include <csv.h>
#include <gtest/gtest.h>

#include "catalog_samples.h"
#include "sherdmark/base/random.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using Rows = std::vector<std::vector<std::string>>;
using namespace std::string_literals;

std::string one_cell(const std::string& value) {
  const std::string text = write_csv({"a", "b"}, {{value, "x"}});
  const std::size_t start = text.find("\r\n") + 2;
  return text.substr(start, text.rfind(",x\r\n") - start);
}

TEST(CsvWrite, NeutralisesWhatASpreadsheetWouldRun) {
  struct Case {
    std::string value;
    std::string written;
  };
  // The characters of ASVS 5, 1.2.10 and CWE-1236; CR, LF and the full-width forms from memory.
  const std::vector<Case> cases = {
      {"=1+1", "'=1+1"},       {"+N20E15", "'+N20E15"},    {"-10 cmbs", "'-10 cmbs"}, {"@SUM(1)", "'@SUM(1)"},
      {"\tx", "\"'\tx\""},     {"\rx", "\"'\rx\""},        {"\nx", "\"'\nx\""},       {"\0x"s, "'\0x"s},
      {"\uFF1D1", "'\uFF1D1"}, {"\uFF0B1", "'\uFF0B1"},    {"\uFF0D1", "'\uFF0D1"},   {"\uFF20A", "'\uFF20A"},
      {"'=1", "''=1"},         {"'tis", "'tis"},           {"  =1", "\"'  =1\""},     {"16ZQ5/12.3", "16ZQ5/12.3"},
      {"a=b", "a=b"},          {"red, =1", "\"red, =1\""},
  };
  for (const Case& one : cases) EXPECT_EQ(one_cell(one.value), one.written) << printable(one.value);
}

std::string random_cell(SeededRandom& random) {
  static const std::vector<std::string> pieces = {
      "=", "+", "-",  "@",       "'",      "''",     "\"",     ",",      ";",   "\t",     "\r", "\n",        "\r\n",
      " ", "a", "B7", "10 cmbs", "\u00E9", "\uFF1D", "\uFF20", "\u4E2D", "\0"s, "N20E15", "1",  "\U0001F3FA"};
  std::string cell;
  const std::uint64_t length = random.below(7);
  for (std::uint64_t i = 0; i < length; ++i) cell += pieces[random.below(pieces.size())];
  return cell;
}

// One cell of each row and header is made sure not to be blank, for blank rows and columns are left out by design.
TEST(CsvWrite, EveryCellComesBackAsItWas) {
  SeededRandom random{41};
  for (int round = 0; round < 3000; ++round) {
    const std::size_t columns = 1 + random.below(4);
    std::vector<std::string> header;
    for (std::size_t c = 0; c < columns; ++c) header.push_back("h" + std::to_string(c));
    Rows rows;
    for (std::size_t r = 0; r < 3; ++r) {
      std::vector<std::string>& row = rows.emplace_back();
      for (std::size_t c = 0; c + 1 < columns; ++c) row.push_back(random_cell(random));
      row.push_back(random_cell(random) + "end");
    }
    const std::string text = write_csv(header, rows);
    const Table table = table_of(text);
    ASSERT_EQ(table.header, header);
    ASSERT_EQ(table.rows.texts(), rows) << printable(text);
    ASSERT_TRUE(table.problems.empty());
    // No cell that a spreadsheet would see begins with a formula's sign.
    const Table raw = table_of(text);
    ASSERT_EQ(write_csv(raw.header, raw.rows.texts()), text);
  }
}

// libcsv, another implementation of RFC 4180, judges both directions.
Rows read_with_libcsv(std::string_view text) {
  struct State {
    Rows rows{1};
  } state;
  csv_parser parser{};
  csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI);
  csv_set_space_func(&parser, [](unsigned char) { return 0; });
  const auto on_cell = [](void* cell, std::size_t size, void* data) {
    static_cast<State*>(data)->rows.back().emplace_back(static_cast<const char*>(cell), size);
  };
  const auto on_row = [](int, void* data) { static_cast<State*>(data)->rows.emplace_back(); };
  const std::size_t done = csv_parse(&parser, text.data(), text.size(), on_cell, on_row, &state);
  const int end = csv_fini(&parser, on_cell, on_row, &state);
  csv_free(&parser);
  EXPECT_EQ(done, text.size());
  EXPECT_EQ(end, 0);
  while (!state.rows.empty() && state.rows.back().empty()) state.rows.pop_back();
  return state.rows;
}

TEST(CsvWrite, AnotherReaderSeesTheSameCellsWithTheApostrophes) {
  SeededRandom random{7};
  for (int round = 0; round < 1000; ++round) {
    const Rows rows = {{random_cell(random), "x" + random_cell(random)}, {random_cell(random), "y"}};
    const std::string text = write_csv({"a", "b"}, rows);
    const Rows judged = read_with_libcsv(std::string_view{text}.substr(3));
    ASSERT_EQ(judged.size(), 3U) << printable(text);
    for (std::size_t r = 0; r < 2; ++r)
      for (std::size_t c = 0; c < 2; ++c) {
        const std::string& cell = judged[r + 1][c];
        ASSERT_TRUE(cell == rows[r][c] || cell == "'" + rows[r][c]) << printable(cell);
        const std::size_t sign = cell.find_first_not_of(' ');
        ASSERT_TRUE(sign == std::string::npos || !contains("=+-@\t\r\n"s + '\0', cell.substr(sign, 1)))
            << printable(cell);
      }
  }
}

TEST(CsvTable, ReadsWhatAnotherWriterWrites) {
  SeededRandom random{19};
  for (int round = 0; round < 1000; ++round) {
    Rows rows;
    std::string text = "a,b\r\n";
    for (int r = 0; r < 3; ++r) {
      rows.push_back({random_cell(random), "z" + random_cell(random)});
      for (std::size_t c = 0; c < 2; ++c) {
        std::string quoted(rows.back()[c].size() * 2 + 2, '\0');
        quoted.resize(csv_write(quoted.data(), quoted.size(), rows.back()[c].data(), rows.back()[c].size()));
        text += quoted + (c == 0 ? "," : "\r\n");
      }
    }
    const Table table = table_of("\xEF\xBB\xBF" + text);
    ASSERT_EQ(table.rows.size(), 3U);
    for (std::size_t r = 0; r < 3; ++r)
      for (std::size_t c = 0; c < 2; ++c)
        ASSERT_TRUE(table.rows[r][c] == rows[r][c] || "'" + std::string{table.rows[r][c]} == rows[r][c])
            << printable(rows[r][c]);
  }
}

}  // namespace
}  // namespace sherdmark
