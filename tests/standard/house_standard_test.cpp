#include "sherdmark/standard/house_standard.h"

#include <gtest/gtest.h>

#include "sherdmark/base/error.h"
#include "standard_samples.h"

namespace sherdmark {
namespace {

TEST(HouseStandard, TheInchSampleIsReadWholly) {
  const HouseStandard standard = sample_standard("quillow_ferry.toml");
  EXPECT_EQ(standard.repository, "Quillow Ferry Archaeological Repository");
  EXPECT_EQ(standard.schemes.size(), 2U);
  EXPECT_EQ(standard.date_order, "mdy");
  EXPECT_EQ(standard.bagging, Bagging::by_column);
  EXPECT_DOUBLE_EQ(standard.artifact_stock.width_mm, 215.9);
  EXPECT_DOUBLE_EQ(standard.artifact_stock.height_mm, 279.4);
  EXPECT_NEAR(standard.artifact.trim_tolerance_mm, 0.508, 1e-12);
  EXPECT_EQ(standard.artifact.font, "Hack");
  EXPECT_EQ(standard.columns.at("Max Dim (mm)"), "largest_mm");
  EXPECT_EQ(standard.column_class("UTM East"), ColumnClass::location_restricted);
  EXPECT_EQ(standard.column_class("remarks"), ColumnClass::care_restricted);
  EXPECT_EQ(standard.column_class("anything else"), ColumnClass::internal);
  EXPECT_EQ(standard.parse_number("16zq5/12.3-2")->number.level(), NumberLevel::piece);
  EXPECT_EQ(standard.parse_number("IF-2031-7")->number.text(), "IF-2031-007");
  EXPECT_EQ(standard.accession_scheme.at("2031.9"), "isolated finds");
  EXPECT_EQ(standard.accession_scheme.at("2031.4"), "site numbers");
  EXPECT_FALSE(standard.parse_number("2031-114-12"));
}

TEST(HouseStandard, TheMetricSampleIsReadWholly) {
  const HouseStandard standard = sample_standard("ostervane.toml");
  EXPECT_EQ(standard.carrier_stock.name, "A4");
  EXPECT_DOUBLE_EQ(standard.carrier_stock.height_mm, 297);
  EXPECT_EQ(standard.drying_hours, 24);
  EXPECT_TRUE(standard.artifact.check_character);
  EXPECT_EQ(standard.parse_number("2031-114-12A")->number.text(), "2031-114-12a");
  EXPECT_EQ(standard.parse_number("C14-7")->number.text(), "C14-0007");
}

TEST(HouseStandard, WhatIsLeftOutHasItsDefault) {
  const HouseStandard standard = parse_house_standard(k_small_standard, "small.toml");
  EXPECT_EQ(standard.drying_hours, 12);
  EXPECT_EQ(standard.bagging, Bagging::one_bag_per_item);
  EXPECT_EQ(standard.care_flags, (std::vector<std::string>{"human_remains", "funerary", "sacred"}));
  EXPECT_EQ(standard.required_columns, std::vector<std::string>{"number"});
  EXPECT_EQ(standard.printer.dpi, 600);
  EXPECT_DOUBLE_EQ(standard.artifact.size_pt, 5);
  EXPECT_DOUBLE_EQ(standard.artifact_stock.margin_left_mm, 6.35);
  EXPECT_TRUE(standard.agreement.artifacts);
  EXPECT_EQ(standard.source, k_small_standard);
}

struct FaultRow {
  const char* what;         // comment for a failure
  const char* find;         // text of the small standard to replace …
  const char* replacement;  // … by this
  std::size_t line;         // where the error must point
  const char* words;        // what it must say
};

// The small standard has its lines numbered in standard_samples.h.
const std::vector<FaultRow> k_faults{
    // unknown keys
    {"typing error", "version", "verson", 3, "Did you mean \"version\"?"},
    {"unknown section", "[tag]", "[tagg]", 40, "\"tagg\" is not a key of a house standard. Did you mean \"tag\"?"},
    {"key of nothing like", "dpi = 600", "toner_brightness = 3", 27, "is not a key of a house standard"},
    // units
    {"length as text", "width_mm = 210 # artifact", "width_mm = \"3 in\"", 17,
     "is a text, but must be a number in mm. Write the number alone"},
    {"centimetres", "width_mm = 210 # artifact", "width_cm = 21", 17, "ends in _mm (millimetres) or _in (inches)"},
    {"no unit", "width_mm = 210 # artifact", "width = 210", 17, "write width_mm or width_in"},
    {"inches in the millimetre key", "width_mm = 210 # artifact", "width_mm = 8.5", 17,
     "8.5 mm, outside 50 to 1000 mm"},
    {"both units", "width_mm = 210 # artifact", "width_mm = 210\nwidth_in = 8.27", 18, "Keep one of them"},
    {"type in millimetres", "size_pt = 5", "size_mm = 1.8", 31, "Its unit is pt: write size_pt"},
    {"too small a type", "size_pt = 5", "size_pt = 3", 31, "outside 4 to 6 pt"},
    {"infinite", "size_pt = 5", "size_pt = inf", 31, "outside 4 to 6 pt"},
    {"module too fine for a bag", "module_mm = 0.42", "module_mm = 0.2", 38, "outside 0.42 to 2 mm"},
    // types
    {"number as text", "dpi = 600", "dpi = \"600\"", 27, "must be a whole number"},
    {"broken number", "dpi = 600", "dpi = 600.5", 27, "must be a whole number"},
    {"list expected", "fields = [\"number\", \"bag\"]", "fields = \"number\"", 39, "must be a list of texts"},
    {"a date", "version = \"1\"", "version = 2031-01-01", 3, "is a date or a time"},
    {"choice", "date_order = \"ymd\"", "date_order = \"ydm\"", 6, "Write one of: \"ymd\", \"mdy\", \"dmy\""},
    {"section as list", "[printer]", "[[printer]]", 26, "must be a section"},
    {"list as section", "[[rule]]", "[rule]", 46, "must be a list of sections"},
    // what is missing
    {"no name", "name = \"Small\"", "", 1, "\"standard.name\" is missing"},
    {"empty name", "name = \"Small\"", "name = \" \"", 2, "is empty"},
    // contradictions
    {"no such scheme", "default_scheme = \"finds\"", "default_scheme = \"lost\"", 5, "There is no scheme \"lost\""},
    {"bad part", "kind = \"integer\"", "kind = \"letters\"", 9, "alphabet is empty"},
    {"key of another kind", "kind = \"integer\"", "kind = \"integer\"\nalphabet = \"ab\"", 13,
     "says nothing about a part of kind \"integer\""},
    {"no item level", "level = \"item\"", "level = \"lot\"", 9,
     "No part of the scheme \"finds\" has the level \"item\""},
    {"label wider than paper", "width_mm = 100", "width_mm = 205", 36, "does not fit"},
    {"unknown field", "fields = [\"number\", \"bag\"]", "fields = [\"number\", \"bagg\"]", 39,
     "\"bagg\" cannot be shown"},
    {"no number on the bag", "fields = [\"number\", \"bag\"]", "fields = [\"bag\"]", 39, "\"number\" is missing"},
    {"restricted outside", "fields = [\"number\", \"bag\"]", "fields = [\"number\", \"depth\"]", 39,
     "restricted column \"depth_top_cm\""},
    {"size twice impossible", "label = \"direct\"", "label = \"direct\"\nat_least_mm = 20\nunder_mm = 10", 46,
     "No size is both"},
    {"care flag with a label", "label = \"direct\"", "label = \"direct\"\nany_flag = [\"sacred\"]", 49, "care flags"},
    {"sample of tags", "label = \"direct\"", "label = \"tag only\"\nsample_percent = 10", 49, "this rule makes none"},
    {"sub-numbers without a part", "label = \"direct\"", "label = \"direct\"\nnumbering = \"sub-numbered\"", 49,
     "No scheme has a part of level \"piece\""},
    {"nothing to agree on", "bag = true", "bag = false\ntag = false\nartifacts = false", 51, "at least one role"},
    {"no such field", "\"No.\" = \"number\"", "\"No.\" = \"nummer\"", 53, "which is no catalog field"},
    {"field twice", "\"No.\" = \"number\"", "\"No.\" = \"number\"\n\"Nr.\" = \"number\"", 54,
     "are both to be \"number\""},
    // not TOML at all
    {"broken TOML", "dpi = 600", "dpi = = 600", 27, "not valid TOML"},
    {"key twice", "dpi = 600", "dpi = 600\ndpi = 300", 28, "not valid TOML"},
};

TEST(HouseStandard, WhatAnySchemeReadsAsItStandsComesBeforeWhatTheDefaultSchemePutsRight) {
  const std::string other = R"([[scheme]]
name = "other"
[[scheme.part]]
name = "lot"
kind = "integer"
level = "lot"
[[scheme.part]]
name = "item"
kind = "letters"
alphabet = "O"
level = "item"

[artifact_paper])";
  const HouseStandard standard =
      parse_house_standard(replaced(k_small_standard, "[artifact_paper]", other), "two.toml");
  const auto corrected = standard.scheme("finds").parse("1O");
  ASSERT_TRUE(std::holds_alternative<ParsedNumber>(corrected)) << "else the row below shows nothing";
  EXPECT_EQ(standard.parse_number("1O")->number.scheme(), "other");
  EXPECT_EQ(standard.parse_number("10")->number.scheme(), "finds");
  EXPECT_EQ(standard.parse_number("01")->number.scheme(), "finds") << "put right only where no scheme has it";
}

TEST(HouseStandard, EveryFaultIsNamedWithLineAndRemedy) {
  for (const FaultRow& row : k_faults) {
    const std::string text = replaced(k_small_standard, row.find, row.replacement);
    try {
      (void)parse_house_standard(text, "small.toml");
      FAIL() << "accepted: " << row.what;
    } catch (const Error& problem) {
      EXPECT_EQ(problem.family(), ErrorFamily::data) << row.what;
      EXPECT_NE(std::string{problem.what()}.find(row.words), std::string::npos) << row.what << ": " << problem.what();
      const std::string place = "small.toml, row " + std::to_string(row.line) + ", column ";
      EXPECT_NE(std::string{problem.what()}.find(place), std::string::npos) << row.what << ": " << problem.what();
    }
  }
}

TEST(HouseStandard, ARuleBelowOneThatMatchesEverythingIsNamed) {
  const std::string text =
      std::string{k_small_standard} + "\n[[rule]]\nname = \"second\"\nlabel = \"never\"\nreason = \"x\"\n";
  try {
    (void)parse_house_standard(text, "small.toml");
    FAIL();
  } catch (const Error& problem) {
    EXPECT_NE(std::string{problem.what()}.find("never reached: \"first\""), std::string::npos) << problem.what();
  }
}

TEST(HouseStandard, AllFaultsAreListedInTheOrderOfTheFile) {
  std::string text = replaced(k_small_standard, "dpi = 600", "dpi = \"600\"");
  text = replaced(text, "date_order = \"ymd\"", "date_order = \"ydm\"");
  text = replaced(text, "height_mm = 60", "height_furlongs = 60");
  text = replaced(text, "label = \"direct\"", "label = \"direkt\"");
  try {
    (void)parse_house_standard(text, "small.toml");
    FAIL();
  } catch (const Error& problem) {
    const std::string all = problem.what();
    EXPECT_EQ(problem.place().row, 6U);
    EXPECT_EQ(problem.place().column, 14U);
    EXPECT_NE(all.find("There are 3 more problems:"), std::string::npos) << all;
    std::size_t last = 0;
    for (const char* place : {"row 6,", "row 27,", "row 35,", "row 48,"}) {
      const std::size_t at = all.find(place, last);
      ASSERT_NE(at, std::string::npos) << place << " in " << all;
      last = at;
    }
  }
}

}  // namespace
}  // namespace sherdmark
