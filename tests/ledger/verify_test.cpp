// What verification finds, and that it can fail; hashes judged by sha256sum, files changed by the sqlite3 command.
#include <gtest/gtest.h>

#include <fstream>

#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;
using testing::run;

struct Kept : FreshLedger {
  Kept() {
    ledger.register_person(ana, "Bo Reed");
    (void)testing::take_in(ledger, ana,
                           {testing::in_bags(testing::row(standard, "16ZQ5/2.7", "pottery", 3), {{"B1", {}}}),
                            testing::in_bags(testing::row(standard, "16ZQ5/2.8", "stone", 1), {{"B1", {}}})});
    ledger.record_export(ana, {"UTM East"}, "out.csv");
    close();
  }
  std::vector<std::string> problems() {
    const Ledger reading = Ledger::open_read_only(file());
    return reading.verify().problems;
  }
  void sql(const std::string& text) {
    const auto result = run({"sqlite3", file().string(), text});
    ASSERT_EQ(result.exit_code, 0) << result.err;
  }
};

TEST(Verify, the_hash_is_sha256_over_the_documented_bytes) {
  Event event{"7KM", 2, "2031-05-04T09:00:00Z", "Ana Quill", "person", "{\"person\":\"Bo Reed\"}", std::string(64, '0'),
              ""};
  const std::string bytes =
      "sherdmark-event-1\n3:7KM\n1:2\n20:2031-05-04T09:00:00Z\n9:Ana Quill\n6:person\n64:" + std::string(64, '0') +
      "\n20:{\"person\":\"Bo Reed\"}\n";
  const auto judged = run({"sha256sum"}, bytes);
  EXPECT_EQ(event_hash(event), judged.out.substr(0, 64));
}

TEST(Verify, a_whole_ledger_is_good_and_names_its_heads) {
  Kept kept;
  const Ledger reading = Ledger::open_read_only(kept.file());
  const LedgerVerification found = reading.verify();
  EXPECT_TRUE(found.good()) << found.problems.front();
  EXPECT_EQ(found.events, 4);
  EXPECT_EQ(found.heads, reading.heads());
}

TEST(Verify, events_can_be_neither_changed_nor_removed_nor_slipped_in) {
  Kept kept;
  const char* attempts[] = {
      "UPDATE events SET person = 'Bo Reed' WHERE sequence = 2",
      "DELETE FROM events WHERE sequence = 4",
      "PRAGMA recursive_triggers = ON; INSERT OR REPLACE INTO events SELECT * FROM events WHERE sequence = 2",
      "INSERT INTO events SELECT 99, station, 9, time, person, kind, previous, hash, payload FROM events WHERE "
      "sequence = 4",
      "INSERT INTO events SELECT 99, station, 5, time, person, kind, previous, hash, payload FROM events WHERE "
      "sequence = 4",
      "INSERT INTO events SELECT 0-5, 'ABC', 2, time, person, kind, previous, hash, payload FROM events WHERE sequence "
      "= 1"};
  for (const char* attempt : attempts) {
    const auto result = run({"sqlite3", kept.file().string(), attempt});
    EXPECT_NE(result.exit_code, 0) << attempt;
    EXPECT_NE((result.out + result.err).find("event"), std::string::npos) << result.err;
  }
  EXPECT_TRUE(kept.problems().empty());
}

