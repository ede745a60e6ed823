#include "sherdmark/catalog/read_catalog.h"

#include <gtest/gtest.h>

#include "catalog_samples.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_header =
    "Cat. No.,Acc #,Site,Type,Description,Material,Qty,Wt (g),Max Dim (mm),FS#,Bag(s),Unit,Level,Top (cmbd),"
    "Bottom (cmbd),Date Exc.,Notes,Munsell\n";

std::string with_header(std::string_view rows) { return std::string{k_header} + std::string{rows}; }

TEST(ReadCatalog, TakesAGoodRowWhole) {
  const CatalogReading reading = catalog_of(
      with_header("16ZQ5/12.1,2031.4,16ZQ5,bulk,sherds,ceramic,347,1200.5,22,FS 7,B7:120; B8 (227),N20E15,3,20,30,"
                  "3/10/2031,\"-10 cmbs, = rim\",5YR 5/4\n"));
  ASSERT_EQ(reading.rows.size(), 1U) << said(reading);
  EXPECT_EQ(said(reading), "");
  const CatalogRow& row = reading.rows[0];
  EXPECT_EQ(row.row, 2U);
  EXPECT_EQ(row.number.text(), "16ZQ5/12.1");
  EXPECT_EQ(row.kind, ItemKind::bulk);
  EXPECT_EQ(row.count, 347);
  EXPECT_EQ(row.weight_g, 1200.5);
  EXPECT_EQ(row.bags, (std::vector<BagShare>{{"B7", 120}, {"B8", 227}}));
  EXPECT_EQ(row.depth_bottom_cm, 30.0);
  EXPECT_EQ(row.date, "2031-03-10");
  EXPECT_EQ(row.remarks, "-10 cmbs, = rim");
  EXPECT_EQ(row.extra, (std::vector<std::pair<std::string, std::string>>{{"Munsell", "5YR 5/4"}}));
}

// Cells that repeat the one above are read once; what is odd about them is still said of every row.
TEST(ReadCatalog, SaysOfEveryRowWhatIsOddAboutIt) {
  const CatalogReading reading = catalog_of(
      "Cat. No.,Acc #,Description,Material,Unit,Date Exc.\n"
      "16ZQ5/12.1,2031.4,sherd,ceramic,N20,13/13/2031\n"
      "16ZQ5/12.2,2031.4,sherd,ceramic,N20,13/13/2031\n"
      "16ZQ5/12.3,2031.4,sherd,ceramic,N20,3/10/2031\n"
      "16ZQ5/12.4,2031.4,sherd,ceramic,N20,3/10/2031\n"
      "16ZQ5/12.5,2031.4,sh\xE2\x80\x8B\x65rd,ceramic,N20,3/10/2031\n"
      "16ZQ5/12.6,2031.4,sh\xE2\x80\x8B\x65rd,ceramic,N20,\n");
  ASSERT_EQ(reading.rows.size(), 4U) << said(reading);
  std::vector<std::size_t> told;
  for (const CatalogProblem& problem : reading.problems) told.push_back(problem.row);
  EXPECT_EQ(told, (std::vector<std::size_t>{2, 3, 6, 7})) << said(reading);
  for (const CatalogRow& row : reading.rows) {
    EXPECT_EQ(row.object, "sherd") << row.row;
    EXPECT_EQ(row.unit, "N20") << row.row;
    EXPECT_EQ(row.date, row.row == 7 ? "" : "2031-03-10") << row.row;
  }
}

// Large tables are read in pieces, on all processors.
TEST(ReadCatalog, ReadsManyRowsAsItReadsFew) {
  std::string text = "Cat. No.,Acc #,Description,Material,Qty,Bag(s),Date Exc.\n";
  constexpr std::size_t k_rows = 7000;
  for (std::size_t i = 1; i <= k_rows; ++i)
    text += "16ZQ5/12." + std::to_string(i) + ",2031.4,sherd " + std::to_string(i % 3) + ",ceramic," +
            (i % 1000 == 0 ? "0" : std::to_string(i)) + ",B" + std::to_string(i) + ",3/10/2031\n";
  const CatalogReading reading = catalog_of(text);
  EXPECT_EQ(reading.bad_table_rows.size(), k_rows / 1000);
  EXPECT_EQ(reading.problems.size(), k_rows / 1000);
  ASSERT_EQ(reading.rows.size(), k_rows - k_rows / 1000);
  for (const CatalogRow& row : reading.rows) {
    const std::string number = std::to_string(row.row - 1);
    EXPECT_EQ(row.number.text(), "16ZQ5/12." + number);
    EXPECT_EQ(row.object, "sherd " + std::to_string((row.row - 1) % 3));
    EXPECT_EQ(row.bags, (std::vector<BagShare>{{"B" + number, std::nullopt}}));
    EXPECT_EQ(row.date, "2031-03-10");
  }
}

