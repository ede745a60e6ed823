// A scanning session and an inventory that are broken off, by a kill or by the current: every scan that was answered is
// in the ledger, nothing is half-done, and the work goes on where it stopped.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <functional>

#include "ledger/failing_disk.h"
#include "ledger/killed_process.h"
#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/inventory.h"
#include "sherdmark/ledger/scan_log.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;
using testing::FailingDisk;
using testing::FreshLedger;
using testing::Killed;

constexpr int k_kills = 60;

std::vector<CatalogRow> forty_bags(const HouseStandard& standard) {
  std::vector<CatalogRow> rows;
  for (int i = 1; i <= 40; ++i)
    rows.push_back(testing::in_bags(testing::row(standard, "16ZQ5/7." + std::to_string(i), "stone", 2),
                                    {{"B" + std::to_string(i), {}}}));
  return rows;
}

InventoryReading seen(SeenKind kind, const std::string& bag, const std::string& text) {
  InventoryReading reading;
  reading.kind = kind;
  reading.bag = bag;
  reading.text = text;
  return reading;
}

std::size_t scans_kept(const Ledger& ledger) {
  std::size_t scans = 0;
  ledger.for_each_event([&](const Event& event) { scans += event.kind == "scanned" ? 1 : 0; });
  return scans;
}

// Goes on with the session and the inventory that lie open, or opens them; each act is one event.
void scan_for_ever(const fs::path& file, FreshLedger& fresh, const std::function<void()>& confirm) {
  Ledger ledger = Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random);
  const Actor ana = ledger.actor("Ana Quill");
  const std::vector<BagRecord> bags = ledger.bags();
  for (std::size_t i = 0;; ++i) {
    std::optional<ScanSessionRecord> session = open_session_of(ledger, ana.station);
    if (!session) {
      const std::string id = open_scan_session(ledger, ana);
      confirm();
      session = find_scan_session(ledger, id);
    }
    for (int scan = 0; scan < 4; ++scan, ++i) {
      record_scan(ledger, ana, session->id, bags[i % bags.size()].id, bags[i % bags.size()].id);
      confirm();
    }
    std::string inventory;
    for (const InventoryRecord& record : inventories(ledger))
      if (record.open()) inventory = record.id;
    if (inventory.empty()) {
      inventory = open_inventory(ledger, ana, {});
      confirm();
    }
    const std::vector<InventoryReading> shelf{seen(SeenKind::typed, bags[i % bags.size()].id, "typed"),
                                              seen(SeenKind::unread, "", "a torn label")};
    (void)take_in(ledger, ana, inventory, shelf, "scanner");
    confirm();
    close_inventory(ledger, ana, inventory);
    confirm();
    close_scan_session(ledger, ana, session->id);
    confirm();
  }
}

TEST(Crash, kills_at_any_moment_of_scanning_and_inventory_lose_no_answered_scan) {
  FreshLedger fresh;
  (void)testing::take_in(fresh.ledger, fresh.ana, forty_bags(fresh.standard));
  std::int64_t events = testing::count_events(fresh.ledger);
  fresh.close();
  SeededRandom moments{41};
  int in_the_middle = 0;
  int left_open = 0;
  std::uint64_t longest_us = 15000;  // follows the machine: some acts are to be answered before the kill
  // On a slow machine the moments may miss the middle of a transaction: then there are more of them.
  for (int round = 0; round < k_kills || (in_the_middle < 5 && round < 5 * k_kills); ++round) {
    const Killed killed = testing::kill_during(
        [&](const auto& confirm) { scan_for_ever(fresh.file(), fresh, confirm); }, moments, longest_us);
    ASSERT_TRUE(killed.began);
    if (killed.confirmed == 0) longest_us = std::min<std::uint64_t>(longest_us * 2, 500000);
    if (killed.confirmed > 20) longest_us = std::max<std::uint64_t>(longest_us / 2, 15000);
    in_the_middle += testing::was_cut_off(fresh.file()) ? 1 : 0;
    const Ledger ledger = Ledger::open(fresh.file(), FreshLedger::access(), fresh.clock, fresh.random);
    const std::int64_t now = testing::count_events(ledger);
    ASSERT_GE(now, events + killed.confirmed) << "an answered scan is lost in round " << round;
    ASSERT_LE(now, events + killed.confirmed + 1) << "something was done that nobody asked for";
    events = now;
    left_open += open_session_of(ledger, fresh.ana.station).has_value() ? 1 : 0;
    for (const InventoryRecord& record : inventories(ledger))
      ASSERT_EQ(record.readings % 2, 0) << "half a batch of readings";
    if (round % 20 == 19) {
      const LedgerVerification found = ledger.verify();
      ASSERT_TRUE(found.good()) << found.problems.front();
    }
  }
  EXPECT_GE(in_the_middle, 5) << "the kills came too early or too late to prove anything";
  EXPECT_GE(left_open, 5) << "no session was broken off";
  EXPECT_GE(scans_kept(Ledger::open_read_only(fresh.file())), 20U);
}

