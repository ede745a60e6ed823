// Workbooks are made by libxlsxwriter, another hand than the one that reads them.
#include <gtest/gtest.h>
#include <xlsxwriter.h>

#include "catalog_samples.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

using Rows = std::vector<std::vector<std::string>>;

class Book {
 public:
  Book() : book_(workbook_new((folder_ / "book.xlsx").c_str())) {}
  lxw_workbook* operator()() { return book_; }
  lxw_format* format(const char* code) {
    lxw_format* made = workbook_add_format(book_);
    format_set_num_format(made, code);
    return made;
  }
  std::string bytes() {
    EXPECT_EQ(workbook_close(book_), LXW_NO_ERROR);
    return read_text(real_file_system(), folder_ / "book.xlsx");
  }
  Table table() { return read_table(as_byte_span(bytes()), "book.xlsx"); }

 private:
  testing::ScratchFolder folder_;
  lxw_workbook* book_;
};

void write_row(lxw_worksheet* sheet, lxw_row_t row, const std::vector<std::string>& cells) {
  for (std::size_t i = 0; i < cells.size(); ++i)
    worksheet_write_string(sheet, row, static_cast<lxw_col_t>(i), cells[i].c_str(), nullptr);
}

TEST(Xlsx, ShowsCellsAsAPersonSeesThem) {
  Book book;
  lxw_worksheet* sheet = workbook_add_worksheet(book(), "Finds");
  write_row(sheet, 0, {"number", "object"});
  struct Case {
    double value;
    const char* format;
    const char* shown;
  };
  // Formats of ECMA-376 part 1, 18.8.30; what they show is from memory. Never fewer digits than the cell holds, and no
  // thousands mark, which a reader could take for a decimal comma.
  const std::vector<Case> cases = {
      {12.3, "0.00", "12.30"},
      {12.3, nullptr, "12.3"},
      {7, "000", "007"},
      {7, "\"B\"000", "B007"},
      {1234.5, "#,##0.00", "1234.50"},
      {1234567, "#,##0", "1234567"},
      {0.25, "0%", "25%"},
      {220, "0.00E+00", "2.20E+02"},
      {-3.5, "0.0", "-3.5"},
      {3.14159, "0.00", "3.14159"},
      {0.1 + 0.2, nullptr, "0.3"},
      {123456789012345, nullptr, "123456789012345"},
      {20310310, "0000-00-00", "2031-03-10"},
      {12, "0\" g\"", "12 g"},
      {5, "0;(0)", "5"},
      {-5, "0;(0)", "(5)"},
      {47917, "yyyy-mm-dd", "2031-03-10"},
      {47917, "m/d/yyyy", "2031-03-10"},
      {47917, "d-mmm", "10-Mar"},
      {47908, "mmm-yy", "Mar-31"},
      {47917.5625, "yyyy-mm-dd hh:mm", "2031-03-10 13:30:00"},
      {0.5625, "hh:mm", "13:30:00"},
      {0, "yyyy-mm-dd", "1900-01-00"},
      {0.5, "d-mmm", "1900-01-00"},
      {1, "yyyy-mm-dd", "1900-01-01"},
      {60, "yyyy-mm-dd", "1900-02-29"},
      {59, "yyyy-mm-dd", "1900-02-28"},
      {61, "yyyy-mm-dd", "1900-03-01"},
      {-1, "yyyy-mm-dd", "########"},
      {1e300, "yyyy-mm-dd", "########"},
      {0, "0.00", "0.00"},
      {12.5, "[Red]0.00", "12.50"},
      {0.000012, nullptr, "0.000012"},
  };
  for (std::size_t i = 0; i < cases.size(); ++i)
    worksheet_write_number(sheet, static_cast<lxw_row_t>(i + 1), 0, cases[i].value,
                           cases[i].format == nullptr ? nullptr : book.format(cases[i].format));
  const Table table = book.table();
  ASSERT_EQ(table.rows.size(), cases.size());
  for (std::size_t i = 0; i < cases.size(); ++i)
    EXPECT_EQ(table.rows[i][0], cases[i].shown) << cases[i].value << " as " << (cases[i].format ? cases[i].format : "");
}

