// The sample catalogs hold what samples/README.md says, and reading them finds what is planted and nothing else.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

HouseStandard standard_named(const std::string& name) {
  return parse_house_standard(read_text(real_file_system(), testing::sample("standards/" + name)), name);
}

CatalogReading read_sample(const std::string& file, const std::string& standard) {
  const Bytes bytes = real_file_system().read(testing::sample(file), k_text_file_limit_bytes);
  return read_catalog(read_table(bytes, file), standard_named(standard));
}

std::string describe_all(const CatalogReading& reading) {
  std::string text;
  for (const CatalogProblem& problem : reading.problems)
    text += fmt::format("row {} {} \"{}\": {}\n", problem.row, problem.column, printable(problem.value), problem.what);
  return text;
}

const CatalogRow& row_of(const CatalogReading& reading, const std::string& number) {
  const auto row = std::find_if(reading.rows.begin(), reading.rows.end(),
                                [&number](const CatalogRow& r) { return r.number.text() == number; });
  if (row == reading.rows.end()) throw std::runtime_error("not in the catalog: " + number);
  return *row;
}

RuleOutcome outcome_of(const HouseStandard& standard, const CatalogRow& row) {
  return decide_label(standard, {row.kind, row.material.str(), row.object.str(), row.surface.str(), row.largest_mm,
                                 row.flags, row.count});
}

TEST(QuillowFerry, IsReadWithoutASingleProblemOrWarning) {
  const CatalogReading reading = read_sample("quillow_ferry/catalog.csv", "quillow_ferry.toml");
  EXPECT_EQ(reading.problems.size(), 0U) << describe_all(reading);
  EXPECT_EQ(reading.rows.size(), 76U);
  std::set<std::string> lots;
  const HouseStandard standard = standard_named("quillow_ferry.toml");
  for (const CatalogRow& row : reading.rows)
    if (const auto lot = standard.scheme(row.number.scheme()).up_to(row.number, NumberLevel::lot);
        lot && lot->level() == NumberLevel::lot)
      lots.insert(lot->text());
  EXPECT_EQ(lots.size(), 15U);
}

TEST(QuillowFerry, HoldsTheSpecialCasesOfItsReadme) {
  const CatalogReading reading = read_sample("quillow_ferry/catalog.csv", "quillow_ferry.toml");
  EXPECT_EQ(row_of(reading, "16ZQ5/2.1").bags, (std::vector<BagShare>{{"B7", 120}, {"B8", 227}}));
  std::map<std::string, int> items_in;
  for (const CatalogRow& row : reading.rows)
    for (const BagShare& bag : row.bags) ++items_in[bag.mark];
  EXPECT_EQ(items_in.at("B1"), 3);
  EXPECT_EQ(row_of(reading, "16ZQ5/3.4").assembly, row_of(reading, "16ZQ5/6.2").assembly);
  EXPECT_EQ(row_of(reading, "16ZQ5/4.2").former_numbers, (std::vector<std::string>{"QF-77-12", "X 114"}));
  EXPECT_EQ(row_of(reading, "16ZQ5/4.3").status, "on loan");
  EXPECT_EQ(row_of(reading, "16ZQ5/1.4").largest_mm, 9);
  EXPECT_EQ(row_of(reading, "16ZQ5/3.3").kind, ItemKind::sample);
  EXPECT_EQ(row_of(reading, "16ZQ5/1.1").excavators, "Renée Fontenotte; Iñaki Oyarzún");
  EXPECT_EQ(row_of(reading, "16ZQ5/7.2").bags.size(), 2U);
  EXPECT_FALSE(row_of(reading, "16ZQ5/1.7").count);
  EXPECT_EQ(row_of(reading, "IF-2031-101").remarks, "-10 cm below the walk; +N20E15 of the gate");
  EXPECT_FALSE(row_of(reading, "16ZQ5/1.1").extra.empty());
}

