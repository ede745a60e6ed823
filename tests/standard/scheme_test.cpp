#include "sherdmark/standard/scheme.h"

#include <gtest/gtest.h>

#include "scheme_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

struct ParseRow {
  const char* written;
  const char* canonical;    // empty: not a number of the scheme
  const char* corrections;  // joined by "; "
};

void expect_rows(const Scheme& scheme, const std::vector<ParseRow>& rows) {
  for (const ParseRow& row : rows) {
    const auto result = scheme.parse(row.written);
    const auto* parsed = std::get_if<ParsedNumber>(&result);
    if (std::string_view{row.canonical}.empty()) {
      EXPECT_EQ(parsed, nullptr) << row.written << " was read as " << (parsed ? parsed->number.text() : "");
      continue;
    }
    ASSERT_NE(parsed, nullptr) << row.written << ": expected " << std::get<NumberProblem>(result).expected;
    EXPECT_EQ(parsed->number.text(), row.canonical) << row.written;
    EXPECT_EQ(join(parsed->corrections, "; "), row.corrections) << row.written;
  }
}

TEST(Scheme, SiteNumbersAreReadStrictlyButKindly) {
  expect_rows(site_scheme(), {
                                 // canonical: nothing is touched
                                 {"16ZQ5/12.3", "16ZQ5/12.3", ""},
                                 {"16ZQ5", "16ZQ5", ""},
                                 {"16ZQ5/12", "16ZQ5/12", ""},
                                 {"16ZQ5/12.3-66", "16ZQ5/12.3-66", ""},
                                 {"16OI3/1.1", "16OI3/1.1", ""},
                                 // case, spaces, dashes, zeros
                                 {"16zq5/12.3", "16ZQ5/12.3", "lower-case letters taken as capitals"},
                                 {" 16 ZQ 5 / 12 . 3 ", "16ZQ5/12.3", "spaces left out"},
                                 {"16-ZQ-5/12.3", "16ZQ5/12.3", "hyphens left out"},
                                 {"16ZQ005/012.3", "16ZQ5/12.3", "leading zeros left out"},
                                 {"16ZQ5/12.3\u20132", "16ZQ5/12.3-2", "a typographic dash taken as a hyphen"},
                                 {"16ZQ5\u204412.3", "16ZQ5/12.3", "the sign \u2044 taken as /"},
                                 {"16ZQ5/12.3\u00A0", "16ZQ5/12.3", "spaces left out"},
                                 // O and 0, I, l and 1: by position, said in words, never everywhere
                                 {"l6ZQ5/12.3", "16ZQ5/12.3", "letter l taken as digit 1 (character 1)"},
                                 {"16ZQ5/I2.3", "16ZQ5/12.3", "letter I taken as digit 1 (character 7)"},
                                 {"16ZQ5/1O.3", "16ZQ5/10.3", "letter O taken as digit 0 (character 8)"},
                                 {"16013/1.1", "16OI3/1.1",
                                  "digit 0 taken as letter O (character 3); digit 1 taken as letter I (character 4)"},
                                 {"16O1O/1O.1", "", ""},
                                 // not numbers of this scheme
                                 {"", "", ""},
                                 {"16ZQ5/12.", "", ""},
                                 {"16ZQ5/1 2.3", "", ""},
                                 {"16ZQ5//12", "", ""},
                                 {"16ZQ0/1.1", "", ""},
                                 {"31ZQ5/1.1", "", ""},
                                 {"16ZQ5/1000.1", "", ""},
                                 {"16ZQ5/12.3=K", "", ""},
                                 {"16ZQ5\xFF", "", ""},
                             });
}

TEST(Scheme, YearAccessionItemNumbersAreReadStrictlyButKindly) {
  expect_rows(year_scheme(), {
                                 {"2031-114-12a", "2031-114-12a", ""},
                                 {"2031-114", "2031-114", ""},
                                 {"2031-114-12A", "2031-114-12a", "capitals taken as lower-case letters"},
                                 {"2031-114-12l", "2031-114-121", "letter l taken as digit 1 (character 12)"},
                                 {"2O31-114-1OO", "2031-114-100",
                                  "letter O taken as digit 0 (character 2); letter O taken as digit 0 (character 11); "
                                  "letter O taken as digit 0 (character 12)"},
                                 {"2031 - 114 - 12 a", "2031-114-12a", "spaces left out"},
                                 {"2031\u2212114\u221212", "2031-114-12", "a typographic dash taken as a hyphen"},
                                 {"2031-0114-012b", "2031-114-12b", "leading zeros left out"},
                                 {"31-114-12", "", ""},
                                 {"2031-114-12abc", "", ""},
                                 {"2031.114.12", "", ""},
                             });
}

