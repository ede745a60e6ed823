#include <gtest/gtest.h>

#include "catalog_samples.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

using Rows = std::vector<std::vector<std::string>>;
using namespace std::string_literals;

struct TextCase {
  const char* about;
  std::string text;
  std::vector<std::string> header;
  Rows rows;
};

void check(const std::vector<TextCase>& cases) {
  for (const TextCase& one : cases) {
    const Table table = table_of(one.text);
    EXPECT_EQ(table.header, one.header) << one.about;
    EXPECT_EQ(table.rows.texts(), one.rows) << one.about;
    EXPECT_TRUE(table.problems.empty()) << one.about;
  }
}

// The examples of RFC 4180 section 2, with a header in front where the RFC shows none.
TEST(CsvTable, ReadsTheExamplesOfRfc4180) {
  check({
      {"2.1 records end in CRLF",
       "x,y,z\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
       {"x", "y", "z"},
       {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
      {"2.2 the last line may lack it",
       "x,y,z\r\naaa,bbb,ccc\r\nzzz,yyy,xxx",
       {"x", "y", "z"},
       {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
      {"2.3 header",
       "field_name,field_name2,field_name3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
       {"field_name", "field_name2", "field_name3"},
       {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
      {"2.4 spaces belong to a field", "x,y\r\n aaa , bbb\r\n", {"x", "y"}, {{" aaa ", " bbb"}}},
      {"2.5 quotes",
       "x,y,z\r\n\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx",
       {"x", "y", "z"},
       {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
      {"2.6 line breaks in quotes",
       "x,y,z\r\n\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx",
       {"x", "y", "z"},
       {{"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
      {"2.7 doubled quotes", "x,y,z\r\n\"aaa\",\"b\"\"bb\",\"ccc\"", {"x", "y", "z"}, {{"aaa", "b\"bb", "ccc"}}},
      {"several of them, and quoted cells behind",
       "x,y,z\r\n\"\"\"a\"\"b\"\"\",\"\"\"\",\"\"\r\n1,\"2, \"\"3\"\"\",4\r\n",
       {"x", "y", "z"},
       {{"\"a\"b\"", "\"", ""}, {"1", "2, \"3\"", "4"}}},
  });
}

TEST(CsvTable, CountsItsRowsStillWhenItsCellsAreForgotten) {
  Table table = table_of("x,y\na,b\nc,d\n");
  table.rows.forget_cells();
  EXPECT_EQ(table.rows.size(), 2U);
  EXPECT_EQ(table.rows.texts(), (Rows{{}, {}}));
}

// What spreadsheets really write (common practice, no source).
TEST(CsvTable, ReadsWhatSpreadsheetsReallyWrite) {
  check({
      {"line feeds", "x,y\na,b\n", {"x", "y"}, {{"a", "b"}}},
      {"carriage returns of old", "x,y\ra,b\r", {"x", "y"}, {{"a", "b"}}},
      {"semicolons with decimal commas", "x;y\n1,5;2,5\n", {"x", "y"}, {{"1,5", "2,5"}}},
      {"tabs", "x\ty\nred, fine\tb;c\n", {"x", "y"}, {{"red, fine", "b;c"}}},
      {"commas with semicolons in free text", "x,y\n\"a;b;c\",d;e\n", {"x", "y"}, {{"a;b;c", "d;e"}}},
      {"a header that holds the other separator",
       "x (a, b, or c);y\n1;2\n3;4\n",
       {"x (a, b, or c)", "y"},
       {{"1", "2"}, {"3", "4"}}},
      {"the separator said in the first line", "sep=;\r\nx;y\r\n1;2\r\n", {"x", "y"}, {{"1", "2"}}},
      {"a single column", "x\na\nb\n", {"x"}, {{"a"}, {"b"}}},
      {"trailing blank rows and columns", "x,y,,\r\n1,2,,\r\n,,,\r\n,,,\r\n\r\n", {"x", "y"}, {{"1", "2"}}},
      {"an inch mark inside a plain cell", "x,y\nnail 5\" long,b\n", {"x", "y"}, {{"nail 5\" long", "b"}}},
      {"a quoted empty cell", "x,y\n\"\",b\n", {"x", "y"}, {{"", "b"}}},
      {"byte order mark", "\xEF\xBB\xBFx,y\r\n1,2\r\n", {"x", "y"}, {{"1", "2"}}},
  });
}

TEST(CsvTable, KeepsTheRowNumbersOfTheFileWhenBlankRowsAreLeftOut) {
  const Table table = table_of("x,y\n\n1,2\n,\n\"a\nb\",3\n4,5\n");
  EXPECT_EQ(table.row_numbers, (std::vector<std::size_t>{3, 5, 6}));
}

std::string wide(std::string_view ascii, bool big) {
  std::string text;
  for (const char c : ascii) {
    if (big) text.push_back('\0');
    text.push_back(c);
    if (!big) text.push_back('\0');
  }
  return text;
}

TEST(CsvTable, TellsTheEncodingFromTheBytes) {
  EXPECT_EQ(table_of("x,y\nr\xC3\xB4le,2\n").encoding, "UTF-8");
  EXPECT_EQ(table_of("\xFF\xFE" + wide("x,y\nab,c\n", false)).encoding, "UTF-16LE");
  EXPECT_EQ(table_of("\xFE\xFF" + wide("x,y\nab,c\n", true)).encoding, "UTF-16BE");
  EXPECT_EQ(table_of(wide("x,y\nab,c\n", false)).encoding, "UTF-16LE");
  EXPECT_EQ(table_of(wide("x,y\nab,c\n", true)).encoding, "UTF-16BE");
  EXPECT_EQ(table_of("\xFF\xFE" + wide("x\ty\na,b\tc\n", false)).rows.texts(), (Rows{{"a,b", "c"}}));
  // U+1F3FA (an amphora) as a surrogate pair: D83C DFFA (The Unicode Standard, 3.9, D91).
  EXPECT_EQ(table_of("\xFF\xFE" + wide("x,y\na", false) + "\x3C\xD8\xFA\xDF" + wide(",c\n", false)).rows.texts(),
            (Rows{{"a\xF0\x9F\x8F\xBA", "c"}}));
}

TEST(CsvTable, ReadsWindows1252AndSaysSo) {
  // 0x80 euro, 0x93 left double quotation mark, 0xB0 degree, 0xE9 e acute (Windows-1252, from memory).
  const Table table = table_of("x,y\n\x80 \x93 \xB0 \xE9,2\n");
  EXPECT_EQ(table.encoding, "windows-1252");
  EXPECT_EQ(table.rows.texts(), (Rows{{"\u20AC \u201C \u00B0 \u00E9", "2"}}));
  ASSERT_EQ(table.warnings.size(), 1U);
  EXPECT_TRUE(contains(table.warnings[0], "Windows-1252"));
}

TEST(CsvTable, SetsARowOfTheWrongWidthAsideWithoutLosingIt) {
  const Table table = table_of("x,y,z\n1,2,3\n4,5\n6,7,8,9\n10,11,12\n");
  ASSERT_EQ(table.problems.size(), 2U);
  EXPECT_EQ(table.row_numbers[table.problems[0].row_index], 3U);
  EXPECT_EQ(table.problems[0].what, "The row has 2 cells, the header has 3.");
  EXPECT_EQ(table.row_numbers[table.problems[1].row_index], 4U);
  EXPECT_EQ(table.problems[1].what, "The row has 4 cells, the header has 3.");
  EXPECT_EQ(table.rows[2].texts(), (std::vector<std::string>{"6", "7", "8", "9"}));
  EXPECT_EQ(table.rows.size(), 4U);
}

TEST(CsvTable, TextBehindAClosingQuoteCostsOnlyItsOwnRow) {
  const Table table = table_of("x,y\n\"a\"b,c\nd,e\n");
  ASSERT_EQ(table.problems.size(), 1U);
  EXPECT_EQ(table.problems[0].row_index, 0U);
  EXPECT_EQ(table.rows.texts(), (Rows{{"a\"b", "c"}, {"d", "e"}}));
}

TEST(CsvTable, ACellLongerThanAnySpreadsheetKeepsIsAProblemOfItsRow) {
  const Table table = table_of("x,y\n" + std::string(200'000, 'a') + ",c\nd,e\n");
  ASSERT_EQ(table.problems.size(), 1U);
  EXPECT_EQ(table.problems[0].row_index, 0U);
}

struct ErrorCase {
  std::string text;
  const char* message;
};

TEST(CsvTable, RefusesWhatIsNoTableAndSaysWhere) {
  const std::vector<ErrorCase> cases = {
      {"x,y\n1,2\n\"open,3\n4,5\n", "finds.csv, row 3: A quotation mark opens in this row and never closes."},
      {"", "finds.csv: The file holds no table"},
      {"\n\n,,\n", "finds.csv: The file holds no table"},
      {"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"s + std::string(512, '\0'), "old binary spreadsheet (.xls)"},
      {"\x89PNG\r\n\x1A\n\0\0\0\rIHDR\0\0\0\x05\0\0\0\x05\x08\x06\0\0\0\x01\x02\x03\x04"s, "neither a CSV"},
      {"\xFF\xFE\0\0x\0\0\0"s, "UTF-32"},
      {"a" + std::string(2000, ',') + "b\n", "more than 1024 columns"},
  };
  for (const ErrorCase& one : cases) {
    try {
      (void)table_of(one.text);
      FAIL() << one.message;
    } catch (const Error& error) {
      EXPECT_TRUE(contains(error.what(), one.message)) << error.what();
      EXPECT_EQ(error.family(), ErrorFamily::data);
      EXPECT_EQ(error.place().file, "finds.csv");
      EXPECT_FALSE(error.remedy().empty());
    }
  }
}

}  // namespace
}  // namespace sherdmark
