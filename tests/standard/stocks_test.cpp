// Stocks: what a standard may say about them, and what is left of a label to print on.
#include <gtest/gtest.h>

#include <string>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/standard/house_standard.h"
#include "standard_samples.h"

namespace sherdmark {
namespace {

// The sample with `more` in front of its printer section: sections of its own.
std::string with(const std::string& more, const std::string& keys_of_tag = {}) {
  std::string text = sample_text("ostervane.toml");
  const std::size_t at = text.find("[printer]");
  text.insert(at, more + "\n");
  if (!keys_of_tag.empty()) text.insert(text.find("\n", text.find("\n[tag]") + 1) + 1, keys_of_tag + "\n");
  return text;
}

std::string refusal(const std::string& text) {
  try {
    (void)parse_house_standard(text, "house.toml");
  } catch (const Error& error) {
    return error.what();
  }
  return {};
}

constexpr const char* k_tags = R"(
[[stock]]
name = "tags"
kind = "die-cut"
width_mm = 210
height_mm = 297
columns = 2
rows = 5
label_width_mm = 90
label_height_mm = 50
first_left_mm = 10
first_top_mm = 15
pitch_x_mm = 95
pitch_y_mm = 53
tolerance_mm = 1.5
clear_mm = 2
material = "film"
wet_safe = true
)";

HouseStandard on_tags(const std::string& holes, const std::string& keys = {}) {
  std::string text = with(std::string{k_tags} + holes, "stock = \"tags\"\n" + keys);
  text.erase(text.find("width_mm = 65\nheight_mm = 42\n"), 29);
  return parse_house_standard(text, "house.toml");
}

TEST(Stocks, a_die_cut_label_has_the_size_of_its_die_and_keeps_the_tolerance_clear_on_all_sides) {
  const HouseStandard standard = on_tags("");
  EXPECT_DOUBLE_EQ(standard.tag.width_mm, 90);
  EXPECT_DOUBLE_EQ(standard.tag.height_mm, 50);
  for (const double inset : {standard.tag.inset_left_mm, standard.tag.inset_right_mm, standard.tag.inset_top_mm,
                             standard.tag.inset_bottom_mm})
    EXPECT_NEAR(inset, 1.5, 1e-9);
  EXPECT_EQ(standard.stock_of(LabelRole::tag).name, "tags");
  EXPECT_EQ(standard.stock_of(LabelRole::bag).name, "A4");
}

// By hand: a hole of 6 mm round (8, 25) with 2 mm clear reaches from 3 to 13 mm; right of it 90 - 13 - 1.5 mm are left.
TEST(Stocks, beside_an_eyelet_the_print_begins_where_its_clear_paper_ends) {
  const HouseStandard standard = on_tags("[[stock.hole]]\nx_mm = 8\ny_mm = 25\ndiameter_mm = 6\n");
  EXPECT_NEAR(standard.tag.inset_left_mm, 13, 1e-9);
  EXPECT_NEAR(standard.tag.inset_right_mm, 1.5, 1e-9);
  EXPECT_NEAR(standard.tag.inset_top_mm, 1.5, 1e-9);
}

// By hand: a fold 20 mm from the top leaves 22 to 48.5 mm below and 1.5 to 18 mm above; below is larger.
TEST(Stocks, a_folded_label_is_printed_on_its_larger_face_only) {
  const HouseStandard standard = on_tags("[[stock.fold]]\nfrom_top_mm = 20\n");
  EXPECT_NEAR(standard.tag.inset_top_mm, 22, 1e-9);
  EXPECT_NEAR(standard.tag.inset_bottom_mm, 1.5, 1e-9);
}

TEST(Stocks, a_role_that_must_be_wet_safe_takes_only_stock_that_is) {
  EXPECT_TRUE(on_tags("", "needs_wet_safe = true").tag.needs_wet_safe);
  EXPECT_NE(refusal(with("", "needs_wet_safe = true")).find("\"A4\" is not wet-safe"), std::string::npos);
}

TEST(Stocks, what_cannot_be_is_refused_in_words) {
  const auto stock = [](const std::string& keys) {
    return with("[[stock]]\nname = \"s\"\nmaterial = \"m\"\n" + keys + "\n");
  };
  const std::string tags = k_tags;
  const auto changed = [&](const std::string& from, const std::string& to) {
    std::string text = tags;
    text.replace(text.find(from), from.size(), to);
    return with(text);
  };
  struct Row {
    std::string text;
    std::string said;
  };
  const Row rows[] = {
      {stock("kind = \"sheet\"\nwidth_mm = 100"), "A sheet needs its height."},
      {stock("kind = \"roll\"\nwidth_mm = 100\nheight_mm = 50"), "A roll or strip has no length of its own"},
      {stock("kind = \"roll\"\nwidth_mm = 15"), "The margins leave 9.0 mm of the width."},
      {stock("kind = \"sheet\"\nwidth_mm = 100\nheight_mm = 90\nlabel_width_mm = 40"),
       "Only die-cut labels lie on a grid."},
      {stock("kind = \"die-cut\"\nwidth_mm = 100\nheight_mm = 90"), "Die-cut labels need their size."},
      {stock("kind = \"sheet\"\nwidth_mm = 100\nheight_mm = 90\n[[stock.fold]]"), "A fold is level or upright."},
      {stock("kind = \"sheet\"\nwidth_mm = 100\nheight_mm = 90\n[[stock.fold]]\nfrom_top_mm = 5\nfrom_left_mm = 5"),
       "A fold is level or upright."},
      {stock("kind = \"sheet\"\nwidth_mm = 100\nheight_mm = 90\n[[stock]]\nname = \"s\"\nmaterial = \"m\"\nwidth_mm = "
             "90\nheight_mm = 90"),
       "Two stocks have this name."},
      {changed("pitch_x_mm = 95", "pitch_x_mm = 80"), "The labels would overlap"},
      {changed("rows = 5", "rows = 6"), "The labels reach 195.0 × 330.0 mm, the sheet is 210.0 × 297.0 mm."},
      {changed("first_left_mm = 10", "first_left_mm = 1"), "The outer labels reach into the margin"},
      {with("", "stock = \"nothing\""), "There is no stock \"nothing\"."},
      {with(tags, "stock = \"tags\""), "The label is 65.0 mm, the die-cut label of \"tags\" is 90.0 mm."},
      {with("[[stock]]\nname = \"s\"\nkind = \"roll\"\nwidth_mm = 60\nmaterial = \"m\"", "stock = \"s\""),
       "A label of 65.0 × 42.0 mm does not fit the 54.0 × 42.0 mm that \"s\" leaves"},
      {with("[[stock]]\nname = \"s\"\nkind = \"strip\"\nwidth_mm = 40\nmaterial = \"m\"", "stock = \"s\""),
       "A label of 65.0 × 42.0 mm does not fit the 65.0 × 34.0 mm that \"s\" leaves"},
      {with("[[stock]]\nname = \"s\"\nkind = \"roll\"\nwidth_mm = 80\nmaterial = \"m\"\n[[stock.hole]]\nx_mm = 32\n"
            "y_mm = 21\ndiameter_mm = 50",
            "stock = \"s\""),
       "Holes, folds and tolerance of the stock \"s\" leave at most"},
  };
  for (const Row& row : rows)
    EXPECT_NE(refusal(row.text).find(row.said), std::string::npos) << row.said << "\n" << refusal(row.text);
}

TEST(FieldNumbers, are_a_text_and_a_running_number_and_nothing_else_reads_as_one) {
  const FieldNumbering plain{.prefix = "FS ", .digits = 0, .smallest = 1, .largest = 9999, .block = 50};
  EXPECT_EQ(plain.number(101), "FS 101");
  EXPECT_EQ(plain.running("FS 101"), 101);
  const FieldNumbering padded{.prefix = "V-", .digits = 4, .smallest = 1, .largest = 9999, .block = 50};
  EXPECT_EQ(padded.number(7), "V-0007");
  EXPECT_EQ(padded.running("V-0007"), 7);
  for (const char* other : {"FS101", "FS 0101", "FS 0", "FS 10000", "FS -1", "fs 101", "FS ", "V-7", ""})
    EXPECT_FALSE(plain.running(other)) << other;
}

TEST(FieldNumbers, a_numbering_that_contradicts_itself_is_refused) {
  const auto numbering = [](const std::string& keys) {
    std::string text = sample_text("ostervane.toml");
    const std::string own = "prefix = \"V-\"\ndigits = 4\nlargest = 9999\n";
    return text.replace(text.find(own), own.size(), keys + "\n");
  };
  for (const auto& [keys, said] : {std::pair{"prefix = \" \"", "Without a text before it"},
                                   {"prefix = \" V\"", "cannot begin with a space"},
                                   {"smallest = 20\nlargest = 10", "larger than the largest"},
                                   {"digits = 2\nlargest = 100", "more digits than this"}})
    EXPECT_NE(refusal(numbering(keys)).find(said), std::string::npos) << keys;
}

}  // namespace
}  // namespace sherdmark
