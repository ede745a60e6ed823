// What a proof finds: any byte of an event, changed as it lies in the file; heads written on paper; backups that become
// ledgers again. Files are changed from outside, and read by the sqlite3 command.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <fstream>
#include <set>

#include "ledger/core.h"
#include "ledger/failing_disk.h"
#include "ledger/ledger_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/proof.h"
#include "sherdmark/ledger/restore.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;
using testing::run;

namespace fs = std::filesystem;

struct Proven : FreshLedger {
  Proven() {
    ledger.register_person(ana, "Bo Reed");
    (void)testing::take_in(ledger, ana,
                           {testing::in_bags(testing::row(standard, "16ZQ5/2.7", "pottery", 3), {{"B1", {}}})});
    ledger.record_export(ana, {"UTM East"}, "out.csv");
    close();
  }
  void put(const std::string& bytes) const { std::ofstream{file(), std::ios::binary} << bytes; }
};

// A damaged file may be refused at the door or found wanting inside; both count, silence does not.
bool is_found(const fs::path& file) {
  try {
    return !prove_ledger(file, {}).good();
  } catch (const Error& error) {
    return error.family() == ErrorFamily::data || error.family() == ErrorFamily::environment;
  }
}

struct Region {
  std::size_t begin = 0;
  std::size_t end = 0;
};

// How many bytes SQLite's variable-length integer takes (https://www.sqlite.org/fileformat2.html, section 1.6).
std::size_t varint_bytes(std::size_t value) { return value < 128 ? 1 : value < 16384 ? 2 : 3; }
std::size_t text_type_bytes(const std::string& text) { return varint_bytes(text.size() * 2 + 13); }

// Where an event lies in the file: length and row id, the header with a type for each column, then the columns (the
// same page, sections 1.6 and 2.1). The position is the row id; a sequence of 1 takes no byte of its own.
Region region_of(const std::string& file, const Event& event) {
  const std::string after_sequence =
      event.time + event.person + event.kind + event.previous + event.hash + event.payload;
  const std::size_t at = file.find(after_sequence);
  if (at == std::string::npos) return {};
  const std::size_t header = 4 + text_type_bytes(event.time) + text_type_bytes(event.person) +
                             text_type_bytes(event.kind) + 2 * text_type_bytes(event.hash) +
                             text_type_bytes(event.payload);
  const std::size_t columns = 3 + (event.sequence == 1 ? 0 : 1) + after_sequence.size();
  const std::size_t before = varint_bytes(header + columns) + 1 + header + columns - after_sequence.size();
  return {at - before, at + after_sequence.size()};
}

std::vector<Event> events_of(const fs::path& file) {
  std::vector<Event> events;
  Ledger::open_read_only(file).for_each_event([&](const Event& event) { events.push_back(event); });
  return events;
}

TEST(Proof, a_changed_byte_at_any_position_of_an_event_is_found) {
  const Proven kept;
  const std::string whole = read_text(real_file_system(), kept.file());
  SeededRandom random{11};
  int positions = 0;
  for (const Event& event : events_of(kept.file())) {
    const Region region = region_of(whole, event);
    if (region.end == 0) continue;  // one that spills over pages; the next test takes samples of it
    const std::size_t stride = event.kind == "person" ? 1 : 13;  // every byte of one, samples of the others
    for (std::size_t at = region.begin; at < region.end; at += stride) {
      std::string bad = whole;
      bad[at] = static_cast<char>(bad[at] ^ static_cast<char>(1U + random.below(255)));
      kept.put(bad);
      ASSERT_TRUE(is_found(kept.file())) << event.kind << " at byte " << at - region.begin << " of its record";
      ++positions;
    }
  }
  EXPECT_GE(positions, 230);
}

// Bytes that nothing uses may change unseen; then every table must read as it did.
TEST(Proof, a_changed_byte_anywhere_in_the_file_is_found_or_changes_nothing) {
  const Proven kept;
  const std::string whole = read_text(real_file_system(), kept.file());
  const auto dump = [&] { return run({"sqlite3", "-readonly", kept.file().string(), ".dump"}).out; };
  const std::string before = dump();
  ASSERT_NE(before.find("founded"), std::string::npos);
  SeededRandom random{12};
  int found = 0;
  for (int round = 0; round < 60; ++round) {
    std::string bad = whole;
    const std::size_t at = random.below(bad.size());
    bad[at] = static_cast<char>(bad[at] ^ static_cast<char>(1U << random.below(8)));
    kept.put(bad);
    if (is_found(kept.file()))
      ++found;
    else
      ASSERT_TRUE(dump() == before) << "byte " << at;
  }
  EXPECT_GE(found, 2);
}

TEST(Proof, says_how_far_it_has_come_part_by_part) {
  const Proven kept;
  std::vector<std::string> parts;
  std::int64_t last = 0;
  const LedgerVerification found = prove_ledger(kept.file(), [&](const ProofStep& step) {
    if (parts.empty() || parts.back() != step.part) {
      if (!parts.empty()) {
        EXPECT_GT(last, 0);
      }
      parts.emplace_back(step.part);
    }
    EXPECT_LE(step.done, step.total);
    last = step.done;
  });
  EXPECT_TRUE(found.good());
  EXPECT_EQ(parts, (std::vector<std::string>{"events", "records", "tables", "file"}));
}