TEST(Verify, every_kind_of_tampering_is_found_and_named) {
  const struct {
    const char* sql;
    const char* found;
  } cases[] = {
      {"DROP TRIGGER events_are_never_changed; UPDATE events SET person = 'Bo Reed' WHERE sequence = 3",
       "event 3: its content"},
      {"DROP TRIGGER events_are_never_changed; UPDATE events SET time = '2030-05-04T09:00:00Z' WHERE sequence = 2",
       "event 2: its content"},
      {"DROP TRIGGER events_are_never_changed; UPDATE events SET payload = replace(payload, 'pottery', 'potterx')",
       "event 3: its content"},
      {"DROP TRIGGER events_are_never_removed; DELETE FROM events WHERE sequence = 2", "after event 1 comes event 3"},
      // The newest event itself can only be missed by a head that was written down elsewhere (proof_test.cpp).
      {"DROP TRIGGER events_are_never_removed; DELETE FROM events WHERE sequence = 4",
       "schema: trigger events_are_never_removed is missing"},
      {"DROP TRIGGER events_are_never_changed; CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events BEGIN "
       "SELECT 1; END",
       "schema: trigger events_are_never_changed was altered"},
      {"CREATE TRIGGER helpful AFTER INSERT ON events BEGIN UPDATE items SET material = 'gold'; END",
       "schema: trigger helpful does not belong there"},
      {"DROP INDEX items_by_lot", "schema: index items_by_lot is missing"},
      {"UPDATE items SET material = 'gold' WHERE id = 1", "table items, row 1"},
      {"DELETE FROM bag_contents WHERE item = 2", "table bag_contents, row 2"},
      {"INSERT INTO persons VALUES(9, 'Cy Marsh', '2031-05-04T09:00:00Z')", "table persons, row 3"},
      {"UPDATE stations SET prints = 5", "table stations, row 1"},
      {"PRAGMA foreign_keys = OFF; DELETE FROM lots", "references: a row of items"}};
  for (const auto& one : cases) {
    Kept kept;
    kept.sql(one.sql);
    const auto problems = kept.problems();
    bool found = false;
    for (const std::string& problem : problems) found = found || problem.find(one.found) != std::string::npos;
    EXPECT_TRUE(found) << one.sql << " → " << (problems.empty() ? "nothing" : problems.front());
  }
}

// Every byte of every event as it lies in the file, one bit changed.
TEST(Verify, a_flipped_bit_anywhere_in_an_event_is_found) {
  Kept kept;
  const std::string whole = read_text(real_file_system(), kept.file());
  const std::string needle = "{\"person\":\"Bo Reed\"}";
  const std::size_t at = whole.find(needle);
  ASSERT_NE(at, std::string::npos);
  for (std::size_t offset = at - 64; offset < at + needle.size(); offset += 3) {
    std::string bad = whole;
    bad[offset] = static_cast<char>(bad[offset] ^ 0x10);
    std::ofstream{kept.file(), std::ios::binary} << bad;
    EXPECT_FALSE(kept.problems().empty()) << offset;
  }
}

// Hostile files: any damage is a clear error or a finding, never a crash. Damage to unused space may go unseen; then
// everything must read as it did.
TEST(Verify, random_damage_never_crashes_and_what_is_called_good_reads_as_before) {
  Kept kept;
  const std::string whole = read_text(real_file_system(), kept.file());
  const auto read_back = [&] {
    const Ledger reading = Ledger::open_read_only(kept.file());
    std::string told;
    for (const HistoryLine& line : reading.history("")) told += line.time + line.person + line.text + "\n";
    for (const CatalogRow& row : reading.catalog_rows())
      told += row.number.text() + row.material.str() + row.remarks.str() + "\n";
    return told;
  };
  const std::string told = read_back();
  SeededRandom random{5};
  int noticed = 0;
  for (int round = 0; round < 80; ++round) {
    std::string bad = whole;
    if (round % 4 == 0) {
      bad.resize(1 + random.below(bad.size() - 1));
    } else {
      const std::size_t page = random.below(bad.size() / 4096) * 4096;
      for (int n = 0; n < 40; ++n) bad[page + random.below(4096)] = static_cast<char>(random.below(256));
    }
    std::ofstream{kept.file(), std::ios::binary} << bad;
    try {
      if (!kept.problems().empty())
        ++noticed;
      else
        EXPECT_EQ(read_back(), told) << "round " << round;
    } catch (const Error& error) {
      EXPECT_NE(error.family(), ErrorFamily::usage);
      ++noticed;
    }
  }
  EXPECT_GE(noticed, 25);
}

TEST(Verify, a_rebuild_puts_tampered_records_right) {
  Kept kept;
  kept.sql("UPDATE items SET material = 'gold'; DELETE FROM bag_contents");
  Ledger ledger = Ledger::open(kept.file(), FreshLedger::access(), kept.clock, kept.random);
  EXPECT_FALSE(ledger.verify().good());
  ledger.rebuild();
  EXPECT_TRUE(ledger.verify().good());
  EXPECT_EQ(ledger.find_item("16ZQ5/2.7")->row.material, "pottery");
}

}  // namespace
}  // namespace sherdmark
