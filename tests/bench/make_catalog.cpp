// The invented catalog of the benchmarks on standard output: make_catalog ROWS
#include <cstdio>
#include <cstdlib>

#include "bench/large_catalog.h"

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  const std::string text = sherdmark::testing::large_catalog(std::atoi(argv[1]));
  return std::fwrite(text.data(), 1, text.size(), stdout) == text.size() ? 0 : 1;
}