TEST(Xlsx, ReadsTextsBooleansFormulasAndRichText) {
  Book book;
  lxw_worksheet* sheet = workbook_add_worksheet(book(), "Finds");
  write_row(sheet, 0, {"number", "object"});
  write_row(sheet, 1, {"16ZQ5/12.3", "Krüg <& \"rim\">"});
  worksheet_write_boolean(sheet, 2, 0, 1, nullptr);
  worksheet_write_formula_num(sheet, 3, 0, "=1+1", nullptr, 2);
  lxw_format* bold = workbook_add_format(book());
  format_set_bold(bold);
  lxw_rich_string_tuple one = {nullptr, const_cast<char*>("red ")};
  lxw_rich_string_tuple two = {bold, const_cast<char*>("slip")};
  lxw_rich_string_tuple* rich[] = {&one, &two, nullptr};
  worksheet_write_rich_string(sheet, 4, 0, rich, nullptr);
  worksheet_write_string(sheet, 6, 0, "after a gap\nand a break", nullptr);
  const Table table = book.table();
  EXPECT_EQ(table.encoding, "xlsx");
  EXPECT_EQ(table.rows.texts(), (Rows{{"16ZQ5/12.3", "Krüg <& \"rim\">"},
                                      {"TRUE", ""},
                                      {"2", ""},
                                      {"red slip", ""},
                                      {"after a gap\nand a break", ""}}));
  EXPECT_EQ(table.row_numbers, (std::vector<std::size_t>{2, 3, 4, 5, 7}));
}

TEST(Xlsx, TakesTheFirstSheetWithACatalogHeaderAndNamesTheOthers) {
  Book book;
  write_row(workbook_add_worksheet(book(), "Read me"), 0, {"Field", "What it means"});
  lxw_worksheet* finds = workbook_add_worksheet(book(), "Finds");
  write_row(finds, 0, {"Cat. No.", "Object", "Qty"});
  write_row(finds, 1, {"1", "sherd", "2"});
  write_row(workbook_add_worksheet(book(), "Older"), 0, {"Cat. No.", "Object"});
  const Table table = book.table();
  EXPECT_EQ(table.header, (std::vector<std::string>{"Cat. No.", "Object", "Qty"}));
  ASSERT_EQ(table.warnings.size(), 1U);
  EXPECT_EQ(table.warnings[0], "Only sheet \"Finds\" was read; not \"Read me\", \"Older\".");
}

TEST(Xlsx, ReadsHiddenRowsAndSaysSo) {
  Book book;
  lxw_worksheet* sheet = workbook_add_worksheet(book(), "Finds");
  write_row(sheet, 0, {"number", "object"});
  write_row(sheet, 1, {"1", "sherd"});
  write_row(sheet, 2, {"2", "sherd"});
  lxw_row_col_options hidden = {1, 0, 0};
  worksheet_set_row_opt(sheet, 2, LXW_DEF_ROW_HEIGHT, nullptr, &hidden);
  const Table table = book.table();
  EXPECT_EQ(table.rows.size(), 2U);
  ASSERT_EQ(table.warnings.size(), 1U);
  EXPECT_TRUE(contains(table.warnings[0], "1 hidden rows"));
}

TEST(Xlsx, ErrorValuesAndDamagedNumbersAreProblemsOfTheirCells) {
  Book book;
  lxw_worksheet* sheet = workbook_add_worksheet(book(), "Finds");
  write_row(sheet, 0, {"Cat. No.", "Acc #", "Description", "Material", "Qty", "FS#"});
  write_row(sheet, 1, {"16ZQ5/12.3", "2031.4", "sherd", "ceramic"});
  worksheet_write_formula_str(sheet, 1, 4, "=NA()", nullptr, "#N/A");
  write_row(sheet, 2, {"16ZQ5/12.4", "2031.4", "sherd", "ceramic"});
  worksheet_write_number(sheet, 2, 5, 47917, book.format("d-mmm"));
  const CatalogReading reading = read_catalog(book.table(), quillow());
  EXPECT_TRUE(reading.rows.empty());
  EXPECT_TRUE(contains(said(reading), "problem|2|Qty|#N/A|This is a spreadsheet's error value")) << said(reading);
  EXPECT_TRUE(contains(said(reading), "problem|3|FS#|10-Mar|A spreadsheet turned this into a date.")) << said(reading);
}

TEST(Xlsx, RefusesOtherZipFiles) {
  Book book;
  workbook_add_worksheet(book(), "Empty");
  try {
    (void)book.table();
    FAIL();
  } catch (const Error& error) {
    EXPECT_TRUE(contains(error.what(), "book.xlsx: The workbook holds no table"));
  }
  // The end-of-directory record of an empty zip file (PKWARE APPNOTE 4.3.16).
  EXPECT_THROW((void)table_of(std::string{"PK\x05\x06", 4} + std::string(18, '\0')), Error);
}

}  // namespace
}  // namespace sherdmark
