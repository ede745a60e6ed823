#include "architecture/source_rules.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <set>

#include "support/test_support.h"

namespace sherdmark::architecture {
namespace {

std::string lines(const std::vector<std::string>& complaints) {
  std::string text;
  for (const std::string& complaint : complaints) text += complaint + "\n";
  return text;
}

// The project itself.

TEST(OurTree, is_there_to_be_looked_at) {
  const std::vector<SourceFile> files = read_tree(testing::source_dir());
  EXPECT_GT(files.size(), 50U);
  std::set<std::string> layers;
  for (const SourceFile& file : files) layers.insert(layer_of(file.path));
  for (const char* layer :
       {"base", "standard", "catalog", "code", "type", "sheet", "scan", "ledger", "verify", "tools"})
    EXPECT_TRUE(layers.contains(layer)) << layer;
}

TEST(OurTree, has_no_arrow_up_the_layers) { EXPECT_EQ(lines(arrows_up(read_tree(testing::source_dir()))), ""); }

TEST(OurTree, keeps_third_parties_behind_their_adapters) {
  EXPECT_EQ(lines(third_party_leaks(read_tree(testing::source_dir()))), "");
}

TEST(OurTree, has_no_file_over_500_lines) { EXPECT_EQ(lines(too_long(read_tree(testing::source_dir()))), ""); }

TEST(OurTree, begins_threads_in_one_place) { EXPECT_EQ(lines(threads_by_hand(read_tree(testing::source_dir()))), ""); }

TEST(OurTree, builds_every_test_there_is) {
  const std::vector<SourceFile> files = read_tests(testing::source_dir());
  EXPECT_GT(files.size(), 100U);
  EXPECT_EQ(lines(tests_not_built(files)), "");
}

// Planted trees: each gate can fail, and fails for the planted reason only.

struct Planted {
  const char* name;
  std::vector<SourceFile> files;
  std::vector<std::string> (*rule)(const std::vector<SourceFile>&);
  std::string complaint;  // empty: the tree is sound
};

void PrintTo(const Planted& planted, std::ostream* out) { *out << planted.name; }

class PlantedTree : public ::testing::TestWithParam<Planted> {};

TEST_P(PlantedTree, is_judged_as_planted) { EXPECT_EQ(lines(GetParam().rule(GetParam().files)), GetParam().complaint); }

const SourceFile k_text{"lib/include/sherdmark/base/text.h", "#pragma once\n"};
const SourceFile k_judge{"lib/include/sherdmark/verify/judge.h", "#pragma once\n"};

INSTANTIATE_TEST_SUITE_P(
    Arrows, PlantedTree,
    ::testing::Values(
        Planted{"down",
                {k_text, {"lib/code/a.cpp", "#include \"sherdmark/base/text.h\"\n#include <vector>\n"}},
                arrows_up,
                ""},
        Planted{"up",
                {k_judge, {"lib/code/a.cpp", "\n  #  include \"sherdmark/verify/judge.h\"\n"}},
                arrows_up,
                "lib/code/a.cpp:2: code includes lib/include/sherdmark/verify/judge.h, an arrow up to verify\n"},
        Planted{"up_from_a_public_header",
                {k_judge, {"lib/include/sherdmark/base/x.h", "#include \"sherdmark/verify/judge.h\"\n"}},
                arrows_up,
                "lib/include/sherdmark/base/x.h:1: base includes lib/include/sherdmark/verify/judge.h, an arrow up to "
                "verify\n"},
        Planted{"tools_stand_on_top",
                {k_judge, {"tools/sherdmark/a.cpp", "#include \"sherdmark/verify/judge.h\"\n"}},
                arrows_up,
                ""},
        Planted{"private_header_of_another_layer",
                {{"lib/code/grid.h", ""}, {"lib/sheet/a.cpp", "#include \"code/grid.h\"\n"}},
                arrows_up,
                "lib/sheet/a.cpp:1: lib/code/grid.h is private to code\n"},
        Planted{"folder_outside_the_list",
                {{"lib/extra/a.cpp", ""}},
                arrows_up,
                "lib/extra/a.cpp: lies in no layer of the list\n"}),
    [](const auto& row) { return row.param.name; });

INSTANTIATE_TEST_SUITE_P(
    ThirdParties, PlantedTree,
    ::testing::Values(Planted{"adapter",
                              {{"lib/ledger/db.cpp", "#include <sqlite3.h>\n#include <fmt/format.h>\n"}},
                              third_party_leaks,
                              ""},
                      Planted{"in_a_public_header",
                              {{"lib/include/sherdmark/ledger/db.h", "#include <sqlite3.h>\n"}},
                              third_party_leaks,
                              "lib/include/sherdmark/ledger/db.h: a public header shows sqlite3.h of SQLite\n"},
                      Planted{"in_the_wrong_layer",
                              {{"lib/verify/db.cpp", "#include <sqlite3.h>\n"}},
                              third_party_leaks,
                              "lib/verify/db.cpp: sqlite3.h of SQLite does not belong to layer verify\n"},
                      Planted{"through_a_private_header_from_three_files",
                              {{"lib/ledger/db.h", "#include <sqlite3.h>\n"},
                               {"lib/ledger/a.cpp", "#include \"ledger/db.h\"\n"},
                               {"lib/ledger/b.cpp", "#include \"db.h\"\n"},
                               {"lib/ledger/c.cpp", "#include \"ledger/db.h\"\n"}},
                              third_party_leaks,
                              "layer ledger sees SQLite from 3 files, 2 at most: lib/ledger/a.cpp, lib/ledger/b.cpp, "
                              "lib/ledger/c.cpp\n"},
                      Planted{
                          "not_in_the_table",
                          {{"lib/scan/a.cpp", "#include <vector>\n#include <opencv2/core.hpp>\n"}},
                          third_party_leaks,
                          "lib/scan/a.cpp:2: \"opencv2/core.hpp\" is no file of ours, no standard header, and not in "
                          "tests/architecture/third_parties.cpp\n"}),
    [](const auto& row) { return row.param.name; });

INSTANTIATE_TEST_SUITE_P(
    Lengths, PlantedTree,
    ::testing::Values(Planted{"exactly_500", {{"lib/base/a.cpp", std::string(500, '\n')}}, too_long, ""},
                      Planted{"one_too_many",
                              {{"lib/base/a.cpp", std::string(501, '\n')}},
                              too_long,
                              "lib/base/a.cpp: 501 lines, 500 at most; split it by responsibility\n"}),
    [](const auto& row) { return row.param.name; });

INSTANTIATE_TEST_SUITE_P(
    Threads, PlantedTree,
    ::testing::Values(Planted{"in_their_place", {{"lib/base/parallel.cpp", "std::thread t;"}}, threads_by_hand, ""},
                      Planted{
                          "the_calling_one", {{"lib/scan/a.cpp", "std::this_thread::yield();"}}, threads_by_hand, ""},
                      Planted{"by_hand",
                              {{"tools/sherdmark/a.cpp", "auto f = std::async(g);"}},
                              threads_by_hand,
                              "tools/sherdmark/a.cpp: begins a thread with std::async; use Beside or for_each_index of "
                              "sherdmark/base/parallel.h\n"}),
    [](const auto& row) { return row.param.name; });

INSTANTIATE_TEST_SUITE_P(
    Tests, PlantedTree,
    ::testing::Values(Planted{"named",
                              {{"tests/sheet/a_test.cpp", ""}, {"tests/sheet/CMakeLists.txt", "x(SOURCES a_test.cpp)"}},
                              tests_not_built,
                              ""},
                      Planted{"named_in_part",
                              {{"tests/sheet/a_test.cpp", ""}, {"tests/sheet/CMakeLists.txt", "(aa_test.cpp\n)"}},
                              tests_not_built,
                              "tests/sheet/a_test.cpp: tests/sheet/CMakeLists.txt does not name it, so it is never "
                              "run\n"},
                      Planted{"in_a_folder_without_a_list",
                              {{"tests/sheet/a_test.cpp", ""}, {"tests/CMakeLists.txt", "a_test.cpp"}},
                              tests_not_built,
                              "tests/sheet/a_test.cpp: tests/sheet/CMakeLists.txt does not name it, so it is never "
                              "run\n"}),
    [](const auto& row) { return row.param.name; });

TEST(PlantedTree, is_read_from_disk_as_the_real_one_is) {
  const testing::ScratchFolder scratch;
  std::filesystem::create_directories(scratch / "lib/base");
  std::filesystem::create_directories(scratch / "tools");
  std::ofstream{scratch / "lib/base/a.cpp"} << "int x;\n";
  std::ofstream{scratch / "lib/base/notes.md"} << "not a source\n";
  const std::vector<SourceFile> files = read_tree(scratch.path());
  ASSERT_EQ(files.size(), 1U);
  EXPECT_EQ(files[0].path, "lib/base/a.cpp");
  EXPECT_EQ(files[0].text, "int x;\n");
  EXPECT_THROW((void)read_tree(scratch / "nothing"), std::runtime_error);
}

// Headers: the object library sherdmark_headers_alone compiles each one by itself; this proves such a gate can fail.

testing::RunResult compile(const std::string& text) {
  const testing::ScratchFolder scratch;
  std::ofstream{scratch / "alone.cpp"} << text;
  return testing::run({SHERDMARK_CXX, "-std=c++20", "-fsyntax-only", "-I",
                       (testing::source_dir() / "lib/include").string(), (scratch / "alone.cpp").string()});
}

TEST(HeaderAlone, a_header_that_leans_on_another_does_not_compile) {
  EXPECT_NE(compile("std::string leans_on_another();\n").exit_code, 0);
  const testing::RunResult sound = compile("#include \"sherdmark/base/error.h\"\n");
  EXPECT_EQ(sound.exit_code, 0) << sound.err;
}

TEST(HeaderAlone, every_public_header_is_compiled_by_itself) {
#ifdef SHERDMARK_SANITIZED
  GTEST_SKIP() << "other builds compile them; sanitizers have nothing to say to that";
#endif
  std::size_t headers = 0;
  for (const SourceFile& file : read_tree(testing::source_dir())) {
    if (!file.path.starts_with("lib/include/")) continue;
    ++headers;
    std::string name = file.path.substr(std::string{"lib/include/"}.size());
    std::replace(name.begin(), name.end(), '/', '_');
    EXPECT_TRUE(std::filesystem::exists(testing::binary_dir() / "tests/architecture/alone" / (name + ".cpp"))) << name;
  }
  EXPECT_GT(headers, 20U);
}

}  // namespace
}  // namespace sherdmark::architecture
