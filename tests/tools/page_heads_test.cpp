// One look for every page the tool makes: title, page n of m, date, person, station and the ledger's head; read back by
// poppler, page by page.
#include <gtest/gtest.h>

#include <regex>

#include "tools/season.h"

namespace sherdmark::testing {
namespace {

using PageHeads = Season;

std::vector<std::string> pages_of(const std::filesystem::path& pdf) {
  const auto text = testing::run({"pdftotext", "-layout", pdf.string(), "-"});
  EXPECT_EQ(text.exit_code, 0) << text.err;
  std::vector<std::string> pages = split(text.out, '\f');
  if (!pages.empty() && trim(pages.back()).empty()) pages.pop_back();
  return pages;
}

TEST_F(PageHeads, every_page_says_what_it_is_of_when_whom_and_where_it_was_made_and_from_which_ledger) {
  set_up_collection();
  print_labels("bag");
  find_bags();
  const std::string run = json(0, {"labels", "--for", "artifacts", "--out", "@/pages"})["run"];
  bench_.expect(0, {"printed", run});
  bench_.expect(0, {"bench", "list", run, "--out", "@/pages/bench.pdf"});
  bench_.expect(0, {"bench", "list", bag(1).id, "--out", "@/pages/bench-bag.pdf"});
  (void)bench_.run({"type", "--out", "@/pages"});
  bench_.expect(0, {"box-list", "--out", "@/pages"});
  bench_.expect(0, {"loan", "lend", bag(19).id, "--to", "Invented Coast Museum", "--until", "2031-12-01", "--slip",
                    "@/pages/loan.pdf"});
  for (const char* role : {"removal-slips", "tags", "boxes", "action-cards", "dividers"})
    bench_.expect(0, {"labels", "--for", role, "--out", "@/pages"});
  bench_.expect(0, {"inventory", "numbers", "FIC-2031-", "--count", "3", "--out", "@/pages"});
  bench_.expect(0, {"inventory", "open"});
  bench_.expect(1, {"inventory", "report", "--out", "@/pages"});
  bench_.expect(0, {"audit", "draw", "--size", "3", "--seed", "brushes", "--out", "@/pages"});
  bench_.expect(0, {"audit", "show", "--out", "@/pages"});
  const std::string station = bag(1).id.substr(1, 3);

  std::set<std::string> titles;
  std::size_t files = 0;
  for (const std::string& name : bench_.files()) {
    if (!name.starts_with("pages/") || !name.ends_with(".pdf")) continue;
    ++files;
    for (const std::string& page : pages_of(bench_.path(name))) {
      // Sheets of which every millimetre is needed say some of it at their foot.
      const bool sheet = page.find("Print at 100 %") != std::string::npos;
      const std::string head = sheet ? page : page.substr(0, 900);
      const std::string first = std::string{trim(head.substr(0, head.find('\n')))};
      titles.insert(std::regex_replace(first, std::regex{"(  | run R-| 2031-).*"}, ""));
      for (const char* pattern : {"page [0-9]+ of [0-9]+", "2031-05-0", "by R\\. Quill", "event [0-9]+,? [0-9a-f]{16}"})
        EXPECT_TRUE(std::regex_search(head, std::regex{pattern})) << name << ": " << pattern << "\n" << head;
      EXPECT_NE(head.find("station " + station), std::string::npos) << name << "\n" << head;
    }
  }
  EXPECT_EQ(files, 15U);
  const std::set<std::string> expected{"Artifact labels",
                                       "Audit",
                                       "Bench list",
                                       "Box labels",
                                       "Box list",
                                       "Cutting list",
                                       "Divider cards",
                                       "Interior tags",
                                       "Inventory report",
                                       "Labels for found things",
                                       "Loan",
                                       "Pick list",
                                       "Removal slips",
                                       "Scanner cards",
                                       "Type on artifact labels"};
  EXPECT_EQ(titles, expected);
}

}  // namespace
}  // namespace sherdmark::testing
