// Link codes to QR symbols, one file each, as zint does it in batch: symbols_bench COUNT FOLDER, and writes the texts
// for zint into FOLDER/texts.txt.
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "sherdmark/code/symbol.h"

int main(int argc, char** argv) {
  using namespace sherdmark;  // NOLINT(google-build-using-namespace)
  if (argc != 3) return 2;
  const int count = std::atoi(argv[1]);
  const std::filesystem::path folder = argv[2];
  std::filesystem::create_directories(folder);
  std::ofstream texts{folder / "texts.txt"};
  for (int i = 0; i < count; ++i) {
    const std::string text = "S1K7KMB16ZQ5D" + std::to_string(100000 + i) + "E7KM00042R1X";
    texts << text << '\n';
    const SymbolMatrix symbol = make_qr(text, ErrorLevel::q);
    std::ofstream out{folder / (std::to_string(i) + ".pbm"), std::ios::binary};
    out << "P1\n" << symbol.width_modules << ' ' << symbol.height_modules << '\n';
    for (int y = 0; y < symbol.height_modules; ++y)
      for (int x = 0; x < symbol.width_modules; ++x) out << (symbol.is_dark(x, y) ? '1' : '0');
    out << '\n';
  }
  return 0;
}
