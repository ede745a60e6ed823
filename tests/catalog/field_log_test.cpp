// A field log as crews keep it: what is read from it, and everything that is wrong with it in one pass.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <xlsxwriter.h>

#include "sherdmark/base/text.h"
#include "sherdmark/catalog/field_log.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

HouseStandard standard() {
  return parse_house_standard(read_text(real_file_system(), testing::sample("standards/quillow_ferry.toml")),
                              "quillow_ferry.toml");
}

FieldLogReading read(const std::string& text) {
  return read_field_log(read_table(as_byte_span(text), "log.csv"), standard());
}

std::string told(const FieldLogReading& reading) {
  std::string text;
  for (const CatalogProblem& problem : reading.problems) text += fmt::format("{}: {}\n", problem.row, problem.what);
  return text;
}

TEST(FieldLog, the_sample_is_read_whole_and_what_was_put_right_is_said) {
  const auto file = testing::sample("quillow_ferry/field_log.csv");
  const FieldLogReading reading =
      read_field_log(read_table(real_file_system().read(file, k_text_file_limit_bytes), "field_log.csv"), standard());
  EXPECT_TRUE(reading.good());
  EXPECT_EQ(told(reading), "5: Read as FS 404.\n");
  ASSERT_EQ(reading.rows.size(), 8U);
  EXPECT_EQ(reading.rows[3].number, "FS 404");
  EXPECT_EQ(reading.rows[3].lot, "16ZQ5/3");
  EXPECT_EQ(reading.rows[3].crew, "Landing crew");
  EXPECT_EQ(reading.rows[3].feature, "F4");
  EXPECT_EQ(reading.rows[7].unit, "Trench 1");
}

TEST(FieldLog, a_number_is_read_however_a_crew_writes_it) {
  for (const char* written : {"101", "FS 101", "FS101", "fs-101", "Fs. 101", "0101"}) {
    const FieldLogReading reading = read(fmt::format("Field number,Lot no.\n{},16ZQ5/1\n", written));
    ASSERT_EQ(reading.rows.size(), 1U) << written;
    EXPECT_EQ(reading.rows[0].number, "FS 101") << written;
  }
  // Of another form: taken as it stands, and the ledger will not know it.
  EXPECT_EQ(read("Field number,Lot\nGrab bag,16ZQ5/1\n").rows.at(0).number, "Grab bag");
}

TEST(FieldLog, a_workbook_is_read_like_the_same_text) {
  const testing::ScratchFolder scratch;
  const auto file = scratch / "log.xlsx";
  lxw_workbook* book = workbook_new(file.c_str());
  lxw_worksheet* sheet = workbook_add_worksheet(book, nullptr);
  const char* cells[3][3] = {{"FS No.", "Lot", "Unit"}, {"FS 7", "16ZQ5/1", "N100E200"}, {"8", "16ZQ5/2", "N100E200"}};
  for (std::uint32_t row = 0; row < 3; ++row)
    for (std::uint16_t column = 0; column < 3; ++column)
      worksheet_write_string(sheet, row, column, cells[row][column], nullptr);
  ASSERT_EQ(workbook_close(book), LXW_NO_ERROR);
  const FieldLogReading reading =
      read_field_log(read_table(real_file_system().read(file, k_text_file_limit_bytes), "log.xlsx"), standard());
  ASSERT_EQ(reading.rows.size(), 2U) << told(reading);
  EXPECT_EQ(reading.rows[1].number, "FS 8");
  EXPECT_EQ(reading.rows[1].row, 3U);
}

TEST(FieldLog, what_is_wrong_with_single_rows_is_all_told_at_once) {
  const FieldLogReading reading =
      read("FS#,Lot,Unit\nFS 1,16ZQ5/1,A\n,16ZQ5/1,A\nFS 2,,A\nFS 3,sixteen,A\nFS 4,16ZQ5/1\n");
  EXPECT_FALSE(reading.good());
  EXPECT_EQ(reading.rows.size(), 1U);
  EXPECT_EQ(told(reading),
            "3: The row has no field number.\n"
            "4: The field number has no lot.\n"
            "5: This is no number of the house standard's schemes.\n"
            "6: The row has 2 cells, the header has 3.\n");
}

TEST(FieldLog, a_table_without_the_two_columns_is_no_field_log) {
  EXPECT_EQ(told(read("Unit,Level\nA,1\n")),
            "1: There is no column for the field number.\n1: There is no column for the lot.\n");
  EXPECT_TRUE(read("FS#,Unit\nFS 1,A\n").whole_file_bad);
  EXPECT_TRUE(read("FS#,Cat. No.\nFS 1,16ZQ5/1\n").good()) << "the catalog's column for numbers serves";
}

}  // namespace
}  // namespace sherdmark