// A single column beside what every row needs.
CatalogReading with_column(const std::string& header, const std::string& value) {
  return catalog_of("Cat. No.\tAcc #\tDescription\tMaterial\t" + header + "\n16ZQ5/12.1\t2031.4\tsherd\tceramic\t" +
                    value + "\n");
}

struct CellCase {
  const char* header;
  std::string value;
  const char* words;  // part of what is said; empty: nothing is said
  bool taken;
};

// Common practice, no source, unless a line says otherwise.
TEST(ReadCatalog, ExplainsEachKindOfTroubleWithACell) {
  const std::vector<CellCase> cases = {
      // counts
      {"Qty", "3", "", true},
      {"Qty", "0", "problem|2|Qty|0|The count is below 1.", false},
      {"Qty", "-2", "The count is below 1.", false},
      {"Qty", "1.5", "The count is not a whole number.", false},
      {"Qty", "ca 20", "The count is not a number.", false},
      {"Qty", "1,234", "warning|2|Qty|1,234|The comma between thousands was left out", true},
      {"Qty", "12.0", "warning|2|Qty|12.0|The zeros after the decimal point", true},
      {"Qty", "1.2E+03", "scientific notation", false},
      {"Qty", "99999999999999999999", "The count is not a number.", false},
      {"Qty", "\uFF11\uFF12", "", true},
      // measures
      {"Wt (g)", "12,5", "warning|2|Wt (g)|12,5|The comma was read as a decimal point", true},
      {"Wt (g)", "1,234", "problem|2|Wt (g)|1,234|The comma may stand between thousands", false},
      {"Wt (g)", "1,234.5", "warning", true},
      {"Wt (g)", "1.234,5", "warning", true},
      {"Wt (g)", "1 234", "warning|2|Wt (g)|1 234|The spaces between thousands", true},
      {"Wt (g)", "1\u00A0234.5", "warning", true},
      {"Wt (g)", "12.5 g", "", true},
      {"Wt (g)", "1.2 kg", "The cell says kg, the header says g.", false},
      {"Wt (g)", "heavy", "This is not a number", false},
      {"Wt (g)", "-3", "below zero", false},
      {"Wt (g)", "1e5", "scientific", false},
      {"Wt (g)", "nan", "not a number", false},
      {"Max Dim (mm)", "0", "No object measures 0 mm.", false},
      {"Top (cmbd)", "20000", "No excavation is 100 m deep.", false},
      {"Top (cmbd)", "10 cmbs", "", true},
      {"Top (cmbd)", "\u221210", "", true},
      {"Depth", "10-20", "", true},
      {"Depth", "10\u201320 cm", "", true},
      {"Depth", "0 to 10", "", true},
      {"Depth", "20-10", "The top of the depths lies below their bottom.", false},
      {"Depth", "10-May", "A spreadsheet turned the depths into a date. They may have been 5-10", false},
      // dates
      {"Date Exc.", "2031-03~", "", true},
      {"Date Exc.", "2031-02-30", "problem|2|Date Exc.|2031-02-30|This is no date: that month has no day 30.", false},
      {"Date Exc.", "2031-03-10 00:00:00", "", true},
      {"Date Exc.", "10-Mar", "a spreadsheet shortens dates", false},
      {"Date Exc.", "47917", "the number a spreadsheet keeps for a day", false},
      {"Date Exc.", "2031\u201303\u201310", "", true},
      // what spreadsheets do to any cell
      {"Description2", "######", "problem|2|Description2|######|The cell was too narrow", false},
      {"Notes", "#REF!", "error value", false},
      {"Notes", "#7 bag", "", true},
      {"FS#", "10-Mar", "problem|2|FS#|10-Mar|A spreadsheet turned this into a date. It may have been \"3-10\".",
       false},
      {"FS#", "3/10/2031", "warning|2|FS#", true},
      {"Level", "2031-03-10", "problem|2|Level", false},
      {"Unit", "2.20E+02", "power of ten", false},
      {"Old No.", "old 7; 10-Mar", "problem|2|Old No.", false},
      // characters
      {"FS#", "7\u20133",
       "warning|2|FS#|7\u20133|Characters of no keyboard were replaced. U+2013 EN DASH was read as -", true},
      {"FS#", "7\u200B3", "U+200B ZERO WIDTH SPACE was removed", true},
      {"FS#", "7\u00A03", "U+00A0 NO-BREAK SPACE was read as a space", true},
      {"FS#", "7\u202E3", "characters that change the direction of text", false},
      {"Unit", "N20\u0415 15", "problem|2|Unit|N20\u0415 15|Letters of two alphabets that look alike", false},
      {"Unit", "\u0421\u043B\u043E\u0439", "", true},
      {"Notes", "rim \u2013 worn", "", true},
      {"Notes", "rim\u2066 worn", "change the direction", false},
      {"Notes", "so\u00ADft", "Invisible characters were removed", true},
      {"Notes", "caf\u00C3\u00A9", "once opened as Windows-1252", true},
      {"Notes", "rim \uFFFD", "destroyed", false},
      {"Notes", std::string{"rim\0worn", 8}, "control characters", false},
      // places
      {"Home", "Room 2 / Shelf 3", "", true},
      {"Home", "/", "problem|2|Home|/|This is not a place, for a part of it has no name.", false},
      {"Home", "Room 2//Shelf 3", "a part of it has no name", false},
      {"Home", "Room 2/", "a part of it has no name", false},
      // kinds and bags
      {"Type", "Bulk", "", true},
      {"Type", "lithic", "This is no kind of item.|", false},
      {"Bag(s)", "B7; B7", "A bag is named twice", false},
      {"Bag(s)", "B7:0", "hold none", false},
  };
  for (const CellCase& one : cases) {
    const CatalogReading reading = with_column(one.header, one.value);
    const std::string text = said(reading);
    EXPECT_EQ(reading.rows.size(), one.taken ? 1U : 0U) << one.header << ": " << one.value << "\n" << text;
    if (*one.words == '\0') {
      EXPECT_FALSE(contains(text, "problem")) << one.value << "\n" << text;
    } else {
      EXPECT_TRUE(contains(text, one.words)) << one.header << ": " << one.value << "\n" << text;
    }
    for (const CatalogProblem& problem : reading.problems) EXPECT_FALSE(problem.remedy.empty()) << problem.what;
  }
}

