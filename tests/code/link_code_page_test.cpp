// docs/formats/link-code.md is the promise; its worked examples are checked against the code, both ways.
#include <gtest/gtest.h>

#include "sherdmark/base/files.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/cards.h"
#include "sherdmark/code/check_character.h"
#include "sherdmark/code/link_code.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

using Row = std::vector<std::string>;

std::string page() { return read_text(real_file_system(), testing::source_dir() / "docs/formats/link-code.md"); }

// Cells of every row of the table whose header begins with `first`; back quotes are taken off.
std::vector<Row> table_of(const std::string& text, const std::string& first) {
  std::vector<Row> rows;
  bool inside = false;
  for (const std::string& line : split(text, '\n')) {
    if (!line.starts_with("|")) inside = false;
    if (line.starts_with("| " + first + " |")) inside = true;
    if (!inside || line.starts_with("|-") || line.starts_with("| " + first + " |")) continue;
    Row cells;
    for (const std::string& cell : split(line.substr(1, line.rfind('|') - 1), '|')) {
      std::string value{trim(cell)};
      if (value.size() >= 2 && value.front() == '`') value = value.substr(1, value.size() - 2);
      cells.push_back(value);
    }
    rows.push_back(cells);
  }
  return rows;
}

TEST(LinkCodePage, every_worked_example_is_what_the_program_writes_and_reads) {
  const auto rows = table_of(page(), "role");
  ASSERT_GE(rows.size(), 5U);
  for (const Row& row : rows) {
    ASSERT_EQ(row.size(), 9U);
    LinkCode link;
    link.role = parse_role(row[0]).value();
    link.collection_key = row[1];
    link.subject = row[2];
    link.number = row[3];
    link.number_is_opaque = row[4] == "yes";
    link.ordinal = static_cast<int>(parse_integer(row[5]).value());
    link.serial = row[6];
    link.revision = static_cast<int>(parse_integer(row[7]).value());
    EXPECT_EQ(write_link_code(link), row[8]);
    EXPECT_EQ(parse_code_text(row[8]).link, link) << row[8];
  }
}

TEST(LinkCodePage, every_card_of_the_page_is_what_the_program_writes_and_reads) {
  const auto actions = table_of(page(), "action word");
  ASSERT_EQ(actions.size(), all_scan_actions().size());
  for (const Row& row : actions) {
    const ScanAction action = parse_scan_action(row.at(0)).value();
    EXPECT_EQ(write_action_card("K7QD", action), row.at(2));
    EXPECT_EQ(action_of(parse_code_text(row[2]).link.value()), action);
  }
  const auto dividers = table_of(page(), "set");
  ASSERT_GE(dividers.size(), 2U);
  for (const Row& row : dividers) {
    EXPECT_EQ(write_divider("K7QD", row.at(0)), row.at(1));
    EXPECT_EQ(divider_set(parse_code_text(row[1]).link.value()), row[0]);
  }
}

TEST(LinkCodePage, every_worked_micro_code_is_what_the_program_writes_and_reads) {
  const auto rows = table_of(page(), "number on the artifact");
  ASSERT_GE(rows.size(), 4U);
  for (const Row& row : rows) {
    ASSERT_EQ(row.size(), 2U);
    EXPECT_EQ(write_micro_code({row[0]}), row[1]);
    EXPECT_EQ(parse_code_text(row[1]).micro, MicroCodeText{row[0]}) << row[1];
  }
}

TEST(LinkCodePage, every_example_of_a_code_that_is_not_ours_is_called_so) {
  const auto rows = table_of(page(), "text");
  ASSERT_GE(rows.size(), 4U);
  for (const Row& row : rows) {
    const LinkStatus status = parse_code_text(row.at(0)).status;
    const std::string called = status == LinkStatus::damaged ? "damaged"
                               : status == LinkStatus::newer ? "newer"
                                                             : "foreign";
    EXPECT_EQ(called, row.at(1)) << row[0];
    EXPECT_NE(status, LinkStatus::ours);
  }
}

TEST(LinkCodePage, the_escapes_are_the_ones_that_the_page_lists) {
  const auto rows = table_of(page(), "escape");
  ASSERT_GE(rows.size(), 9U);
  for (const Row& row : rows) {
    std::string character = row.at(1);
    if (character == "space") character = " ";
    const std::string text = write_micro_code({character});
    EXPECT_EQ(text.substr(1, text.size() - 3), row[0]);
  }
}

}  // namespace
}  // namespace sherdmark