// Nothing follows for the ledger from a disk that has no room for what is worked out beside it.
TEST(Proof, a_disk_without_room_is_no_finding) {
  FreshLedger fresh;
  std::vector<CatalogRow> rows;
  for (int i = 1; i <= 4000; ++i) {
    rows.push_back(testing::row(fresh.standard, fmt::format("16ZQ5/2.{}", i)));
    rows.back().remarks = fmt::format("{} {}", i, std::string(2000, 'x'));
  }
  (void)testing::take_in(fresh.ledger, fresh.ana, rows);
  fresh.close();
  testing::FailingDisk disk;
  disk.fill_at(1);
  try {
    const LedgerVerification found = prove_ledger(fresh.file(), {});
    ADD_FAILURE() << (found.good() ? "nothing was written beside it" : found.problems.front());
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::environment) << error.what();
  }
}

// A ledger may come from anybody: what its events say must cost no more than they could have meant.
TEST(Proof, an_event_that_counts_more_than_there_can_be_is_damaged) {
  FreshLedger fresh;
  (void)testing::take_in(fresh.ledger, fresh.ana,
                         {testing::in_bags(testing::row(fresh.standard, "16ZQ5/2.7"), {{"B1", {}}})});
  const std::string bag = fresh.ledger.bags().at(0).id;
  (void)fresh.ledger.store_plan(fresh.ana, testing::plan_of(fresh.ledger, bag, 1, "a text"));
  LedgerCore& core = core_of(fresh.ledger);
  for (const std::string line : {"1,9000000000000000000,1", "1,9000000000000000000,9000000000000000000",
                                 "1,1,9223372036854775807", "1,0,1", "1,-1,1"}) {
    const std::string payload = fmt::format(
        R"({{"abandoned":[],"first_serial":1,"prints":[["{}",1,{}]],"replaced":[],"reprint_of":"","role":"bag","run":"R7KM00009"}})",
        bag, line);
    try {
      core.write(fresh.ana, "run", payload);
      ADD_FAILURE() << line;
    } catch (const Error& error) {
      EXPECT_EQ(error.family(), ErrorFamily::data) << error.what();
    }
  }
  EXPECT_TRUE(fresh.ledger.verify().good());
}

TEST(Proof, a_file_that_is_no_ledger_is_refused_not_judged) {
  const testing::ScratchFolder folder;
  const fs::path file = folder / "x.ledger";
  std::ofstream{file}
      << "just some text, and more than a hundred bytes of it, so that it cannot be an empty database file";
  EXPECT_THROW((void)prove_ledger(file, {}), Error);
  EXPECT_THROW((void)prove_ledger(folder / "none.ledger", {}), Error);
}

// --- heads on paper ------------------------------------------------------------------------------------------------

TEST(WrittenHead, is_keyed_as_printed_with_blanks_hyphens_and_capitals) {
  const StationHead head{"7KM", 42, std::string(32, '0') + std::string(32, 'a')};
  const std::string printed = write_head(head);
  EXPECT_EQ(printed, "7KM:42:00000000 00000000 00000000 00000000 aaaaaaaa aaaaaaaa aaaaaaaa aaaaaaaa");
  for (const std::string& keyed :
       {printed, std::string{"7km:42:00000000-00000000 "}, std::string{" 7KM : 42 : 0000000000000000"}}) {
    const WrittenHead read = parse_written_head(keyed);
    EXPECT_EQ(read.station, "7KM") << keyed;
    EXPECT_EQ(read.sequence, 42);
    EXPECT_TRUE(head.hash.starts_with(read.digits));
  }
  EXPECT_EQ(parse_written_head("AAAAAAAA AAAAAAAA").digits, std::string(16, 'a'));
}

TEST(WrittenHead, anything_else_is_a_usage_error) {
  for (const std::string& bad : {std::string{}, std::string{"7KM:42"}, std::string(15, 'a'), std::string(65, 'a'),
                                 std::string{"gggggggggggggggg"}, std::string{"7KM:0:aaaaaaaaaaaaaaaa"},
                                 std::string{"7KM:x:aaaaaaaaaaaaaaaa"}, std::string{"7KMX:1:aaaaaaaaaaaaaaaa"},
                                 std::string{"1:2:3:aaaaaaaaaaaaaaaa"}, std::string{"\x1B[2:1:aaaaaaaaaaaaaaaa"}})
    try {
      (void)parse_written_head(bad);
      ADD_FAILURE() << bad;
    } catch (const Error& error) {
      EXPECT_EQ(error.family(), ErrorFamily::usage) << bad;
    }
}