struct NumberCase {
  const char* written;
  const char* number;  // empty: a problem
  const char* words;
};

TEST(ReadCatalog, NumbersThatTheSchemeMakesCertainArePutRightAndSaidSo) {
  for (const NumberCase& one : std::vector<NumberCase>{
           {"16ZQ5/12.1", "16ZQ5/12.1", ""},
           {"16zq5/12.1", "16ZQ5/12.1", "warning|2|Cat. No.|16zq5/12.1|The number was put right, because the scheme"},
           {"16ZQ5/12.l", "16ZQ5/12.1", "warning"},
           {"16ZQ5/12.1\u20132", "16ZQ5/12.1-2", "warning"},
           {"16ZQ5/12.\u200B1", "16ZQ5/12.1", "ZERO WIDTH SPACE"},
           {"16\u0396Q5/12.1", "16ZQ5/12.1", "GREEK CAPITAL LETTER ZETA was read as Z"},
           {"\uFF116ZQ5/12.1", "16ZQ5/12.1", "warning"},
           {"16ZQ5/12.1\u202E", "", "change the direction of text"},
           {"16ZQ5/12", "", "The number names a whole lot, not an item."},
           {"16ZQ5/12.", "", "not a number of the scheme \"site numbers\". At character"},
           {"10-Mar", "", "A spreadsheet turned the number into a date."},
           {"3/10/2031", "", "A spreadsheet turned the number into a date."},
           {"2031-03-10 00:00:00", "", "A spreadsheet turned the number into a date."},
           {"2.20E+02", "", "A spreadsheet took the E in the number for a power of ten"},
       }) {
    const CatalogReading reading = catalog_of("Cat. No.\tAcc #\tDescription\tMaterial\n" + std::string{one.written} +
                                              "\t2031.4\tsherd\tceramic\n");
    const std::string text = said(reading);
    ASSERT_EQ(reading.rows.size(), *one.number == '\0' ? 0U : 1U) << one.written << "\n" << text;
    if (*one.number != '\0') {
      EXPECT_EQ(reading.rows[0].number.text(), one.number);
    }
    EXPECT_TRUE(contains(text, one.words)) << text;
  }
}