TEST(QuillowFerry, TheStandardDecidesEachSpecialCase) {
  struct Row {
    const char* number;
    LabelDecision decision;
    std::int64_t labels;
    Numbering numbering;
  };
  using enum LabelDecision;
  using enum Numbering;
  const HouseStandard standard = standard_named("quillow_ferry.toml");
  const CatalogReading reading = read_sample("quillow_ferry/catalog.csv", "quillow_ferry.toml");
  for (const Row& row : std::vector<Row>{{"16ZQ5/2.1", direct, 35, shared},       // one in ten of 347
                                         {"16ZQ5/3.4", direct, 5, sub_numbered},  // half of the mended vessel
                                         {"16ZQ5/4.1", direct, 4, sub_numbered},  // four pieces
                                         {"16ZQ5/1.1", direct, 1, shared},        // one piece needs no piece number
                                         {"16ZQ5/1.4", tag_only, 0, shared},      // the bead
                                         {"16ZQ5/1.6", tag_only, 0, shared},      // iron
                                         {"16ZQ5/3.5", tag_only, 0, shared},      // leather
                                         {"16ZQ5/3.7", tag_only, 0, shared},      // waxed
                                         {"16ZQ5/3.3", tag_only, 0, shared},      // soil
                                         {"16ZQ5/5.3", tag_only, 0, shared},      // 12.6 mm
                                         {"16ZQ5/5.4", direct, 1, shared},        // 12.7 mm
                                         {"16ZQ5/7.4", tag_only, 0, shared},      // not measured
                                         {"16ZQ66/66.1", never, 0, shared},       // restricted care
                                         {"16ZQ66/66.4", never, 0, shared},
                                         {"IF-2031-007", direct, 1, shared}}) {
    const RuleOutcome outcome = outcome_of(standard, row_of(reading, row.number));
    EXPECT_EQ(outcome.decision, row.decision) << row.number << " by " << outcome.rule;
    EXPECT_EQ(outcome.labels, row.labels) << row.number;
    if (row.decision == direct) {
      EXPECT_EQ(outcome.numbering, row.numbering) << row.number;
    }
  }
}

TEST(QuillowFerry, EveryPlantedFaultOfTheDamagedCatalogIsFoundAndNoOther) {
  const CatalogReading reading = read_sample("quillow_ferry/damaged.csv", "quillow_ferry.toml");
  std::set<std::size_t> planted_rows;
  int planted = 0;
  for (const std::string& line :
       split(read_text(real_file_system(), testing::sample("quillow_ferry/damaged.txt")), '\n')) {
    if (line.empty() || line[0] == '#') continue;
    const std::vector<std::string> cells = split(line, '\t');
    ASSERT_EQ(cells.size(), 6U) << line;
    const auto row = static_cast<std::size_t>(parse_integer(cells[0]).value());
    const Severity severity = cells[2] == "problem" ? Severity::problem : Severity::warning;
    ++planted;
    planted_rows.insert(row);
    const bool found =
        std::any_of(reading.problems.begin(), reading.problems.end(), [&](const CatalogProblem& problem) {
          return problem.row == row && problem.severity == severity &&
                 (problem.column == cells[1] || problem.column.empty());
        });
    EXPECT_TRUE(found) << line << "\nfound instead:\n" << describe_all(reading);
  }
  EXPECT_GE(planted, 12);
  for (const CatalogProblem& problem : reading.problems)
    EXPECT_TRUE(planted_rows.contains(problem.row) || problem.severity == Severity::warning)
        << problem.row << ": " << problem.what;
}

TEST(Ostervane, TheWorkbookAndTheTextHoldTheSameFinds) {
  const CatalogReading text = read_sample("ostervane/catalog.csv", "ostervane.toml");
  const CatalogReading workbook = read_sample("ostervane/catalog.xlsx", "ostervane.toml");
  EXPECT_EQ(text.problems.size(), 0U) << describe_all(text);
  EXPECT_TRUE(workbook.good()) << describe_all(workbook);
  EXPECT_EQ(text.table.separator, ';');
  ASSERT_EQ(text.rows.size(), 25U);
  ASSERT_EQ(workbook.rows.size(), 25U);
  for (std::size_t i = 0; i < text.rows.size(); ++i) {
    const CatalogRow& a = text.rows[i];
    const CatalogRow& b = workbook.rows[i];
    EXPECT_EQ(a.number, b.number);
    EXPECT_EQ(a.count, b.count) << a.number.text();
    EXPECT_EQ(a.weight_g, b.weight_g) << a.number.text();
    EXPECT_EQ(a.largest_mm, b.largest_mm) << a.number.text();
    EXPECT_EQ(a.date, b.date) << a.number.text();
    EXPECT_EQ(a.excavators, b.excavators);
    EXPECT_EQ(a.extra, b.extra);
  }
}

}  // namespace
}  // namespace sherdmark
