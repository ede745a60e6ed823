// Somebody sits down with a page of the documents and types its commands, one after the other, as they stand there.
// Only names that each collection has of its own are put in: runs, a bag, and the folder of the test.
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>

#include "sherdmark/base/text.h"
#include "tools/bench.h"
#include "tools/shown_commands.h"

namespace sherdmark::testing {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

const std::vector<std::string>& pages_followed() {
  static const std::vector<std::string> pages{"README.md",
                                              "docs/commands.md",
                                              "docs/formats/exit-codes.md",
                                              "docs/guide/first-day.md",
                                              "docs/guide/gluing-and-drying.md",
                                              "docs/guide/inventory-and-audit.md",
                                              "docs/guide/printers-and-scale.md"};
  return pages;
}

class FollowedPage : public ::testing::Test {
 protected:
  FollowedPage() {
    bench_.write("our-standard.toml", read_text(real_file_system(), sample("standards/quillow_ferry.toml")));
    write_catalog(3, 45000);
    fs::create_directories(bench_.path("photos"));
    EXPECT_EQ(run({"qrencode", "-s", "8", "-o", bench_.path("photos/one.png").string(), "not ours"}).exit_code, 0);
  }

  // `labelled` pieces that each get a label, and many of which one in ten gets one.
  void write_catalog(int labelled, int many) {
    bench_.write(
        "our-catalog.csv",
        "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Unit,Level,Bag(s),Home\r\n"
        "16ZQ5/12.66,2031.4,bulk,bowl sherds,ceramic,sound," +
            std::to_string(labelled) +
            ",82,N10E20,2,B1,Room 2/Range A/Shelf 3\r\n"
            "16ZQ5/12.67,2031.4,bulk,body sherds,ceramic,sound," +
            std::to_string(many) + ",41,N10E20,2,B2,Room 2/Range B\r\n");
  }

  // A ledger with the catalog planned, printed and confirmed.
  void start_printed() {
    bench_.expect(0, {"init", "--standard", "@/our-standard.toml"});
    bench_.expect(0, {"intake", "@/our-catalog.csv"});
    bench_.expect(0, {"plan"});
    for (const char* role : {"artifacts", "bags", "tags"}) {
      const ToolRun made = bench_.expect(0, {"labels", "--for", role, "--out", "@/sheets", "--json"});
      bench_.expect(0, {"printed", Json::parse(made.out)["run"]});
    }
  }

  std::string bag() { return Json::parse(bench_.expect(0, {"show", "16ZQ5/12.66", "--json"}).out)["item"]["bags"][0]; }

  // The run of a role whose sheet was drawn first.
  std::string run_of(const std::string& role) {
    for (const std::string& file : bench_.files())
      if (file.starts_with("sheets/" + role + "-R") && file.ends_with(".pdf"))
        return file.substr(role.size() + 8, file.size() - role.size() - 12);
    ADD_FAILURE() << "no sheet of " << role;
    return "R?";
  }

  void scan_sheet(const std::string& pdf, const std::string& picture) {
    const std::string stem = bench_.path(picture).replace_extension().string();
    EXPECT_EQ(run({"pdftoppm", "-r", "600", "-gray", "-png", "-f", "1", "-singlefile", bench_.path(pdf).string(), stem})
                  .exit_code,
              0);
  }

  // Before the command that begins with these words somebody does something: prints, waits, scans.
  void before(const std::string& words, std::function<void()> done) { before_[words] = std::move(done); }

  std::vector<std::string> as_typed_here(const std::vector<std::string>& shown) {
    static const std::vector<std::string> k_take_a_file{"--out",  "--marked", "--set-aside",  "--standard",
                                                        "--scan", "--adopt",  "--placements", "--save"};
    static const std::vector<std::string> k_files{"photos", "sheet.png", "monday.txt", "results.txt"};
    std::vector<std::string> typed;
    for (std::size_t i = 0; i < shown.size(); ++i) {
      std::string word = shown[i];
      for (const auto& [run, role] : runs_)
        if (const std::size_t at = word.find(run); at != std::string::npos) word.replace(at, run.size(), run_of(role));
      if (word == "B-7KM-00042") word = bag();
      if (word == "our-catalog.xlsx") word = "@/our-catalog.csv";
      const bool names_file =
          i > 0 && (std::ranges::count(k_take_a_file, shown[i - 1]) > 0 || std::ranges::count(k_files, word) > 0);
      typed.push_back(names_file ? "@/" + word : word);
    }
    return typed;
  }