HouseStandard with_scheme(std::vector<SchemePart> parts) {
  HouseStandard standard = quillow();
  standard.schemes = {Scheme{"plain", std::move(parts)}};
  standard.default_scheme = "plain";
  standard.accession_scheme.clear();
  standard.required_columns = {"number"};
  return standard;
}

SchemePart part(std::string name, PartKind kind, std::string separator, NumberLevel level) {
  SchemePart made;
  made.name = std::move(name);
  made.kind = kind;
  made.separator = std::move(separator);
  made.level = level;
  return made;
}

// check-values section 6: a spreadsheet turns digits, E and digits into a number, and site 3-10 into a date.
TEST(ReadCatalog, SaysWhatADamagedNumberMayHaveBeen) {
  const HouseStandard dashed = with_scheme(
      {part("lot", PartKind::integer, "", NumberLevel::lot), part("item", PartKind::integer, "-", NumberLevel::item)});
  for (const char* damaged : {"10-Mar", "3/10/2031", "2031-03-10 00:00:00", "47917"}) {
    const std::string text = said(catalog_of("number,object\n" + std::string{damaged} + ",sherd\n", dashed));
    EXPECT_TRUE(contains(text, "It may have been \"3-10\" or \"10-3\"")) << text;
  }
  SchemePart letters = part("area", PartKind::letters, "", NumberLevel::lot);
  letters.alphabet = "ABCDEFGH";
  const HouseStandard lettered = with_scheme({part("unit", PartKind::integer, "", NumberLevel::lot), letters,
                                              part("item", PartKind::integer, "", NumberLevel::item)});
  for (const char* damaged : {"220", "2.20E+02"}) {
    const std::string text = said(catalog_of("number,object\n" + std::string{damaged} + ",sherd\n", lettered));
    EXPECT_TRUE(contains(text, "\"22E1\"")) << text;
  }
}

TEST(ReadCatalog, LostLeadingZerosArePutBackWhereTheSchemeIsCertain) {
  const CatalogReading reading = catalog_of("Find number,Name,Material\nC14-7,charcoal,charcoal\n", ostervane());
  ASSERT_EQ(reading.rows.size(), 1U) << said(reading);
  EXPECT_EQ(reading.rows[0].number.text(), "C14-0007");
  EXPECT_TRUE(contains(said(reading), "warning|2|Find number|C14-7|The number was put right")) << said(reading);
}

TEST(ReadCatalog, MissingLeadingZerosOfOtherNumbersAreWarnedOf) {
  const CatalogReading reading =
      catalog_of("Cat. No.,Acc #,Description,Material,FS#\n16ZQ5/12.1,2031.4,a,b,0041\n16ZQ5/12.2,2031.4,a,b,42\n");
  EXPECT_EQ(reading.rows.size(), 2U);
  EXPECT_TRUE(contains(said(reading), "warning|3|FS#|42|Others in this column have 4 digits (row 2)")) << said(reading);
}

TEST(ReadCatalog, DuplicateNumbersNameAllTheirRows) {
  const CatalogReading reading = catalog_of(
      "Cat. No.,Acc "
      "#,Description,Material\n16ZQ5/12.1,2031.4,a,b\n16ZQ5/12.2,2031.4,a,b\n16zq5/12.1,2031.4,a,b\n,2031.4,a,b\n");
  EXPECT_EQ(reading.rows.size(), 1U);
  EXPECT_EQ(reading.bad_table_rows, (std::vector<std::size_t>{0, 2, 3}));
  const std::string text = said(reading);
  EXPECT_TRUE(contains(text, "problem|2|Cat. No.|16ZQ5/12.1|The catalog number stands in row 4 as well.")) << text;
  EXPECT_TRUE(contains(text, "problem|4|Cat. No.|16zq5/12.1|The catalog number stands in row 2 as well.")) << text;
  EXPECT_TRUE(contains(text, "problem|5|Cat. No.||The cell is empty, but every row needs a catalog number.")) << text;
}

