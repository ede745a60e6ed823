// A ledger with a long history: how long it takes to open, to look something up, and to prove. events_bench EVENTS FILE
// Makes FILE if it is not there (a bag that is checked again and again), and writes one JSON object on one line;
// on the error stream how far it is, since millions of events take minutes.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "ledger/core.h"
#include "sherdmark/base/files.h"
#include "sherdmark/ledger/ledger.h"
#include "sherdmark/ledger/proof.h"
#include "support/test_support.h"

namespace {

using namespace sherdmark;

template <class Act>
double seconds(const Act& act) {
  const auto start = std::chrono::steady_clock::now();
  act();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

constexpr const char* k_bag_mark = "B1";
constexpr std::int64_t k_events_a_transaction = 10000;

CatalogRow one_row(const HouseStandard& standard) {
  CatalogRow row;
  row.number = standard.parse_number("16ZQ5/1.1")->number;
  row.accession = "2031.4";
  row.object = "sherd";
  row.material = "ceramic";
  row.count = 1;
  row.place = "Store/Shelf 1";
  row.bags = {{k_bag_mark, {}}};
  return row;
}

std::int64_t events_in(const Ledger& ledger) {
  std::int64_t events = 0;
  ledger.for_each_event([&](const Event&) { ++events; });
  return events;
}

void make_ledger(const std::filesystem::path& file, std::int64_t events) {
  const HouseStandard standard = parse_house_standard(
      read_text(real_file_system(), testing::sample("standards/quillow_ferry.toml")), "quillow_ferry.toml");
  SystemClock clock;
  SystemRandom random;
  Ledger ledger = Ledger::create(file, standard, {"Ana Quill", "bench", false}, clock, random);
  const Actor ana = ledger.actor("Ana Quill");
  const std::vector<CatalogRow> rows{one_row(standard)};
  (void)ledger.apply_intake(ana, rows, ledger.diff_catalog(rows), {"bench.csv", false});
  std::vector<CheckRecord> checks(1);
  checks[0].set = "photo.jpg";
  checks[0].bag = ledger.bags().at(0).id;
  checks[0].verdict = "agree";
  checks[0].readings_json = "[]";
  // The first as the tool writes it; the others repeat its payload, appended and applied by the same code. Made for
  // measuring, so without waiting for the disk, and many events a transaction instead of one.
  ledger.record_checks(ana, checks);
  std::string payload;
  ledger.for_each_event([&](const Event& event) { payload = event.payload; });
  LedgerCore& core = core_of(ledger);
  core.db.execute("PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY; PRAGMA locking_mode = EXCLUSIVE");
  for (std::int64_t done = events_in(ledger); done < events;) {
    Transaction transaction{core.db};
    for (const std::int64_t end = std::min(events, done + k_events_a_transaction); done < end; ++done)
      append_event(core.db, ana, "checked", payload, clock.now());
    transaction.commit();
  }
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  const std::int64_t events = std::atoll(argv[1]);
  const std::filesystem::path file = argv[2];
  if (!std::filesystem::exists(file)) {
    const double made = seconds([&] { make_ledger(file, events); });
    std::fprintf(stderr, "events_bench: %lld events made in %.1f s\n", static_cast<long long>(events), made);
  }
  double show = 0;
  const double open = seconds([&] { (void)Ledger::open_read_only(file); });
  {
    const Ledger ledger = Ledger::open_read_only(file);
    show = seconds([&] { (void)ledger.find_item("16ZQ5/1.1"); });
  }
  std::fprintf(stderr, "events_bench: opened in %.4f s, an item found in %.4f s; now proving\n", open, show);
  LedgerVerification found;
  const double proof = seconds([&] { found = prove_ledger(file, {}); });
  std::printf("{\"name\":\"a ledger of %lld events\",\"open_s\":%.4f,\"show_s\":%.4f,\"proof_s\":%.1f,\"good\":%s}\n",
              static_cast<long long>(found.events), open, show, proof, found.good() ? "true" : "false");
  return found.good() && open < 0.2 && show < 0.05 ? 0 : 1;
}
