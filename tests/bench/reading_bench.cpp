// Where the time of a picture goes: decoding, codes, texts, and all of it as `check` does it with two threads. For
// every picture and stage the processor time of all threads and the time by the clock; how often and how long each is
// done is up to the options of google-benchmark.
//
//   reading_bench STANDARD.toml PICTURE... [--benchmark_filter=texts --benchmark_repetitions=9 --benchmark_format=json
//   …]
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <filesystem>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/base/heap.h"
#include "sherdmark/scan/codes.h"
#include "sherdmark/scan/image.h"
#include "sherdmark/scan/label_text.h"
#include "sherdmark/standard/house_standard.h"
#include "sherdmark/verify/read_labels.h"
#include "verify/sift_texts.h"

namespace {

using namespace sherdmark;

// A picture as each stage finds it.
struct Subject {
  std::string file;
  Bytes bytes;
  GreyPicture grey;
  ShownByCodes shown;
};

Subject subject_of(const std::string& file, const HouseStandard& standard) {
  Subject subject{file, real_file_system().read(file, std::size_t{1} << 30U), {}, {}};
  subject.grey = std::move(read_image(subject.bytes, file).front().grey);
  subject.shown = shown_by_codes(read_codes(subject.grey.view()), subject.grey.view(), standard);
  return subject;
}

void add(const std::string& stage, const Subject& subject, const std::function<void()>& act) {
  const std::string name = fmt::format("{}/{}", stage, std::filesystem::path{subject.file}.filename().string());
  benchmark::RegisterBenchmark(name.c_str(),
                               [act](benchmark::State& state) {
                                 for (auto round : state) {
                                   (void)round;
                                   act();
                                 }
                               })
      ->Unit(benchmark::kMillisecond)
      ->MeasureProcessCPUTime()
      ->UseRealTime();
}

void add_stages(const Subject& subject, const LabelTextReader& reader, const HouseStandard& standard) {
  const auto two_read = [](const std::vector<CodeReading>& found) { return found.size() >= 2; };
  add("decode", subject, [&] { benchmark::DoNotOptimize(read_image(subject.bytes, subject.file)); });
  add("codes", subject,
      [&, two_read] { benchmark::DoNotOptimize(read_codes(subject.grey.view(), {.nothing_missing = two_read})); });
  add("texts", subject,
      [&] { benchmark::DoNotOptimize(reader.search(subject.grey.view(), TextSearch{.shown = subject.shown})); });
  add("all", subject,
      [&] { benchmark::DoNotOptimize(read_labels(subject.bytes, subject.file, reader, standard, {}, false, 2)); });
}

}  // namespace

int main(int count, char** arguments) {
  take_memory_in_large_pages();  // as the tool does
  benchmark::Initialize(&count, arguments);  // takes its own options out
  const std::vector<std::string> words(arguments + 1, arguments + count);
  if (words.size() < 2) {
    fmt::print("reading_bench STANDARD.toml PICTURE... [--benchmark_filter=REGEX --benchmark_repetitions=N …]\n");
    return 2;
  }
  const HouseStandard standard = parse_house_standard(read_text(real_file_system(), words[0]), words[0]);
  const LabelTextReader reader{standard};
  std::vector<Subject> subjects;
  for (std::size_t i = 1; i < words.size(); ++i) subjects.push_back(subject_of(words[i], standard));
  for (const Subject& subject : subjects) add_stages(subject, reader, standard);
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
  return 0;
}