TEST(ReadCatalog, ItemsOfALotThatContradictItAreFound) {
  const CatalogReading reading =
      catalog_of(with_header("16ZQ5/12.1,2031.4,16ZQ5,,a,b,,,,,,N20E15,3,20,30,2031-03-10,,\n"
                             "16ZQ5/12.2,2031.4,16ZQ5,,a,b,,,,,,N20E15,3,20,30,2031-03-10,,\n"
                             "16ZQ5/12.3,2031.4,16ZQ5,,a,b,,,,,,N20E16,3,20,30,2031-03-11,,\n"
                             "16ZQ5/13.1,2031.4,16ZQ5,,a,b,,,,,,N20E16,3,30,40,2031-03-11,,\n"
                             "16ZQ5/14.1,2031.4,16ZQ6,,a,b,,,,,,N20E16,3,30,40,2031-03-11,,\n"
                             "16ZQ5/15.1,2031.4,16zq5,,a,b,,,,,,N20E16,3,30,40,2031-03-11,,\n"
                             "16ZQ5/16.1,2031.4,16ZQ5,,a,b,,,,,,N1,,,,,,\n"
                             "16ZQ5/16.2,2031.4,16ZQ5,,a,b,,,,,,N2,,,,,,\n"));
  const std::string text = said(reading);
  EXPECT_TRUE(contains(text, "problem|4|Unit|N20E16|Items of lot 16ZQ5/12 must have the same unit, but rows 2, 3 say "))
      << text;
  EXPECT_TRUE(contains(text, "problem|4|Date Exc.|2031-03-11|Items of lot 16ZQ5/12 must have the same date")) << text;
  EXPECT_TRUE(contains(text, "problem|6|Site|16ZQ6|The site is not the one that the catalog number names.")) << text;
  EXPECT_TRUE(
      contains(text, "problem|8|Unit|N1|Items of lot 16ZQ5/16 must have the same unit, but row 9 says otherwise"))
      << text;  // two against each other: nobody can tell which is right
  EXPECT_TRUE(contains(text, "problem|9|Unit|N2|")) << text;
  ASSERT_EQ(reading.rows.size(), 4U) << text;
  EXPECT_EQ(reading.rows[3].site, "16ZQ5");
}

TEST(ReadCatalog, BagsMustHoldWhatIsCounted) {
  const CatalogReading reading = catalog_of(with_header("16ZQ5/12.1,2031.4,,,a,b,347,,,,B7:120; B8:220,,,,,,,\n"));
  EXPECT_TRUE(contains(said(reading), "The bags hold 340 pieces together, but the count is 347.")) << said(reading);
}

// Taken for another flag, it let the object be labelled, drawn and photographed.
TEST(ReadCatalog, AFlagThatIsNearlyACareFlagIsAProblem) {
  const auto read = [](const std::string& flags) {
    return catalog_of("Cat. No.,Acc #,Type,Description,Material,Care\r\n16ZQ5/12.3,2031.4,artifact,bowl,ceramic,\"" +
                      flags + "\"\r\n");
  };
  for (const char* flags : {"sacred?", "fragile and sacred", "fragile; sacred?", "human_remain", "Human-remains (?)",
                            "sacrd", "not funerary", "humanremains", "fragile; funerry"}) {
    const CatalogReading reading = read(flags);
    EXPECT_FALSE(reading.good()) << flags;
    const std::string text = said(reading);
    EXPECT_NE(text.find("This is nearly a care flag of the house standard"), std::string::npos) << flags << text;
    EXPECT_EQ(text.find("sacred"), std::string::npos) << "the column is restricted: " << text;
  }
  for (const char* flags : {"sacred", " Human Remains ", "FUNERARY; fragile", "scarred", "fragile", "consultation", ""})
    EXPECT_TRUE(read(flags).good()) << flags << said(read(flags));
}

TEST(ReadCatalog, OnePieceIsNoPieces) {
  const CatalogReading reading = catalog_of(with_header("16ZQ5/12.1,2031.4,,,a,b,2,,,,B7:1,,,,,,,\n"));
  EXPECT_TRUE(contains(said(reading), "The bags hold 1 piece together, but the count is 2.")) << said(reading);
}

