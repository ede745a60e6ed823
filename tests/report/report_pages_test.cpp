// Reports on paper, judged by poppler.
#include "sherdmark/report/report_pages.h"

#include <gtest/gtest.h>

#include <fmt/format.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/box_list_report.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

Bytes pdf_of(const Report& report, double height_mm = 297) {
  Bytes bytes;
  write_report_pdf(report, {210, height_mm, "DejaVu Sans"},
                   [&](std::span<const std::byte> some) { bytes.insert(bytes.end(), some.begin(), some.end()); });
  return bytes;
}

std::vector<std::string> text_of_pages(const Report& report, double height_mm = 297) {
  const testing::ScratchFolder scratch;
  const Bytes bytes = pdf_of(report, height_mm);
  real_file_system().write_atomic(scratch / "report.pdf", [&](const ByteSink& sink) { sink(bytes); });
  const auto judged = testing::run({"pdftotext", "-layout", (scratch / "report.pdf").string(), "-"});
  EXPECT_EQ(judged.exit_code, 0);
  std::vector<std::string> pages = split(judged.out, '\f');
  pages.pop_back();  // a form feed ends every page
  return pages;
}

Report sample_report() {
  Report report{{"Inventory", "everything in Room 2", "2031-05-04 13:45 UTC", "R. Quill", "7KM",
                 "M3K7, 7KM event 12, " + std::string(64, 'a'), "Ostervane Repository"},
                {}};
  report.blocks.emplace_back(ReportHeading{"Bags not found"});
  ReportTable table{{{"bag", 1}, {"pieces", 1, ReportCell::right}, {"found", 0.5, ReportCell::tick}}, {}};
  for (int i = 1; i <= 150; ++i) table.rows.push_back({fmt::format("B-7KM-{:05}", i), std::to_string(i), ""});
  report.blocks.emplace_back(table);
  return report;
}

TEST(ReportPages, every_page_says_what_it_is_of_whom_and_how_many_there_are) {
  const auto pages = text_of_pages(sample_report());
  ASSERT_GE(pages.size(), 3U);
  for (std::size_t i = 0; i < pages.size(); ++i)
    for (const std::string& words :
         {std::string{"Inventory"}, std::string{"everything in Room 2"}, std::string{"2031-05-04 13:45 UTC"},
          std::string{"R. Quill"}, std::string{"station 7KM"}, std::string(64, 'a'),
          fmt::format("page {} of {}", i + 1, pages.size())})
      EXPECT_NE(pages[i].find(words), std::string::npos) << words << " on page " << i + 1 << "\n" << pages[i];
}

TEST(ReportPages, a_tables_rows_all_come_once_and_its_heads_on_every_page) {
  const auto pages = text_of_pages(sample_report());
  std::string all;
  for (const std::string& page : pages) {
    EXPECT_NE(page.find("pieces"), std::string::npos);
    all += page;
  }
  for (int i = 1; i <= 150; ++i) {
    const std::string id = fmt::format("B-7KM-{:05}", i);
    const std::size_t at = all.find(id);
    ASSERT_NE(at, std::string::npos) << id;
    EXPECT_EQ(all.find(id, at + 1), std::string::npos) << id;
  }
}

TEST(ReportPages, a_table_that_goes_on_says_what_it_is_about) {
  const auto pages = text_of_pages(sample_report());
  EXPECT_EQ(pages[0].find("(continued)"), std::string::npos);
  for (std::size_t i = 1; i < pages.size(); ++i) {
    const std::size_t title = pages[i].find("Bags not found (continued)");
    ASSERT_NE(title, std::string::npos) << pages[i];
    EXPECT_LT(title, pages[i].find("pieces")) << pages[i];
  }
  Report untitled = sample_report();
  untitled.blocks.erase(untitled.blocks.begin());
  for (const std::string& page : text_of_pages(untitled)) EXPECT_EQ(page.find("(continued)"), std::string::npos);
}

TEST(ReportPages, the_first_lines_of_a_row_stand_on_one_line_whatever_their_size) {
  Report report = sample_report();
  auto& table = std::get<ReportTable>(report.blocks.back());
  table.columns = {{"bag", 1, ReportCell::left, 10, true}, {"pieces", 1, ReportCell::right}, {"what", 1}};
  table.rows = {{"B-7KM-00001", "12", "sherds"}};
  const testing::ScratchFolder scratch;
  const Bytes bytes = pdf_of(report);
  real_file_system().write_atomic(scratch / "report.pdf", [&](const ByteSink& sink) { sink(bytes); });
  const std::string words = testing::run({"pdftotext", "-bbox", (scratch / "report.pdf").string(), "-"}).out;
  // Poppler's boxes reach from the ascent to the descent; the baseline stands in DejaVu at 0.928 of 1.164 em.
  const auto baseline_of = [&words](const std::string& word) {
    const std::size_t end = words.find(">" + word + "<");
    const std::size_t begin = words.rfind("<word", end);
    const auto value = [&](const std::string& name) {
      const std::size_t at = words.find(name + "=\"", begin) + name.size() + 2;
      return std::stod(words.substr(at));
    };
    return value("yMin") + (value("yMax") - value("yMin")) * 0.928 / 1.164;
  };
  EXPECT_NEAR(baseline_of("B-7KM-00001"), baseline_of("12"), 0.15);
  EXPECT_NEAR(baseline_of("12"), baseline_of("sherds"), 0.15);
}

