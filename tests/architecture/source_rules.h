// The rules of the source tree, as functions from files to complaints, so that they can be tried on planted trees.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace sherdmark::architecture {

struct SourceFile {
  std::string path;  // relative to the top level, with slashes
  std::string text;
};

// Every .h and .cpp under lib/ and tools/ of the tree at `root`, sorted by path.
[[nodiscard]] std::vector<SourceFile> read_tree(const std::filesystem::path& root);
// Every *_test.cpp under tests/, without its text, and every CMakeLists.txt there.
[[nodiscard]] std::vector<SourceFile> read_tests(const std::filesystem::path& root);

// From the ground up; an include may only lead towards the ground.
[[nodiscard]] const std::vector<std::string>& layer_order();

// One third-party library: how its headers begin, and which layers may have an adapter for it.
struct ThirdParty {
  std::string name;
  std::vector<std::string> header_prefixes;
  std::vector<std::string> layers;
};
[[nodiscard]] const std::vector<ThirdParty>& third_parties();

inline constexpr int k_most_adapters = 2;  // .cpp files of one layer that may see one library's headers
inline constexpr int k_most_lines = 500;

// Each complaint is one line: file, line, what is wrong. Empty means the rule holds.
[[nodiscard]] std::vector<std::string> arrows_up(const std::vector<SourceFile>& files);
[[nodiscard]] std::vector<std::string> third_party_leaks(const std::vector<SourceFile>& files);
[[nodiscard]] std::vector<std::string> too_long(const std::vector<SourceFile>& files);
// Threads begin in base/parallel.h only, which sees to it that they do not wait behind the one that starts them.
[[nodiscard]] std::vector<std::string> threads_by_hand(const std::vector<SourceFile>& files);
// A test that its folder's CMakeLists.txt does not name is never run, and nobody sees it fail.
[[nodiscard]] std::vector<std::string> tests_not_built(const std::vector<SourceFile>& files);

// The layer a file belongs to: its folder under lib/, lib/include/sherdmark/ or "tools"; empty if none.
[[nodiscard]] std::string layer_of(std::string_view path);

}  // namespace sherdmark::architecture
