// What the hardest pictures cost with the budgets that `check` and `read` have: hard_pictures_bench STANDARD.toml
// [MEGAPIXELS]. Processor time of all threads, and how each search ended. Ends with 1 when a search of texts came to
// its budget and does not say so, for then a picture that was looked at in part would count as looked at.
#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <string>
#include <vector>

#include "scenes/hard_pictures.h"
#include "sherdmark/base/files.h"
#include "sherdmark/scan/codes.h"
#include "sherdmark/scan/label_text.h"

namespace {

using namespace sherdmark;

struct Cost {
  double cpu_s = 0;
  double wall_s = 0;
};

Cost cost_of(const std::function<void()>& act) {
  const std::clock_t cpu = std::clock();
  const auto start = std::chrono::steady_clock::now();
  act();
  const std::chrono::duration<double> wall = std::chrono::steady_clock::now() - start;
  return {static_cast<double>(std::clock() - cpu) / CLOCKS_PER_SEC, wall.count()};
}

// False when it came to its budget and does not say so.
bool search_texts(const LabelTextReader& reader, const std::string& name, const GreyPicture& picture,
                  unsigned threads) {
  std::vector<TextReading> texts;
  const Cost cost = cost_of([&] { texts = reader.search(picture.view(), {.threads = threads}); });
  const bool said = !texts.empty() && gave_up(texts.back());
  fmt::print("{:22} texts, {} thread{:2} {:8.2f} {:8.2f}   {}\n", name, threads, threads == 1 ? "" : "s", cost.cpu_s,
             cost.wall_s, said ? texts.back().why_not : fmt::format("{} places, to the end", texts.size()));
  return said || 1e3 * cost.cpu_s < k_text_budget_ms;
}

void search_codes(const std::string& name, const GreyPicture& picture) {
  std::vector<CodeReading> codes;
  const Cost cost = cost_of([&] { codes = read_codes(picture.view()); });
  fmt::print("{:22} codes            {:8.2f} {:8.2f}   {} read\n", name, cost.cpu_s, cost.wall_s, codes.size());
}

}  // namespace

int main(int count, char** arguments) {
  const std::vector<std::string> words(arguments + 1, arguments + count);
  if (words.empty()) {
    fmt::print("hard_pictures_bench STANDARD.toml [MEGAPIXELS]\n");
    return 2;
  }
  const HouseStandard standard = parse_house_standard(read_text(real_file_system(), words[0]), words[0]);
  const LabelTextReader reader{standard};
  const double megapixels = words.size() > 1 ? std::atof(words[1].c_str()) : 12;
  const int height_px = static_cast<int>(std::sqrt(megapixels * 1e6 * 3 / 4));
  const int width_px = height_px * 4 / 3;
  fmt::print("{} x {} pixels; a budget of {:.1f} s each       cpu s    clock s   how it ended\n", width_px, height_px,
             k_text_budget_ms / 1e3);
  const GreyPicture rules = scenes::full_of_rules(width_px, height_px);
  const GreyPicture patches = scenes::full_of_patches(width_px, height_px);
  bool good = true;
  for (const unsigned threads : {1U, 2U}) {
    good = search_texts(reader, "full of rules", rules, threads) && good;
    good = search_texts(reader, "full of patches", patches, threads) && good;
  }
  search_codes("full of rules", rules);
  search_codes("full of patches", patches);
  return good ? 0 : 1;
}
