// Source of forms and examples: "Smithsonian trinomial", English Wikipedia. Rows marked M are from memory.
#include <gtest/gtest.h>

#include "scheme_samples.h"
#include "sherdmark/base/text.h"
#include "standard/trinomial.h"

namespace sherdmark {
namespace {

Scheme any_site() { return {"sites", {part("site", PartKind::trinomial, "", NumberLevel::site)}}; }

std::string read(const Scheme& scheme, std::string_view written) {
  const auto result = scheme.parse(written);
  const auto* parsed = std::get_if<ParsedNumber>(&result);
  return parsed ? parsed->number.text() : "";
}

TEST(Trinomial, StatesAreNumberedAlphabeticallyWithAlaskaAndHawaiiLast) {
  const auto& states = trinomial_states();
  for (std::size_t i = 0; i < states.size(); ++i) EXPECT_EQ(states[i].number, static_cast<int>(i) + 1);
  // Figures from the published table; these are not FIPS codes (FIPS 22 is Louisiana, here Mississippi).
  struct Row {
    int number;
    const char* postal;
  };
  for (const Row& row :
       {Row{1, "AL"}, {16, "LA"}, {20, "MI"}, {22, "MS"}, {31, "NC"}, {36, "PA"}, {48, "WY"}, {49, "AK"}, {50, "HI"}})
    EXPECT_EQ(states[static_cast<std::size_t>(row.number) - 1].postal, row.postal);
}

TEST(Trinomial, PublishedExamplesAreCanonical) {
  for (const char* example : {"16WC5", "16AV1", "16WF25", "16AN1", "36CN164", "25VY1", "33WA1", "40HR16", "31MA50",
                              // M
                              "1TU500", "9BR1", "36WH297", "41BL323", "5LR13", "11MS38", "44JC1", "34LF40", "8BR246",
                              "45BN495", "CA-LAN-1", "16IB3", "33RO27"})
    EXPECT_EQ(read(any_site(), example), example);
}

TEST(Trinomial, VariantsOfTheSameNumberReadAlike) {
  struct Row {
    const char* written;
    const char* canonical;  // empty: no trinomial
  };
  for (const Row& row : std::vector<Row>{{"16 WC 5", "16WC5"},
                                         {"16-WC-5", "16WC5"},
                                         {"16WC005", "16WC5"},
                                         {"16Wc5", "16WC5"},
                                         {"1Tu500", "1TU500"},
                                         {"16WCO5", "16WC5"},
                                         {"161B3", "16IB3"},
                                         {"33R027", "33RO27"},
                                         {"l6IB3", "16IB3"},
                                         {"CA LAN 1", "CA-LAN-1"},
                                         {"CALAN1", "CA-LAN-1"},
                                         {"49ABC12", "49-ABC-12"},
                                         {"49-ABC-12", "49-ABC-12"},
                                         {"RI 12", "RI-12"},
                                         {"CT-7", "CT-7"},
                                         {"7K-A-12", "7K-A-12"},
                                         {"7KA12", "7K-A-12"},
                                         {"VT-CH-61", "VT-CH-61"},
                                         {"AZ U:9:1(ABC)", "AZ U:9:1(ABC)"},
                                         {"AZ BB:13:2", "AZ BB:13:2"},
                                         {"50OA12", "50OA12"},
                                         {"51AA1", ""},
                                         {"0AA1", ""},
                                         {"16W5", ""},
                                         {"16WC", ""},
                                         {"16WC0", ""},
                                         {"2AA1", ""},
                                         {"7K-L-1", ""},
                                         {"AZ GG:1:1", ""},
                                         {"AZ U:17:1", ""},
                                         {"AZ U:9:1(ABC", ""},
                                         {"DC1AA1", ""}})
    EXPECT_EQ(read(any_site(), row.written), row.canonical) << row.written;
}

TEST(Trinomial, LettersOAndIOfACountyAreNeverTakenForDigits) {
  for (const char* number : {"16IB3", "33RO27", "1OI13", "16OI10", "10IO1"}) {
    const auto result = any_site().parse(number);
    const auto* parsed = std::get_if<ParsedNumber>(&result);
    ASSERT_NE(parsed, nullptr) << number;
    EXPECT_EQ(parsed->number.text(), number);
    EXPECT_TRUE(parsed->corrections.empty()) << join(parsed->corrections, "; ");
  }
}

TEST(Trinomial, AHistoricComponentSuffixIsReadWhereTheStandardAllowsIt) {
  SchemePart site = part("site", PartKind::trinomial, "", NumberLevel::site);
  site.alphabet = "AB";
  const Scheme scheme{"sites", {site}};
  EXPECT_EQ(read(scheme, "16WC5A"), "16WC5A");
  EXPECT_EQ(read(scheme, "16wc5b"), "16WC5B");
  EXPECT_EQ(read(scheme, "16WC5"), "16WC5");
  EXPECT_EQ(read(scheme, "16WC5C"), "");
  EXPECT_EQ(read(any_site(), "16WC5A"), "");
}

}  // namespace
}  // namespace sherdmark