TEST(ReadCatalog, WhatMayBeTwoBagsIsAsked) {
  for (const char* cell : {"B1 and B2", "B1 & B2", "B1&B2", "B1+B2", "\"B1,B2\"", "B1 AND B2:3"}) {
    const CatalogReading reading =
        catalog_of(with_header(std::string{"16ZQ5/12.1,2031.4,,,a,b,,,,,"} + cell + ",,,,,,,\n"));
    EXPECT_TRUE(contains(said(reading), "The cell may name one bag or two.")) << cell << said(reading);
  }
  for (const char* cell : {"B1; B2", "\"B1, B2\"", "Sandbag 1", "B+", "and"}) {
    const CatalogReading reading =
        catalog_of(with_header(std::string{"16ZQ5/12.1,2031.4,,,a,b,,,,,"} + cell + ",,,,,,,\n"));
    EXPECT_EQ(said(reading), "") << cell;
  }
}

TEST(ReadCatalog, LettersOfTwoAlphabetsInOneWordAreNamedInEveryCell) {
  // U+041E CYRILLIC CAPITAL LETTER O and U+0430 CYRILLIC SMALL LETTER A among Latin letters.
  const CatalogReading reading = catalog_of(
      "Cat. No.,Acc #,Type,Description,Material\n"
      "16ZQ5/12.1,2031.4,artifact,\u041Ebjekt,b\n"
      "16ZQ5/12.2,2031.4,\u0430rtifact,a,b\n"
      "16ZQ5/12.3,2031.4,artifact,\u041E\u0431\u044A\u0435\u043A\u0442,b\n"
      "16ZQ5/12.4,2031.4,artifact,caf\u00E9,\u03B1-quartz\n");
  const std::string text = said(reading);
  constexpr const char* k_words = "Letters of two alphabets that look alike stand in one word.";
  EXPECT_TRUE(contains(text, std::string{"problem|2|Description|\u041Ebjekt|"} + k_words)) << text;
  EXPECT_TRUE(contains(text, std::string{"problem|3|Type|\u0430rtifact|"} + k_words)) << text;
  EXPECT_EQ(reading.rows.size(), 2U) << "a whole word of another alphabet, and an accent, are what people write\n"
                                     << text;
}

TEST(ReadCatalog, ANumberThatIsNoneIsToldWithOneThatIs) {
  const std::string text = said(catalog_of("Cat. No.,Acc #,Description,Material\n12.1,2031.4,a,b\n"));
  EXPECT_TRUE(contains(text, "A number of it looks like 22WW5/2.3.")) << text;
}

TEST(ReadCatalog, LookAlikeBagsAreToldApart) {
  // U+0412 CYRILLIC CAPITAL LETTER VE alone in its cell is no mixture, but it looks like B (confusables of UTS #39).
  const CatalogReading reading =
      catalog_of("Cat. No.,Acc #,Description,Material,Bag(s)\n16ZQ5/12.1,2031.4,a,b,B\n16ZQ5/12.2,2031.4,a,b,\u0412\n");
  EXPECT_TRUE(contains(said(reading), "warning|3|Bag(s)|\u0412|This looks like the value in row 2")) << said(reading);
}

TEST(ReadCatalog, ATitleAboveTheHeadingsIsToldWithTheRowTheyStandIn) {
  const CatalogReading reading = catalog_of("Finds of 2031,,,\n,,,\nFind,Qty,Description,Material\n16ZQ5/12.1,1,a,b\n");
  EXPECT_TRUE(reading.whole_file_bad);
  ASSERT_FALSE(reading.problems.empty());
  EXPECT_EQ(reading.problems.front().remedy,
            "The headings seem to stand in row 3: take out the rows above, so that they come first.");
}

TEST(ReadCatalog, AHeadingThatIsNotKnownIsToldWithTheLineThatNamesIt) {
  const CatalogReading reading = catalog_of("Nummer,Qty,,Description,Material\n16ZQ5/12.1,1,,a,b\n");
  ASSERT_FALSE(reading.problems.empty());
  EXPECT_EQ(reading.problems.front().remedy,
            "Add it, or rename the heading that is meant, or say in [columns] of the house standard which of these it "
            "is, as in \"Nummer\" = \"number\", and adopt that (sherdmark standard --adopt FILE): Nummer, Qty, "
            "Description, Material.");
}