TEST(WrittenHead, proves_that_nothing_before_it_was_cut_off_or_replaced) {
  const Proven kept;
  const StationHead head = prove_ledger(kept.file(), {}).heads.at(0);
  const HeadComparison same = compare_head(kept.file(), parse_written_head(write_head(head)));
  EXPECT_TRUE(same.found) << same.problem;
  EXPECT_EQ(same.later, 0);
  EXPECT_TRUE(compare_head(kept.file(), parse_written_head(head.hash.substr(0, 16))).found) << "digits alone";

  // Cut off: the ledger as it was before its last event is whole in itself.
  const std::string trigger =
      run({"sqlite3", kept.file().string(), "SELECT sql FROM sqlite_schema WHERE name = 'events_are_never_removed'"})
          .out;
  ASSERT_EQ(run({"sqlite3", kept.file().string(),
                 "DROP TRIGGER events_are_never_removed; DELETE FROM events WHERE sequence = 4; " + trigger})
                .exit_code,
            0);
  EXPECT_TRUE(prove_ledger(kept.file(), {}).good());
  const HeadComparison cut = compare_head(kept.file(), parse_written_head(write_head(head)));
  EXPECT_FALSE(cut.found);
  EXPECT_NE(cut.problem.find("what came after it is missing"), std::string::npos) << cut.problem;
  EXPECT_FALSE(compare_head(kept.file(), parse_written_head(head.hash)).found);

  const Proven other;  // another ledger, as good in itself
  FreshLedger strange{testing::ferry_standard(), 8};
  strange.close();
  const HeadComparison foreign = compare_head(strange.file(), parse_written_head(write_head(head)));
  EXPECT_NE(foreign.problem.find("no events of station"), std::string::npos) << foreign.problem;
  StationHead wrong = head;
  wrong.hash[3] = wrong.hash[3] == '0' ? '1' : '0';
  const HeadComparison replaced = compare_head(other.file(), parse_written_head(write_head(wrong)));
  EXPECT_NE(replaced.problem.find("was replaced, or the head was keyed wrongly"), std::string::npos);
}

// --- restoring -----------------------------------------------------------------------------------------------------

TEST(Restore, a_backup_becomes_a_ledger_and_no_serial_is_given_twice) {
  FreshLedger fresh;
  (void)testing::take_in(fresh.ledger, fresh.ana,
                         {testing::in_bags(testing::row(fresh.standard, "16ZQ5/2.7", "pottery", 3), {{"B1", {}}})});
  const std::string bag = fresh.ledger.bags().at(0).id;
  (void)fresh.ledger.store_plan(fresh.ana, testing::plan_of(fresh.ledger, bag, 3, "text"));
  const fs::path backup = fresh.folder / "backup.ledger";
  EXPECT_TRUE(fresh.ledger.backup(backup).good());
  const PrintRun lost = fresh.ledger.start_run(fresh.ana, LabelRole::bag);  // after the backup, on the same computer

  const fs::path target = fresh.folder / "again.ledger";
  const RestoredLedger restored = restore_ledger(backup, target, FreshLedger::access(), fresh.clock, fresh.random);
  EXPECT_TRUE(restored.proof.good());
  EXPECT_NE(restored.station, fresh.ana.station);
  Ledger again = Ledger::open(target, FreshLedger::access(), fresh.clock, fresh.random);
  const Actor ana = again.actor("Ana Quill");
  EXPECT_EQ(ana.station, restored.station) << "the computer goes on as the new station";
  const PrintRun anew = again.start_run(ana, LabelRole::bag);
  EXPECT_NE(anew.id, lost.id);
  std::set<std::string> serials;
  for (const RunPrint& print : fresh.ledger.prints_of_run(lost.id)) serials.insert(print.print.serial);
  for (const RunPrint& print : again.prints_of_run(anew.id)) EXPECT_TRUE(serials.insert(print.print.serial).second);
  EXPECT_EQ(run({"sqlite3", target.string(), "PRAGMA integrity_check"}).out, "ok\n");
}

TEST(Restore, overwrites_nothing_and_leaves_nothing_behind_when_it_fails) {
  const Proven kept;
  FixedClock clock{parse_time("2031-05-05T09:00:00Z")};
  SeededRandom random{3};
  const fs::path backup = kept.folder / "backup.ledger";
  (void)Ledger::open_read_only(kept.file()).backup(backup);
  EXPECT_THROW((void)restore_ledger(backup, kept.file(), FreshLedger::access(), clock, random), Error);
  EXPECT_THROW((void)restore_ledger(backup, kept.folder / "a.ledger", {"A. Stranger", "bench", false}, clock, random),
               Error);
  ASSERT_EQ(run({"sqlite3", backup.string(), "UPDATE items SET material = 'gold'"}).exit_code, 0);
  try {
    (void)restore_ledger(backup, kept.folder / "b.ledger", FreshLedger::access(), clock, random);
    FAIL();
  } catch (const Error& error) {
    EXPECT_NE(std::string{error.what()}.find("the backup does not hold"), std::string::npos) << error.what();
  }
  int files = 0;
  for (const fs::directory_entry& entry : fs::directory_iterator{kept.folder.path()}) {
    (void)entry;
    ++files;
  }
  EXPECT_EQ(files, 2) << "the ledger and its backup";
}

}  // namespace
}  // namespace sherdmark
