// Damaged and hostile standards get a clear error: never a crash, never an accepted half.
#include <gtest/gtest.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "standard_samples.h"

namespace sherdmark {
namespace {

// True when it was accepted; a refusal must be a data error with a place and words that are safe to show.
bool is_accepted(const std::string& text) {
  try {
    (void)parse_house_standard(text, "damaged.toml");
    return true;
  } catch (const Error& problem) {
    EXPECT_EQ(problem.family(), ErrorFamily::data) << problem.what();
    EXPECT_EQ(problem.place().file, "damaged.toml");
    EXPECT_FALSE(problem.problem().empty());
    EXPECT_TRUE(is_valid_utf8(problem.what())) << printable(problem.what());
    return false;
  }
}

constexpr const char* k_samples[] = {"quillow_ferry.toml", "ostervane.toml"};

TEST(HostileStandard, NoTruncatedSampleIsTakenForAWholeOne) {
  for (const char* name : k_samples) {
    const std::string whole = sample_text(name);
    const std::size_t last_section = whole.rfind("[tag]");
    int refused = 0;
    for (std::size_t length = 0; length < whole.size(); length += 13) {
      const bool accepted = is_accepted(whole.substr(0, length));
      // Everything up to the tag's fields is required somewhere; the sections behind have defaults.
      if (length < last_section) {
        EXPECT_FALSE(accepted) << name << " cut at " << length;
      }
      refused += accepted ? 0 : 1;
    }
    EXPECT_GT(refused, 100);
  }
}

TEST(HostileStandard, AnyFlippedByteIsReadOrRefused) {
  for (const char* name : k_samples) {
    const std::string whole = sample_text(name);
    int refused = 0;
    for (std::size_t at = 0; at < whole.size(); at += 11) {
      std::string flipped = whole;
      flipped[at] = static_cast<char>(static_cast<unsigned char>(flipped[at]) ^ (1U << (at % 8)));
      refused += is_accepted(flipped) ? 0 : 1;
    }
    EXPECT_GT(refused, 100);
  }
}

TEST(HostileStandard, HugeDeepAndSenselessTextsAreRefused) {
  for (const std::string& text :
       {std::string{}, std::string{"\0\xFF\xFE", 3}, std::string(100'000, '['), "a = " + std::string(100'000, '['),
        std::string(2U << 20U, '#'), std::string(5000, '\n') + "x=", "x." + std::string(20'000, 'y') + " = 1",
        std::string{"standard = 3\nscheme = 4\nrule = [1, 2]\n"}})
    EXPECT_FALSE(is_accepted(text));
}

TEST(HostileStandard, ASchemeTooLargeToCheckIsRefusedQuickly) {
  std::string parts;
  for (int i = 0; i < 12; ++i)
    parts += "[[scheme.part]]\nname = \"p" + std::to_string(i) +
             "\"\nkind = \"free\"\nalphabet = \"ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789\"\nlongest = 64\nseparator = \"" +
             (i == 0 ? "" : "-") + "\"\n";
  EXPECT_FALSE(is_accepted(
      replaced(k_small_standard, "[[scheme.part]]\nname = \"item\"", parts + "[[scheme.part]]\nname = \"item\"")));
}

}  // namespace
}  // namespace sherdmark
