// Runs a fuzz target without libFuzzer: every file of its corpus, and for each a few hundred seeded changes (bytes
// replaced, cut, doubled), so that it is a plain test. Usage: TARGET CORPUS_FOLDER…
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "sherdmark/base/random.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

constexpr int k_changes = 300;
constexpr std::size_t k_work_bytes = 4U << 20U;  // of changed inputs for one seed: large seeds get fewer changes

using Input = std::vector<std::uint8_t>;

Input changed(Input input, sherdmark::RandomSource& random) {
  const std::uint64_t edits = 1 + random.below(8);
  for (std::uint64_t i = 0; i < edits && !input.empty(); ++i) {
    const std::size_t at = random.below(input.size());
    const auto here = input.begin() + static_cast<std::ptrdiff_t>(at);
    switch (random.below(5)) {
      case 0:
        *here = static_cast<std::uint8_t>(random.next());
        break;
      case 1:
        *here = static_cast<std::uint8_t>(*here ^ (1U << random.below(8)));
        break;
      case 2:
        input.erase(here,
                    here + static_cast<std::ptrdiff_t>(std::min<std::size_t>(1 + random.below(16), input.size() - at)));
        break;
      case 3:
        input.insert(here, *here);
        break;
      default:
        input.resize(at);
        break;
    }
  }
  return input;
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<std::filesystem::path> files;
  for (int i = 1; i < argc; ++i) {
    const std::size_t before = files.size();
    if (std::filesystem::is_directory(argv[i]))
      for (const auto& entry : std::filesystem::directory_iterator{argv[i]})
        if (entry.is_regular_file()) files.push_back(entry.path());
    if (files.size() == before) {
      std::fprintf(stderr, "no corpus in %s\n", argv[i]);
      return 1;
    }
  }
  std::sort(files.begin(), files.end());
  if (files.empty()) {
    std::fputs("no corpus folder was named\n", stderr);
    return 1;
  }
  std::size_t runs = 0;
  for (const auto& file : files) {
    std::ifstream in{file, std::ios::binary};
    const Input seed{std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}};
    LLVMFuzzerTestOneInput(seed.data(), seed.size());
    ++runs;
    sherdmark::SeededRandom random{seed.size()};
    const auto changes = std::min<std::size_t>(k_changes, k_work_bytes / (seed.size() + 1) + 5);
    for (std::size_t i = 0; i < changes; ++i, ++runs) {
      const Input input = changed(seed, random);
      LLVMFuzzerTestOneInput(input.data(), input.size());
    }
  }
  std::printf("%zu files, %zu runs\n", files.size(), runs);
  return 0;
}