TEST(Scheme, LostLeadingZerosOfAPaddedNumberArePutBack) {
  expect_rows(sample_series_scheme(),
              {
                  {"C14-0007", "C14-0007", ""},
                  {"C14-7", "C14-0007", "missing leading zeros put back"},
                  {"c14-07", "C14-0007", "lower-case letters taken as capitals; missing leading zeros put back"},
                  {"P-00007", "P-0007", "leading zeros left out"},
                  {"CI4-0100", "C14-0100", "letter I taken as digit 1 (character 2)"},
                  {"P-100", "P-0100", "missing leading zeros put back"},
                  {"P-0", "", ""},
                  {"P-10000", "", ""},
              });
}

TEST(Scheme, ATextThatCouldBePutRightInTwoWaysIsRefusedAndBothAreNamed) {
  const Scheme scheme{"suffixed",
                      {part("item", PartKind::integer), letters_part("piece", "abcdefghijklmnopqrstuvwxyz")}};
  const auto result = scheme.parse("12O");
  const auto* problem = std::get_if<NumberProblem>(&result);
  ASSERT_NE(problem, nullptr);
  EXPECT_NE(problem->expected.find("\"12o\""), std::string::npos) << problem->expected;
  EXPECT_NE(problem->expected.find("\"120\""), std::string::npos) << problem->expected;
  // Written exactly as the scheme has it, it is left alone.
  EXPECT_TRUE(std::get<ParsedNumber>(scheme.parse("12o")).corrections.empty());
  EXPECT_TRUE(std::get<ParsedNumber>(scheme.parse("12l")).corrections.empty());
}

TEST(Scheme, AProblemSaysWhereAndWhatWasExpected) {
  struct Row {
    const char* written;
    std::size_t at;
    const char* expected;
  };
  for (const Row& row : std::vector<Row>{{"16ZQ5/x", 6, "1 to 9"},
                                         {"16ZQ5/12;3", 8, "\".\" or a digit or the end of the number"},
                                         {"16Z", 3, "A to Z"},
                                         {"99", 0, "\"1\" or \"2\""}}) {
    const auto result = site_scheme().parse(row.written);
    const auto* problem = std::get_if<NumberProblem>(&result);
    ASSERT_NE(problem, nullptr) << row.written;
    EXPECT_EQ(problem->at, row.at) << row.written;
    EXPECT_EQ(problem->expected, row.expected) << row.written;
    EXPECT_FALSE(problem->remedy.empty());
  }
}

TEST(Scheme, PartsThatContradictEachOtherAreRefused) {
  SchemePart empty_range = part("lot", PartKind::integer);
  empty_range.smallest = 9, empty_range.largest = 3;
  SchemePart optional_lot = part("lot", PartKind::integer, "/");
  optional_lot.optional = true;
  SchemePart check_sign = part("check", PartKind::integer, "=");
  SchemePart letters = letters_part("piece", "abb");
  SchemePart mixed = letters_part("piece", "a1");
  SchemePart years = part("year", PartKind::year);
  years.smallest = 190;
  SchemePart high = part("x", PartKind::integer, "-");
  high.level = NumberLevel::site;
  const SchemePart item = part("item", PartKind::integer);
  struct Row {
    std::vector<SchemePart> parts;
    const char* words;
  };
  for (const Row& row :
       std::vector<Row>{{{}, "has 0 parts"},
                        {{empty_range}, "no number lies between"},
                        {{part("site", PartKind::integer), optional_lot, part("item", PartKind::integer, "-")},
                         "required part follows an optional"},
                        {{part("lot", PartKind::integer), part("item", PartKind::integer)}, "is ambiguous"},
                        {{item, check_sign}, "kept for check characters"},
                        {{item, letters}, "stands twice"},
                        {{item, mixed}, "no letter"},
                        {{years}, "reaches outside"},
                        {{item, high}, "level is above"},
                        {{item, item}, "used twice"},
                        {{part("c", PartKind::one_of)}, "nothing to choose"},
                        {{part("c", PartKind::free)}, "alphabet is empty"}}) {
    try {
      const Scheme scheme{"test", row.parts};
      FAIL() << "accepted: " << row.words;
    } catch (const Error& problem) {
      EXPECT_EQ(problem.family(), ErrorFamily::data);
      EXPECT_NE(std::string{problem.what()}.find(row.words), std::string::npos) << problem.what();
      EXPECT_FALSE(problem.remedy().empty());
    }
  }
}

