// Where the time of a picture goes: decoding, codes, texts, and all of it as `check` does it, one after the other in
// one thread and as it is done. Least of several rounds, processor time of all threads and time by the clock.
//
//   reading_bench STANDARD.toml ROUNDS PICTURE...
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <string>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/scan/codes.h"
#include "sherdmark/scan/image.h"
#include "sherdmark/scan/label_text.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/verify/read_labels.h"
#include "verify/sift_texts.h"

namespace {

using namespace sherdmark;

struct Cost {
  double cpu_ms = 1e9;
  double wall_ms = 1e9;
};

Cost least_of(int rounds, const std::function<void()>& act) {
  Cost least;
  for (int i = 0; i < rounds; ++i) {
    const std::clock_t cpu = std::clock();
    const auto start = std::chrono::steady_clock::now();
    act();
    const std::chrono::duration<double, std::milli> wall = std::chrono::steady_clock::now() - start;
    least.cpu_ms = std::min(least.cpu_ms, 1e3 * static_cast<double>(std::clock() - cpu) / CLOCKS_PER_SEC);
    least.wall_ms = std::min(least.wall_ms, wall.count());
  }
  return least;
}

}  // namespace

int main(int count, char** arguments) {
  const std::vector<std::string> words(arguments + 1, arguments + count);
  if (words.size() < 3) {
    fmt::print("reading_bench STANDARD.toml ROUNDS PICTURE...\n");
    return 2;
  }
  const int rounds = std::atoi(words[1].c_str());
  const HouseStandard standard = parse_house_standard(read_text(real_file_system(), words[0]), words[0]);
  const LabelTextReader reader{standard};
  fmt::print("{:>8} {:>8} {:>8} {:>8} {:>8}  ms of CPU (all also by the clock)\n", "decode", "codes", "texts", "all",
             "clock");
  for (std::size_t i = 2; i < words.size(); ++i) {
    const Bytes bytes = real_file_system().read(words[i], std::size_t{1} << 30U);
    const std::vector<ImagePage> pages = read_image(bytes, words[i]);
    const GreyView view = pages.front().grey.view();
    const ShownByCodes shown = shown_by_codes(read_codes(view), view, standard);
    const Cost decode = least_of(rounds, [&] { (void)read_image(bytes, words[i]); });
    const Cost codes = least_of(rounds, [&] {
      (void)read_codes(view, {.nothing_missing = [](const auto& found) { return found.size() >= 2; }});
    });
    const Cost texts = least_of(rounds, [&] { (void)reader.search(view, TextSearch{.shown = shown}); });
    const Cost all = least_of(rounds, [&] { (void)read_labels(bytes, words[i], reader, standard, {}, false, 2); });
    fmt::print("{:8.1f} {:8.1f} {:8.1f} {:8.1f} {:8.1f}  {}\n", decode.cpu_ms, codes.cpu_ms, texts.cpu_ms, all.cpu_ms,
               all.wall_ms, words[i]);
  }
  return 0;
}
