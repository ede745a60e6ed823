// How long a large catalog takes from bytes to good rows, beside `sqlite3 .import` of the same file.
// Prints one line a step; the bar is 3 times the import for everything up to and with the ledger.
#include <sys/resource.h>

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>

#include "bench/large_catalog.h"
#include "sherdmark/base/files.h"
#include "sherdmark/catalog/read_catalog.h"
#include "support/test_support.h"

namespace {

using sherdmark::read_text;
using sherdmark::real_file_system;

// Processor time, of this process or of the programs it ran, so that a busy machine does not blur the comparison.
double cpu_seconds(int whose) {
  rusage usage{};
  getrusage(whose, &usage);
  const auto seconds = [](const timeval& t) {
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) / 1e6;
  };
  return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

}  // namespace

int main(int argc, char** argv) {
  const int rows = argc > 1 ? std::atoi(argv[1]) : 100'000;
  const sherdmark::testing::ScratchFolder folder;
  const std::string text = sherdmark::testing::large_catalog(rows);
  sherdmark::write_text_atomic(real_file_system(), folder / "large.csv", text);
  const auto standard = sherdmark::parse_house_standard(
      read_text(real_file_system(), sherdmark::testing::sample("standards/quillow_ferry.toml")), "quillow_ferry.toml");

  double start = cpu_seconds(RUSAGE_CHILDREN);
  const auto judged = sherdmark::testing::run(
      {"sqlite3", (folder / "large.db").string(), ".import --csv " + (folder / "large.csv").string() + " finds"});
  const double import_s = cpu_seconds(RUSAGE_CHILDREN) - start;
  start = cpu_seconds(RUSAGE_SELF);
  sherdmark::Table table = sherdmark::read_table(sherdmark::as_byte_span(text), "large.csv");
  const double table_s = cpu_seconds(RUSAGE_SELF) - start;
  start = cpu_seconds(RUSAGE_SELF);
  const sherdmark::CatalogReading reading = sherdmark::read_catalog(std::move(table), standard);
  const double catalog_s = cpu_seconds(RUSAGE_SELF) - start;
  start = cpu_seconds(RUSAGE_SELF);
  const std::string written = sherdmark::write_catalog_csv(reading.rows, standard, true);
  const double write_s = cpu_seconds(RUSAGE_SELF) - start;
  std::printf("rows %zu of %d, problems %zu, file %.1f MB\n", reading.rows.size(), rows, reading.problems.size(),
              static_cast<double>(text.size()) / 1e6);
  std::printf("sqlite3 .import %.3f s (exit %d)\n", import_s, judged.exit_code);
  std::printf("read_table      %.3f s\nread_catalog    %.3f s\nwrite back      %.3f s\n", table_s, catalog_s, write_s);
  std::printf("read_table + read_catalog = %.2f times the import\n", (table_s + catalog_s) / import_s);
  return reading.good() && judged.exit_code == 0 ? 0 : 1;
}
