// A million bags reconciled: from a ledger on disk as the inventory command does it, and as streams alone. The bars:
// under 10 s; memory that does not grow with the bags. inventory_bench [BAGS]. The catalog's scheme ends at 399,600
// items, so the ledger holds no more bags than that; its bar is in proportion.
#include <sys/resource.h>

#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>

#include "bench/large_catalog.h"
#include "sherdmark/base/files.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/count/inventory.h"
#include "support/test_support.h"

namespace {

using namespace sherdmark;

// Processor time of this program, so that other work on the machine does not count.
class Stopwatch {
 public:
  [[nodiscard]] double seconds() const {
    return static_cast<double>(std::clock() - start_) / static_cast<double>(CLOCKS_PER_SEC);
  }

 private:
  std::clock_t start_ = std::clock();
};

long peak_kib() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return usage.ru_maxrss;
}

std::string name_of(long bag) {
  char text[32];
  std::snprintf(text, sizeof text, "B7KM%08ld", bag);
  return text;
}

// Streams made on the way: every 100th bag is missing, every 90th elsewhere.
InventoryTotals reconcile_streams(long bags) {
  long expected = 0;
  long seen = 0;
  return reconcile(
      [&](ExpectedBag& bag) {
        if (expected == bags) return false;
        bag.bag = name_of(expected);
        bag.place = "Room 2/Range A/Shelf " + std::to_string(expected++ % 500);
        return true;
      },
      [&](SeenReading& reading) {
        while (seen < bags && seen % 100 == 0) ++seen;
        if (seen >= bags) return false;
        reading.bag = name_of(seen);
        reading.serial = std::to_string(seen);
        reading.role = "bag";
        reading.ordinal = 1;
        reading.state = "applied";
        reading.evidence = "seen outside";
        reading.place = seen % 90 == 0 ? "Room 3" : "Room 2/Range A/Shelf " + std::to_string(seen % 500);
        reading.time = "2031-05-04T09:00:00Z";
        ++seen;
        return true;
      },
      [](const InventoryLine&) {});
}

struct Measured {
  double streams_s = 0, ledger_s = 0;
  long grown_kib = 0, ledger_bags = 0;
};

bool bench_streams(long bags, Measured& measured) {
  (void)reconcile_streams(bags / 10);
  const long before = peak_kib();
  const Stopwatch watch;
  const InventoryTotals totals = reconcile_streams(bags);
  const double seconds = watch.seconds();
  const long grown = peak_kib() - before;
  std::printf(
      "streams          %.2f s for %ld bags (bar 10), peak memory grew %ld KiB over a tenth of them (bar 2048)\n",
      seconds, bags, grown);
  measured.streams_s = seconds;
  measured.grown_kib = grown;
  const long missing = (bags + 99) / 100;
  return totals.count(Finding::not_found) == missing && totals.wanted() == bags && seconds < 10 && grown < 2048;
}

bool bench_ledger(long bags, Measured& measured) {
  const testing::ScratchFolder folder;
  const HouseStandard standard = parse_house_standard(
      read_text(real_file_system(), testing::sample("standards/quillow_ferry.toml")), "quillow_ferry.toml");
  SystemClock clock;
  SystemRandom random;
  Ledger ledger = Ledger::create(folder / "large.ledger", standard, {"Ana Quill", "bench", false}, clock, random);
  const Actor ana = ledger.actor("Ana Quill");
  {
    const std::string text = sherdmark::testing::large_catalog(static_cast<int>(bags));
    const CatalogReading reading = read_catalog(read_table(as_byte_span(text), "large.csv"), standard);
    ledger.apply_intake(ana, reading.rows, ledger.diff_catalog(reading.rows), {"large.csv", false});
  }
  const Stopwatch opening;
  const std::string id = open_inventory(ledger, ana, {});
  std::printf("open             %.2f s\n", opening.seconds());
  const InventoryRecord record = find_inventory(ledger, id).value();
  const Stopwatch taking;
  std::vector<InventoryReading> readings;
  long expected_missing = 0;
  {
    InventoryStreams streams{ledger, id};
    ExpectedBag bag;
    for (long i = 0; streams.next_expected(bag); ++i) {
      if (i % 100 == 0) {
        ++expected_missing;
        continue;
      }
      InventoryReading reading;
      reading.kind = SeenKind::typed;
      reading.bag = bag.bag;
      reading.evidence = "number keyed";
      readings.push_back(reading);
    }
  }
  const TakenIn taken = take_in(ledger, ana, id, readings, "bench");
  readings.clear();
  readings.shrink_to_fit();
  std::printf("take in          %.2f s for %ld readings\n", taking.seconds(), static_cast<long>(taken.readings));
  const Stopwatch watch;
  InventoryStreams streams{ledger, id};
  long lines = 0;
  const InventoryTotals totals = reconcile([&](ExpectedBag& bag) { return streams.next_expected(bag); },
                                           [&](SeenReading& reading) { return streams.next_seen(reading); },
                                           [&](const InventoryLine&) { ++lines; });
  const double seconds = watch.seconds();
  const double bar = 10.0 * static_cast<double>(record.expected) / 1e6;
  std::printf("reconcile        %.2f s for %ld of %ld bags from the ledger (bar %.2f)\n", seconds, lines,
              static_cast<long>(record.expected), bar);
  measured.ledger_s = seconds;
  measured.ledger_bags = lines;
  return totals.count(Finding::not_found) == expected_missing && lines == record.expected && seconds < bar;
}

}  // namespace

int main(int argc, char** argv) {
  const long bags = argc > 1 ? std::atol(argv[1]) : 1'000'000;
  Measured measured;
  const bool streams = bench_streams(bags, measured);
  const bool ledger = bench_ledger(bags, measured);
  // The line that tools/bench keeps.
  std::printf(
      "{\"name\":\"inventory of %ld bags reconciled\",\"streams_s\":%.2f,\"grown_kib\":%ld,\"ledger_bags\":%ld,"
      "\"ledger_s\":%.2f,\"met\":%s}\n",
      bags, measured.streams_s, measured.grown_kib, measured.ledger_bags, measured.ledger_s,
      streams && ledger ? "true" : "false");
  return streams && ledger ? 0 : 1;
}