TEST(Scheme, AnAmbiguousPairIsShownByAnExample) {
  try {
    const Scheme scheme{"run together", {part("lot", PartKind::integer), part("item", PartKind::integer)}};
    FAIL();
  } catch (const Error& problem) {
    const std::string text = problem.what();
    EXPECT_NE(text.find("can be read in two ways: lot \""), std::string::npos) << text;
    EXPECT_NE(text.find("separator"), std::string::npos) << text;
  }
  // Fixed widths, or letters beside digits, need none.
  SchemePart lot = part("lot", PartKind::integer);
  lot.pad_to_digits = 3, lot.largest = 999;
  EXPECT_NO_THROW(Scheme("fixed", {lot, part("item", PartKind::integer)}));
  EXPECT_NO_THROW(Scheme("lettered", {part("item", PartKind::integer), letters_part("piece", "abc")}));
}

TEST(Scheme, FormatTakesOnlyWhatFitsAndCutsAtLevels) {
  const Scheme scheme = site_scheme();
  EXPECT_EQ(scheme.format({"16ZQ5", "12", "3"})->text(), "16ZQ5/12.3");
  EXPECT_FALSE(scheme.format({"16ZQ5", "012", "3"}));
  EXPECT_FALSE(scheme.format({"16ZQ5", "12", "3", "4", "5"}));
  EXPECT_FALSE(scheme.format({"16ZQ5/1", "2"}));
  EXPECT_FALSE(scheme.format({}));
  const Number piece = scheme.format({"16ZQ5", "12", "3", "4"}).value();
  EXPECT_EQ(piece.level(), NumberLevel::piece);
  EXPECT_EQ(scheme.up_to(piece, NumberLevel::item)->text(), "16ZQ5/12.3");
  EXPECT_EQ(scheme.up_to(piece, NumberLevel::lot)->text(), "16ZQ5/12");
  EXPECT_EQ(scheme.up_to(piece, NumberLevel::accession)->text(), "16ZQ5");
  EXPECT_EQ(scheme.up_to(piece, NumberLevel::site)->text(), "16ZQ5");
  EXPECT_FALSE(year_scheme().up_to(year_scheme().format({"2031", "114", "12"}).value(), NumberLevel::site));
}

TEST(Scheme, LinesBreakOnlyAfterASeparatorBetweenParts) {
  const Scheme sites = site_scheme();
  const Number piece = sites.format({"16ZQ5", "12", "3", "4"}).value();
  EXPECT_EQ(sites.break_pieces(piece), (std::vector<std::string>{"16ZQ5/", "12.", "3-", "4"}));
  EXPECT_EQ(sites.break_pieces(piece, 'K'), (std::vector<std::string>{"16ZQ5/", "12.", "3-", "4=K"}));
  const Scheme years = year_scheme();
  EXPECT_EQ(years.break_pieces(years.format({"2031", "114", "12", "a"}).value()),
            (std::vector<std::string>{"2031-", "114-", "12a"}));
}

TEST(Scheme, ThePrintedTextCarriesTheCheckCharacterAfterItsOwnSign) {
  const Number number = year_scheme().format({"2031", "114", "12", "a"}).value();
  EXPECT_EQ(printed_text(number, std::nullopt), "2031-114-12a");
  EXPECT_EQ(printed_text(number, 'K'), "2031-114-12a=K");
  EXPECT_EQ(check_character_data(number), "203111412A");
}

TEST(Scheme, TheLongestNumberIsTheLongestThereIs) {
  EXPECT_EQ(site_scheme().longest_number(), "22WW9999/999.9999-9999");
  EXPECT_EQ(site_scheme().example_number(), "22WW5/2.3");
  EXPECT_EQ(sample_series_scheme().longest_number(), "C14-9999");
  const std::string longest = year_scheme().longest_number();
  EXPECT_EQ(longest.size(), std::string{"2079-999-99999mm"}.size());
  EXPECT_TRUE(std::holds_alternative<ParsedNumber>(year_scheme().parse(longest)));
}

}  // namespace
}  // namespace sherdmark