  // Commands whose answer may be a finding (exit code 1).
  static bool may_find(const std::string& words) {
    for (const char* command : {"check", "grade", "type", "bench close", "bench bagged", "inventory scan",
                                "inventory pictures", "inventory close", "audit conclude"})
      if (words.starts_with(command)) return true;
    return false;
  }

  void follow(const std::string& page) {
    const std::vector<ShownCommand> commands = commands_of(source_dir() / page);
    ASSERT_FALSE(commands.empty()) << page;
    for (const ShownCommand& command : commands) {
      const std::string words = join(command.arguments, " ");
      for (const auto& [beginning, done] : before_)
        if (words.starts_with(beginning)) done();
      const ToolRun result = bench_.run(as_typed_here(command.arguments));
      EXPECT_TRUE(result.code == 0 || (result.code == 1 && may_find(words)))
          << command.where << ": " << words << "\nexit code " << result.code << "\n"
          << result.out << result.err;
    }
  }

  Bench bench_;
  std::map<std::string, std::string> runs_{{"R7KM00001", "artifact"}, {"R7KM00002", "bag"}, {"R7KM00003", "tag"}};
  std::map<std::string, std::function<void()>> before_;
};

TEST_F(FollowedPage, the_readme) { follow("README.md"); }

TEST_F(FollowedPage, the_first_day) {
  before("labels --for artifacts", [this] {
    bench_.expect(0, {"calibrate", "enter", "--printer", "Front office", "--measured", "177.6,237.1,20.1,19.3"});
  });
  before("bench bagged", [this] { bench_.clock().set(bench_.clock().now() + std::chrono::hours{24}); });
  follow("docs/guide/first-day.md");
  EXPECT_NE(bench_.expect(0, {"history", bag()}).out.find("bagged"), std::string::npos);
}

TEST_F(FollowedPage, gluing_and_drying) {
  runs_["R7KM00003"] = "artifact";
  write_catalog(4, 60);
  start_printed();
  follow("docs/guide/gluing-and-drying.md");
}

TEST_F(FollowedPage, printers_and_scale) {
  bench_.expect(0, {"init", "--standard", "@/our-standard.toml"});
  write_catalog(4, 60);
  bench_.expect(0, {"intake", "@/our-catalog.csv"});
  bench_.expect(0, {"plan"});
  bench_.expect(0, {"labels", "--for", "bags", "--out", "@/sheets"});
  before("calibrate enter --printer Front office --scan",
         [this] { scan_sheet("sheets/calibration-letter-600dpi.pdf", "page.png"); });
  before("grade", [this] { scan_sheet("sheets/bag-" + run_of("bag") + ".pdf", "sheet.png"); });
  follow("docs/guide/printers-and-scale.md");
}

TEST_F(FollowedPage, inventory_and_audit) {
  write_catalog(4, 60);
  start_printed();
  before("inventory scan", [this] { bench_.answer("place Room 2/Range A/Shelf 3\n" + bag() + "\nEND\n"); });
  bench_.write("monday.txt", bag() + "\n");
  bench_.write("results.txt", "#1 correct\n#2 not inspected the shelf was blocked\n");
  follow("docs/guide/inventory-and-audit.md");
}

TEST_F(FollowedPage, the_exit_codes) {
  start_printed();
  follow("docs/formats/exit-codes.md");
}

TEST_F(FollowedPage, the_commands) {
  bench_.expect(0, {"init", "--standard", "@/our-standard.toml"});
  before("standard --adopt", [this] { bench_.write("standard.toml", bench_.expect(0, {"standard", "--source"}).out); });
  follow("docs/commands.md");
}

TEST(Documents, every_page_that_shows_commands_is_followed) {
  for (const ShownCommand& command : all_shown_commands())
    EXPECT_NE(std::ranges::count(pages_followed(), command.page), 0) << command.where << ": nobody follows this page";
}

}  // namespace
}  // namespace sherdmark::testing
