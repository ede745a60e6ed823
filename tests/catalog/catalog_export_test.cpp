#include <gtest/gtest.h>

#include "catalog_samples.h"
#include "sherdmark/base/random.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

CatalogRow without_row(CatalogRow row) {
  row.row = 0;
  return row;
}

std::string pick(SeededRandom& random, const std::vector<std::string>& list) { return list[random.below(list.size())]; }

// A random row of the metric standard, of values that are legitimate in a catalog and awkward in a spreadsheet.
std::string random_row(SeededRandom& random, int item) {
  const std::vector<std::string> texts = {
      "",          "sherd",   "-10 cmbs", "+N20E15",     "=rim",       "'tis",    "'=1",
      "caf\u00E9", "a, b; c", "@home",    "say \"rim\"", "two\nlines", "\uFF1Dx", "Kr\u00FCg \u2013 Henkel"};
  const auto text = [&] { return pick(random, texts); };
  std::vector<std::string> cells = {"2031-114-" + std::to_string(item),
                                    "2031-114",
                                    pick(random, {"artifact", "bulk", "sample", ""}),
                                    "n" + text(),
                                    "m" + text(),
                                    pick(random, {"", "12.5", "0.001", "1200", "3.3333333333"}),
                                    pick(random, {"", "1", "347"}),
                                    pick(random, {"", "old 7; +8", "-9"}),
                                    pick(random, {"", "0", "-10", "12.5"}),
                                    pick(random, {"", "2031-03-10", "2031~", "../2031"}),
                                    text(),
                                    text(),
                                    text()};
  return write_csv(cells, {}).substr(3);
}

TEST(CatalogExport, TheSameStandardReadsTheSameRowsBack) {
  SeededRandom random{3};
  for (int round = 0; round < 60; ++round) {
    std::string text =
        "Find number,Accession,Kind,Name,Material,Weight g,Pieces,Earlier numbers,From cm,Found,Remarks,Slip,Temper\n";
    for (int item = 1; item <= 10; ++item) text += random_row(random, item);
    const CatalogReading first = catalog_of(text, ostervane());
    ASSERT_FALSE(first.rows.empty());
    const std::string exported = write_catalog_csv(first.rows, ostervane(), true);
    const CatalogReading second = catalog_of(exported, ostervane());
    ASSERT_EQ(second.rows.size(), first.rows.size()) << said(second) << exported;
    for (std::size_t i = 0; i < first.rows.size(); ++i)
      ASSERT_EQ(without_row(first.rows[i]), without_row(second.rows[i])) << exported;
    ASSERT_EQ(write_catalog_csv(second.rows, ostervane(), true), exported);
  }
}

TEST(CatalogExport, RestrictedColumnsStayHomeUnlessAsked) {
  const CatalogReading reading = catalog_of(
      "Cat. No.,Acc #,Description,Material,Notes,UTM East,Munsell\n16ZQ5/12.1,2031.4,a,b,private word,500123,5YR\n");
  ASSERT_EQ(reading.rows.size(), 1U) << said(reading);
  const std::string open = write_catalog_csv(reading.rows, quillow(), false);
  for (const char* hidden : {"private word", "500123", "UTM East", "remarks"})
    EXPECT_FALSE(contains(open, hidden)) << open;
  EXPECT_TRUE(contains(open, "5YR"));
  const std::string all = write_catalog_csv(reading.rows, quillow(), true);
  for (const char* shown : {"private word", "500123", "UTM East", "remarks"}) EXPECT_TRUE(contains(all, shown)) << all;
}

TEST(CatalogExport, RowsOfDifferentFilesKeepTheOrderOfTheirExtraColumns) {
  std::vector<CatalogRow> rows =
      catalog_of("Cat. No.,Acc #,Description,Material,Temper\n16ZQ5/1.1,2031.4,a,b,grog\n").rows;
  const CatalogReading more =
      catalog_of("Cat. No.,Acc #,Description,Material,Munsell,Temper,Slip\n16ZQ5/1.2,2031.4,a,b,5YR,shell,red\n");
  rows.insert(rows.end(), more.rows.begin(), more.rows.end());
  const CatalogReading again = catalog_of(write_catalog_csv(rows, quillow(), true));
  ASSERT_EQ(again.rows.size(), 2U);
  EXPECT_EQ(again.rows[0].extra, rows[0].extra);
  EXPECT_EQ(again.rows[1].extra, rows[1].extra);
}

TEST(SetAside, BadRowsComeBackInTheirColumnsWithWhatIsWrong) {
  const CatalogReading reading = catalog_of(
      "Cat. No.,Acc "
      "#,Description,Material,Qty\n16ZQ5/12.1,2031.4,a,b,3\n16ZQ5/12.2,2031.4,=a,b,0\n16ZQ5/12.3,2031.4,a,b\n");
  EXPECT_EQ(reading.rows.size(), 1U);
  const std::string text = write_set_aside(reading);
  EXPECT_TRUE(contains(text, "Qty: The count is below 1. Write a whole number of pieces")) << text;
  EXPECT_TRUE(contains(text, "'=a")) << text;
  const Table again = table_of(text);
  EXPECT_EQ(again.header, reading.table.header);
  ASSERT_EQ(again.rows.size(), 2U);
  EXPECT_EQ(again.rows[0].texts(), (std::vector<std::string>{"16ZQ5/12.2", "2031.4", "=a", "b", "0"}));
  std::vector<std::vector<std::string>> cells = again.rows.texts();
  cells[0][4] = "5";  // a person corrects it
  const CatalogReading corrected = read_catalog(table_of(write_csv(again.header, cells)), quillow());
  ASSERT_EQ(corrected.rows.size(), 2U) << said(corrected);
  EXPECT_EQ(corrected.rows[0].object, "=a");
}

TEST(SetAside, NoRowIsLostBetweenTheGoodAndTheBad) {
  SeededRandom random{8};
  std::string text = "Cat. No.,Acc #,Description,Material,Qty\n";
  for (int i = 0; i < 300; ++i)
    text += "16ZQ5/1." + std::to_string(random.below(250)) + ",2031.4,a,b" + (random.below(9) == 0 ? "" : ",1") + "\n";
  const CatalogReading reading = catalog_of(text);
  EXPECT_EQ(reading.rows.size() + reading.bad_table_rows.size(), 300U);
  EXPECT_EQ(table_of(write_set_aside(reading)).rows.size(), reading.bad_table_rows.size());
}

}  // namespace
}  // namespace sherdmark
