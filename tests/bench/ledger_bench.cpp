// A large catalog from its bytes into a ledger on disk, beside `sqlite3 .import` of the same file; and how long a
// ledger takes to open, in processor time. ledger_bench [ROWS]. The bars: 3 times the import; opened in under 0.2 s.
#include <sys/resource.h>

#include <cstdio>
#include <cstdlib>
#include <string>

#include "bench/large_catalog.h"
#include "sherdmark/base/files.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/ledger/ledger.h"
#include "support/test_support.h"

namespace {

using namespace sherdmark;

double of(int whose) {
  rusage usage{};
  getrusage(whose, &usage);
  const auto seconds = [](const timeval& t) {
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) / 1e6;
  };
  return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

// Processor time of this process or of the programs it ran: a busy machine does not blur it.
class Stopwatch {
 public:
  explicit Stopwatch(int whose = RUSAGE_SELF) : whose_(whose), start_(of(whose)) {}
  [[nodiscard]] double seconds() const { return of(whose_) - start_; }

 private:
  int whose_;
  double start_;
};

}  // namespace

int main(int argc, char** argv) {
  const int rows = argc > 1 ? std::atoi(argv[1]) : 100'000;
  const testing::ScratchFolder folder;
  const std::string text = sherdmark::testing::large_catalog(rows);
  write_text_atomic(real_file_system(), folder / "large.csv", text);
  const HouseStandard standard = parse_house_standard(
      read_text(real_file_system(), testing::sample("standards/quillow_ferry.toml")), "quillow_ferry.toml");
  SystemClock clock;
  SystemRandom random;
  const LedgerAccess access{"Ana Quill", "bench", false};

  const Stopwatch importing{RUSAGE_CHILDREN};
  const auto judged = testing::run(
      {"sqlite3", (folder / "large.db").string(), ".import --csv " + (folder / "large.csv").string() + " finds"});
  const double import_s = importing.seconds();
  Ledger ledger = Ledger::create(folder / "large.ledger", standard, access, clock, random);
  const Actor ana = ledger.actor("Ana Quill");
  const Stopwatch whole;
  const CatalogReading reading = read_catalog(read_table(as_byte_span(text), "large.csv"), standard);
  const double read_s = whole.seconds();
  const IntakeDiff diff = ledger.diff_catalog(reading.rows);
  const double diff_s = whole.seconds();
  const IntakeResult result = ledger.apply_intake(ana, reading.rows, diff, {"large.csv", false});
  const double total_s = whole.seconds();
  const Stopwatch again;
  const bool unchanged = ledger.diff_catalog(reading.rows).nothing_to_do();
  std::printf("sqlite3 .import  %.3f s\nread the catalog %.3f s\ncompare          %.3f s\napply            %.3f s\n",
              import_s, read_s, diff_s - read_s, total_s - diff_s);
  std::printf("together         %.3f s = %.2f times the import (bar 3)\ncompare again    %.3f s\n", total_s,
              total_s / import_s, again.seconds());
  { const Ledger closing{std::move(ledger)}; }
  const Stopwatch opening;
  const Ledger opened = Ledger::open_read_only(folder / "large.ledger");
  std::printf("open             %.4f s\n", opening.seconds());
  const Stopwatch proving;
  const bool good = opened.verify().good();
  std::printf("verify           %.3f s\n", proving.seconds());
  return judged.exit_code == 0 && good && unchanged && result.added == static_cast<std::size_t>(rows) ? 0 : 1;
}