TEST(ReportPages, a_heading_never_stands_alone_at_the_foot_of_a_page) {
  for (int rows = 38; rows < 50; ++rows) {
    Report report = sample_report();
    auto& table = std::get<ReportTable>(report.blocks.back());
    table.rows.resize(static_cast<std::size_t>(rows));
    report.blocks.emplace_back(ReportHeading{"Bags of no record"});
    report.blocks.emplace_back(ReportTable{{{"code", 1}}, {{"first line"}}});
    for (const std::string& page : text_of_pages(report))
      EXPECT_EQ(page.find("Bags of no record") == std::string::npos, page.find("first line") == std::string::npos)
          << rows;
  }
}

TEST(ReportPages, characters_the_font_lacks_come_from_another_font_and_are_not_refused) {
  Report report = sample_report();
  report.blocks = {ReportText{"beads, \u6bcd and \u0e01"}};
  EXPECT_NE(text_of_pages(report).front().find("beads"), std::string::npos);
}

TEST(ReportPages, characters_that_turn_text_round_or_cannot_be_seen_are_written_out) {
  Report report = sample_report();
  const std::string typed = "left\u202Eright\x1b";
  report.head.scope = typed;
  report.blocks = {ReportHeading{typed}, ReportFacts{{{"Seed", typed}}},
                   ReportTable{{{"remarks", 1}}, {{typed + "\nnext"}}}};
  const std::string page = text_of_pages(report).front();
  int found = 0;
  for (std::size_t at = 0; (at = page.find("left\\u{202E}right\\u{001B}", at)) != std::string::npos; ++at) ++found;
  EXPECT_EQ(found, 4) << page;
  EXPECT_NE(page.find("next"), std::string::npos) << page;
}

TEST(ReportPages, the_same_report_is_the_same_bytes) { EXPECT_EQ(pdf_of(sample_report()), pdf_of(sample_report())); }

TEST(ReportPages, a_row_higher_than_a_page_is_shortened_and_says_so) {
  Report report = sample_report();
  std::string much = "first ";
  for (int i = 0; i < 3000; ++i) much += "remark ";
  for (const std::string& words : {much, std::string(100'000, 'W')}) {
    report.blocks = {ReportTable{{{"bag", 1}, {"remarks", 1}}, {{"one", "short"}, {"two", words}, {"three", "last"}}}};
    std::string all;
    for (const std::string& page : text_of_pages(report, 120)) all += page;
    EXPECT_NE(all.find("(shortened)"), std::string::npos) << all;
    EXPECT_NE(all.find(words.substr(0, 5)), std::string::npos);
    EXPECT_NE(all.find("last"), std::string::npos) << "what follows is there";
  }
  report.blocks = {ReportText{much}};
  EXPECT_THROW((void)pdf_of(report, 120), Error) << "our own words are not shortened";
  report.blocks.clear();
  EXPECT_THROW((void)pdf_of(report), Error);
}

TEST(BoxListPages, say_how_many_pieces_there_are_and_never_nought_for_what_nobody_counted) {
  const auto pieces_said = [](const std::vector<std::optional<std::int64_t>>& counts) {
    BoxList list;
    list.box = "Box 3";
    for (const auto& pieces : counts) {
      BoxListLine line;
      line.bag = "B7KM00001";
      line.pieces = pieces;
      list.lines.push_back(line);
    }
    const Report pages = box_list_pages(list, {}, {});
    for (const ReportFact& fact : std::get<ReportFacts>(pages.blocks.front()).facts)
      if (fact.name == "Pieces") return fact.value;
    return std::string{"nothing"};
  };
  EXPECT_EQ(pieces_said({3, 4}), "7");
  EXPECT_EQ(pieces_said({3, std::nullopt}), "3, and what is not counted");
  EXPECT_EQ(pieces_said({std::nullopt, std::nullopt}), "not counted");
  EXPECT_EQ(pieces_said({}), "0");
}

}  // namespace
}  // namespace sherdmark