TEST(ReadCatalog, HeadersThatCannotBeUsedSetEveryRowAside) {
  const CatalogReading reading = catalog_of("Cat. No.,Cat. No.,Qty,Count,Description\n16ZQ5/12.1,x,1,1,a\n");
  EXPECT_TRUE(reading.whole_file_bad);
  EXPECT_FALSE(reading.good());
  EXPECT_TRUE(reading.rows.empty());
  const std::string text = said(reading);
  EXPECT_TRUE(contains(text, "problem|1|Cat. No.||Columns 1 and 2 have the same header.")) << text;
  EXPECT_TRUE(contains(text, "problem|1|Count||Columns 3 (\"Qty\") and 4 (\"Count\") both mean count.")) << text;
  EXPECT_TRUE(contains(text, "There is no column for material.")) << text;
}

TEST(ReadCatalog, HeadersAreKnownWhateverTheirCaseSpacesAndUnits) {
  for (const auto& [header, check] : std::vector<std::pair<std::string, bool (*)(const CatalogRow&)>>{
           {"WEIGHT_G", [](const CatalogRow& row) { return row.weight_g == 12.0; }},
           {"Weight (kg)", [](const CatalogRow& row) { return row.weight_g == 12000.0; }},
           {"weight, oz.", [](const CatalogRow& row) { return row.weight_g == 340.194277500; }},
           {"Depth top cm", [](const CatalogRow& row) { return row.depth_top_cm == 12.0; }},
           {"Top Depth (cm BS)", [](const CatalogRow& row) { return row.depth_top_cm == 12.0; }},
           {"Depth Bottom [m]", [](const CatalogRow& row) { return row.depth_bottom_cm == 1200.0; }},
           {"Max. Length (cm)", [](const CatalogRow& row) { return row.largest_mm == 120.0; }},
           {"Volume / l", [](const CatalogRow& row) { return row.volume_ml == 12000.0; }},
           {"  No. of Pieces ", [](const CatalogRow& row) { return row.count == 12; }},
           {"Field Specimen #", [](const CatalogRow& row) { return row.field_number == "12"; }},
       }) {
    const CatalogReading reading = with_column(header, "12");
    ASSERT_EQ(reading.rows.size(), 1U) << header << "\n" << said(reading);
    EXPECT_TRUE(check(reading.rows[0])) << header;
  }
}

// So that a person may name it as labels print it, or as it stands in the catalog.
TEST(ReadCatalog, APlaceIsKeptWithoutTheBlanksAroundItsStrokes) {
  for (const char* written : {"Store/Room 2/Shelf 3", "Store / Room 2 /Shelf 3", "Store/ Room 2/\u00A0Shelf 3"}) {
    const CatalogReading reading = with_column("Home", written);
    ASSERT_EQ(reading.rows.size(), 1U) << said(reading);
    EXPECT_EQ(reading.rows[0].place, "Store/Room 2/Shelf 3") << written;
  }
}

TEST(ReadCatalog, ValuesOfRestrictedColumnsAreNeverSaid) {
  const CatalogReading reading = with_column("Notes", "secret\u202E place");
  ASSERT_EQ(reading.problems.size(), 1U);
  EXPECT_EQ(reading.problems[0].column, "Notes");
  EXPECT_EQ(reading.problems[0].value, "");
  EXPECT_FALSE(contains(said(reading), "secret"));
  EXPECT_FALSE(contains(said(reading), "U+202E"));
}

TEST(ReadCatalog, AStandardThatMapsToAFieldThatIsNoneIsRefused) {
  HouseStandard standard = quillow();
  standard.columns["Colour"] = "color";
  EXPECT_THROW((void)catalog_of("Cat. No.\n1\n", standard), Error);
}

TEST(ReadCatalog, EveryProblemIsFoundInOnePass) {
  const CatalogReading reading = catalog_of(
      with_header("16ZQ5/12.1,2031.4,,x,a,,0,1;2,-1,10-Mar,B:0,,,30,20,tomorrow,,\n16ZQ5/12.2,2031.4,,,a,b\n"));
  std::size_t in_first = 0;
  for (const CatalogProblem& problem : reading.problems) in_first += problem.row == 2 ? 1U : 0U;
  EXPECT_EQ(in_first, 9U) << said(reading);
  EXPECT_TRUE(contains(said(reading), "problem|3|||The row has 6 cells, the header has 18.")) << said(reading);
}

}  // namespace
}  // namespace sherdmark
