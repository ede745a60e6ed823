// The examples that docs/library.md shows are the ones that run here.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

std::string example(const std::string& name) {
  return (binary_dir() / "tests/examples" / ("example_" + name)).string();
}

TEST(Examples, the_library_page_shows_them_word_for_word) {
  const std::string page = read_text(real_file_system(), source_dir() / "docs/library.md");
  for (const char* name : {"make_label_sheet", "read_image", "judge_set"}) {
    const std::string code =
        read_text(real_file_system(), source_dir() / "docs/examples" / (std::string{name} + ".cpp"));
    EXPECT_NE(page.find("```cpp\n" + code + "```"), std::string::npos) << "docs/library.md and docs/examples/" << name;
  }
}

// Judge: pdftotext finds the numbers on the page.
TEST(Examples, a_label_sheet_is_made_and_a_wrong_number_is_refused) {
  const Bench bench;
  const std::string standard = sample("standards/ostervane.toml").string();
  const std::string sheet = bench.path("sheet").string();
  const RunResult made = run({example("make_label_sheet"), standard, sheet, "2031-114-66", "2031-114-67"});
  EXPECT_EQ(made.exit_code, 0) << made.err;
  EXPECT_EQ(made.out, "2 labels on 1 page\n");
  const std::string text = run({"pdftotext", "-layout", sheet + ".pdf", "-"}).out;
  EXPECT_NE(text.find("66"), std::string::npos) << text;
  const auto placements = nlohmann::json::parse(bench.read("sheet.json"));
  EXPECT_EQ(placements["labels"].size(), 2U);
  EXPECT_EQ(run({example("make_label_sheet"), standard, sheet, "seven"}).exit_code, 3);
}

// Judge: qrencode makes the code.
TEST(Examples, codes_of_an_image_are_read_ours_or_foreign) {
  const Bench bench;
  const std::string image = bench.path("x.png").string();
  ASSERT_EQ(run({"qrencode", "-s", "8", "-o", image, "hello"}).exit_code, 0);
  const RunResult read = run({example("read_image"), image});
  EXPECT_EQ(read.exit_code, 0) << read.err;
  EXPECT_EQ(read.out, "qr foreign hello\n");
  EXPECT_EQ(run({example("read_image"), bench.path("none.png").string()}).exit_code, 4);
}

TEST(Examples, a_set_is_judged_with_the_ledger) {
  Bench bench;
  start_collection(bench, small_samples().front());
  bench.expect(0, {"plan"});
  const auto bags = nlohmann::json::parse(
      bench.expect(0, {"labels", "--for", "bags", "--out", "@/s", "--preview-dpi", "200", "--json"}).out);
  const std::string page = bench.path("s/bag-" + bags["run"].get<std::string>() + "-page-1.png").string();
  const RunResult judged = run({example("judge_set"), bench.path("collection.ledger").string(), page});
  EXPECT_EQ(judged.exit_code, 1) << judged.err;
  EXPECT_TRUE(judged.out.starts_with("disagree (")) << "four bags on one picture: " << judged.out;
}

}  // namespace
}  // namespace sherdmark::testing