// A session and an inventory from opening to closing, each step confirmed when it returns.
struct Stocktaking {
  static constexpr int k_steps = 12;

  void work(const fs::path& file) {
    Ledger ledger = Ledger::open(file, FreshLedger::access(), clock, random);
    const Actor ana = ledger.actor("Ana Quill");
    const std::string bag = ledger.bags().at(0).id;
    const auto step = [this](const std::function<void()>& act) {
      act();
      ++confirmed;
    };
    std::string session;
    std::string inventory;
    step([&] { session = open_scan_session(ledger, ana); });
    for (int scan = 0; scan < 4; ++scan) step([&] { record_scan(ledger, ana, session, bag, bag); });
    step([&] { close_scan_session(ledger, ana, session); });
    step([&] { (void)reserve_found_numbers(ledger, ana, "F", 10); });
    step([&] { inventory = open_inventory(ledger, ana, {}); });
    for (int shelf = 0; shelf < 3; ++shelf)
      step([&] {
        const std::vector<InventoryReading> readings{seen(SeenKind::typed, bag, "typed"),
                                                     seen(SeenKind::unlabelled, "", "a handle")};
        (void)take_in(ledger, ana, inventory, readings, "scanner");
      });
    step([&] { close_inventory(ledger, ana, inventory); });
  }

  FixedClock clock{parse_time("2031-05-04T10:00:00Z")};
  SeededRandom random{42};
  int confirmed = 0;
};

TEST(PowerCut, at_any_write_of_a_scanning_session_and_an_inventory_loses_no_answered_scan) {
  FreshLedger fresh;
  (void)testing::take_in(fresh.ledger, fresh.ana, forty_bags(fresh.standard));
  const std::int64_t before = testing::count_events(fresh.ledger);
  fresh.close();
  const fs::path file = fresh.folder / "cut.ledger";
  const auto anew = [&] {
    for (const char* beside : {"", "-journal", ".lock"}) fs::remove(file.string() + beside);
    fs::copy_file(fresh.file(), file);
  };
  std::uint64_t changes = 0;
  {
    anew();
    const FailingDisk disk;
    Stocktaking{}.work(file);
    changes = disk.changes();
  }
  ASSERT_GE(changes, 100U);
  SeededRandom random{43};
  int with_journal = 0;
  int cuts = 0;
  const std::uint64_t stride = 1 + changes / 30;
  for (std::uint64_t at = 1; at <= changes; at += 1 + random.below(2 * stride - 1), ++cuts) {
    anew();
    Stocktaking work;
    {
      FailingDisk disk;
      disk.cut_power_at(at);
      try {
        work.work(file);
      } catch (const Error& error) {
        EXPECT_EQ(error.family(), ErrorFamily::environment) << error.what();
      }
      EXPECT_TRUE(disk.failed() || work.confirmed == Stocktaking::k_steps);
      disk.leave_what_survives(random);
    }
    with_journal += testing::was_cut_off(file) ? 1 : 0;
    const Ledger ledger = Ledger::open(file, FreshLedger::access(), fresh.clock, fresh.random);
    const LedgerVerification found = ledger.verify();
    ASSERT_TRUE(found.good()) << found.problems.front();
    ASSERT_GE(found.events - before, work.confirmed) << "an answered scan is lost at change " << at;
    ASSERT_LE(found.events - before, work.confirmed + 1) << "change " << at;
  }
  EXPECT_GE(cuts, 15);
  EXPECT_GE(with_journal, 3) << "the cuts came where nothing was under way";
}

}  // namespace
}  // namespace sherdmark
