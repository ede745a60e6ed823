// How often print that is none of ours is read as ours: foreign_text_bench STANDARD.toml PICTURES SEED. Each kind so
// many times, in the house font and in others, at 8 to 20 pixels a millimetre. One reading ends with 1.
#include <fmt/format.h>

#include <cstdlib>
#include <string>
#include <vector>

#include "scenes/foreign_text.h"
#include "sherdmark/base/files.h"
#include "sherdmark/scan/label_text.h"

int main(int count, char** arguments) {
  using namespace sherdmark;
  const std::vector<std::string> words(arguments + 1, arguments + count);
  if (words.size() < 3) {
    fmt::print("foreign_text_bench STANDARD.toml PICTURES SEED\n");
    return 2;
  }
  const HouseStandard standard = parse_house_standard(read_text(real_file_system(), words[0]), words[0]);
  const LabelTextReader reader{standard};
  const std::vector<Typeface> faces{Typeface::find(standard.artifact.font), Typeface::find("DejaVu Sans"),
                                    Typeface::find("Liberation Mono")};
  SeededRandom random{std::strtoull(words[2].c_str(), nullptr, 10)};
  int all_read = 0;
  fmt::print("{:18} {:>9} {:>6} {:>17}\n", "kind", "pictures", "read", "unreadable marks");
  for (const scenes::ForeignKind kind : scenes::k_foreign_kinds) {
    const int pictures = std::atoi(words[1].c_str());
    int read = 0, unreadable = 0;
    for (int i = 0; i < pictures; ++i) {
      const double px_per_mm = 8 + static_cast<double>(random.below(13));
      const Typeface& face = faces[static_cast<std::size_t>(i) % faces.size()];
      const GreyPicture picture = scenes::foreign_text(kind, face, px_per_mm, random);
      for (const TextReading& text : reader.search(picture.view(), {.shown = {.px_per_mm = {px_per_mm}}})) {
        ++(text.sure ? read : unreadable);
        if (text.sure) fmt::print("   READ {} ({:.0f} px/mm)\n", text.number, px_per_mm);
      }
    }
    fmt::print("{:18} {:9} {:6} {:17}\n", to_text(kind), pictures, read, unreadable);
    all_read += read;
  }
  return all_read == 0 ? 0 : 1;
}
