// What a house standard cannot draw is said before there is a ledger with it.
#include <gtest/gtest.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/files.h"
#include "sherdmark/ledger/try_standard.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

std::string sample_text(const std::string& name) {
  return read_text(real_file_system(), testing::sample("standards/" + name));
}

struct Change {
  std::string find, replacement;
};

std::string changed(const std::vector<Change>& changes) {
  std::string text = sample_text("ostervane.toml");
  for (const Change& change : changes) {
    const std::size_t at = text.find(change.find);
    EXPECT_NE(at, std::string::npos) << change.find;
    text.replace(at, change.find.size(), change.replacement);
  }
  return text;
}

TEST(TryStandard, of_the_samples_every_sheet_can_be_drawn) {
  for (const std::string name : {"ostervane.toml", "quillow_ferry.toml"})
    EXPECT_EQ(try_standard(parse_house_standard(sample_text(name), name), name), std::vector<std::string>{}) << name;
}

TEST(TryStandard, what_no_sheet_of_a_role_could_hold_is_refused_with_file_role_and_remedy) {
  struct Row {
    std::vector<Change> changes;
    std::string said;
    int exit_code;
  };
  const Row rows[] = {
      {{{"module_mm = 0.45", "module_mm = 2"}}, "no bag labels could be drawn by this house standard: ", 3},
      {{{"module_mm = 0.34", "module_mm = 1.2"}}, "no interior tags could be drawn", 3},
      {{{"font = \"DejaVu Sans\"", "font = \"Nonesuch Grotesk\""}}, "\"Nonesuch Grotesk\" is not installed", 4},
      {{{"font = \"Hack\"", "font = \"Nonesuch Mono\""}}, "\"Nonesuch Mono\" is not installed", 4},
      {{{"repository = \"Ostervane District Finds Depot\"", "repository = \"" + std::string(100'000, 'n') + "\""}},
       "\"standard.repository\" is 100000 characters long",
       3},
      {{{"name = \"Ostervane house standard\"", "name = \"" + std::string(5'000, 'n') + "\""}},
       "\"standard.name\" is 5000 characters long",
       3},
      {{{"width_mm = 210", "width_mm = 62"}, {"widest_mm = 18", "widest_mm = 15"}},
       "no artifact labels could be drawn",
       3},
      {{{"\"Nothing is bagged before it is dry.\"", "\"" + std::string(3'000, 'n') + "\""}},
       "no artifact labels could be drawn",
       3},
      {{{"material = \"acid-free card", "material = \"acid-free card " + std::string(600, 'n')}},
       "Shorten the paper's material",
       3},
      {{{"rule_mm = 0.15", "rule_mm = 0.5"}},
       "runs into the line below it. Set artifact_label.rule_mm to 0.32 or less",
       3},
      {{{"prefix = \"V-\"", "prefix = \"" + std::string(50, 'V') + "-\""}}, "no field tags could be drawn", 3},
      {{{"alphabet = \"abcdefghjkmnpqrstuvwxyz\"", "alphabet = \"abcאב\""},
        {"font = \"Hack\"", "font = \"DejaVu Sans\""}},
       "numbers of the scheme \"finds\" can have \"א\" (U+05D0), and numbers are printed and read from left to right",
       3},
      {{{"choices = [\"P\", \"M\", \"C14\"]", "choices = [\"P\", \"M\", \"C14\", \"e\u0301\"]"}}, "(U+0301)", 3},
      {{{"alphabet = \"abcdefghjkmnpqrstuvwxyz\"", "alphabet = \"abc陶\""}},
       "(U+9676), which the font Hack has not",
       3},
  };
  for (const Row& row : rows) {
    const std::string text = changed(row.changes);
    try {
      (void)try_standard(parse_house_standard(text, "odd.toml"), "odd.toml");
      ADD_FAILURE() << "accepted: " << row.said;
    } catch (const Error& error) {
      EXPECT_EQ(error.exit_code(), row.exit_code) << error.what();
      EXPECT_NE(std::string{error.what()}.find(row.said), std::string::npos) << row.said << "\n" << error.what();
      if (row.exit_code == 3) {
        EXPECT_TRUE(std::string{error.what()}.find("odd.toml") != std::string::npos) << error.what();
      }
    }
  }
}

TEST(TryStandard, a_longest_number_that_fits_no_label_is_told_and_the_standard_taken) {
  const std::string text = changed({{"longest = 2\n", "longest = 40\n"}});
  const std::vector<std::string> told = try_standard(parse_house_standard(text, "odd.toml"), "odd.toml");
  ASSERT_FALSE(told.empty());
  EXPECT_NE(told.front().find("will be refused"), std::string::npos) << told.front();
}

}  // namespace
}  // namespace sherdmark
