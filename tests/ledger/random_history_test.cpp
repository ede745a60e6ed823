// A long random history: records rebuilt from its events are the same records, byte for byte.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <set>

#include "ledger/ledger_samples.h"
#include "ledger/random_stocktaking.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/bench.h"
#include "sherdmark/ledger/care.h"
#include "sherdmark/ledger/renumber.h"
#include "sherdmark/ledger/scan_log.h"

namespace sherdmark {
namespace {

using testing::FreshLedger;

constexpr int k_events = 3000;

// Does one random thing after another. What the ledger refuses in words is fine; what it accepts must add up.
class Season {
 public:
  explicit Season(std::uint64_t seed) : random_(seed) {
    for (int i = 1; i <= 60; ++i) rows_.push_back(random_row(i));
  }

  void live() {
    (void)testing::take_in(fresh_.ledger, fresh_.ana, rows_);
    while (testing_events() < k_events) {
      fresh_.clock.set(parse_time("2031-05-04T09:00:00Z") + std::chrono::seconds{random_.below(100000)});
      try {
        act();
      } catch (const Error& error) {
        ASSERT_EQ(error.family(), ErrorFamily::usage) << error.what();
        ++refused_;
      }
    }
  }

  [[nodiscard]] Ledger& ledger() { return fresh_.ledger; }
  [[nodiscard]] const FreshLedger& fresh() const { return fresh_; }
  void close() { fresh_.close(); }
  [[nodiscard]] int refused() const { return refused_; }

 private:
  [[nodiscard]] std::int64_t testing_events() const {
    std::int64_t events = 0;
    for (const StationHead& head : fresh_.ledger.heads()) events += head.sequence;
    return events;
  }
  [[nodiscard]] bool chance(std::uint64_t one_in) { return random_.below(one_in) == 0; }
  template <class List>
  [[nodiscard]] const auto& any_of(const List& list) {
    return list[random_.below(list.size())];
  }

  [[nodiscard]] CatalogRow random_row(int i) {
    const std::string number = "16ZQ5/" + std::to_string(1 + i / 7) + "." + std::to_string(i);
    return randomised(testing::row(fresh_.standard, number));
  }

  [[nodiscard]] CatalogRow randomised(CatalogRow row) {
    static const std::vector<std::string> k_words = {"stone", "iron", "leather", "pottery", "Ångström \"x\"\n"};
    row.material = any_of(k_words);
    row.remarks = any_of(k_words);
    row.count = chance(4) ? std::optional<std::int64_t>{}
                          : std::optional<std::int64_t>{1 + static_cast<std::int64_t>(random_.below(20))};
    row.weight_g = chance(2) ? std::optional<double>{} : std::optional<double>{random_.unit() * 1000};
    row.largest_mm =
        chance(3) ? std::optional<double>{} : std::optional<double>{static_cast<double>(random_.below(200))};
    row.flags.clear();
    if (chance(12)) row.flags.push_back("sacred");
    row.former_numbers.clear();
    if (chance(3)) row.former_numbers.push_back("Old " + std::to_string(random_.below(30)));
    row.field_number = chance(3) ? "FN " + std::to_string(random_.below(40)) : "";
    row.assembly = chance(5) ? "Crock " + std::to_string(random_.below(4)) : "";
    row.unit = any_of(k_words);
    row.place =
        chance(3) ? "" : "Room " + std::to_string(random_.below(2)) + "/Shelf " + std::to_string(random_.below(5));
    row.box = chance(3) ? "" : "Box " + std::to_string(random_.below(6));
    row.bags.clear();
    for (std::uint64_t n = random_.below(3); n > 0; --n)
      row.bags.push_back({"M" + std::to_string(random_.below(40)), std::nullopt});
    return row;
  }

  void act() {
    switch (random_.below(20)) {
      case 0:
        return take_in();
      case 1:
        return plan();
      case 2:
      case 3:
        return start_run();
      case 4:
        return with_run(
            [&](const RunRecord& run) { (void)ledger().confirm_printed(actor(), run.id, some_pages(run)); });
      case 5:
        return with_run([&](const RunRecord& run) { write_pages(ledger().reprint(actor(), run.id, some_pages(run))); });
      case 6:
        return with_print([&](const PrintRecord& print) { ledger().void_prints(actor(), {print.serial}, "torn"); });
      case 7:
        return with_print([&](const PrintRecord& print) { ledger().spoil_prints(actor(), {print.serial}, ""); });
      case 8:
        return with_print(
            [&](const PrintRecord& p) { ledger().mark_applied(actor(), p.role, p.subject, p.number, 1); });
      case 9:
        return with_print([&](const PrintRecord& p) { ledger().revise(actor(), p.role, p.subject, p.number, "why"); });
      case 10:
        return check();
      case 11:
        return people();
      case 12:
      case 13:
        return custody();
      case 14:
        return bench();
      case 15:
      case 16:
      case 17:
      case 18:
        return stocktaking_.act(ledger(), actor());
      default:
        return change_numbers();
    }
  }

  Actor actor() { return ledger().actor(any_of(ledger().persons())); }

  void take_in() {
    for (std::uint64_t n = 1 + random_.below(4); n > 0; --n) {
      CatalogRow& row = rows_[random_.below(rows_.size())];
      row = randomised(row);
    }
    if (chance(3)) rows_.push_back(random_row(static_cast<int>(rows_.size()) + 1));
    std::vector<CatalogRow> some = rows_;
    if (chance(3)) some.resize(rows_.size() - random_.below(3));
    (void)ledger().apply_intake(actor(), some, ledger().diff_catalog(some), {"finds.csv", chance(2)});
  }

  void plan() {
    const auto bags = ledger().bags();
    LabelPlan plan;
    for (int n = 0; n < 5; ++n) {
      const BagRecord& bag = any_of(bags);
      if (bag.contents.empty() || std::ranges::count(plan.carriers, bag.id, &PlannedCarrierLabel::subject) > 0)
        continue;
      const BagContent& content = any_of(bag.contents);
      if (std::ranges::count(plan.decisions, content.item, &PlannedDecision::item) > 0) continue;
      plan.decisions.push_back({content.item, LabelDecision::direct, "rule", "reason", ""});
      const std::int64_t copies = std::min<std::int64_t>(content.quantity.value_or(2), 3);
      if (chance(2)) {
        plan.artifacts.push_back({content.item, content.item, content.item, {{bag.id, copies}}});
      } else {
        for (std::int64_t i = 1; i <= copies; ++i)
          plan.artifacts.push_back({content.item, content.item + "-" + std::to_string(i), "t", {{bag.id, 1}}});
      }
      for (const LabelRole role : {LabelRole::bag, LabelRole::tag})
        plan.carriers.push_back({role, bag.id, content.item, "text " + std::to_string(random_.below(3)),
                                 1 + static_cast<int>(random_.below(2))});
    }
    (void)ledger().store_plan(actor(), plan);
  }

  void start_run() {
    static const std::vector<LabelRole> k_roles = {LabelRole::artifact, LabelRole::bag, LabelRole::tag};
    const LabelRole role = any_of(k_roles);
    std::vector<PrintOrder> orders;
    for (const LabelRecord& label : ledger().labels(role))
      if (!label.text.empty() && chance(6)) orders.push_back({role, label.subject, label.number, 1});
    const PrintRun run = ledger().start_run(actor(), role, orders);
    if (chance(5)) return;  // the pages were never written
    write_pages(run);
  }

  void write_pages(const PrintRun& run) {
    runs_.push_back(run.id);
    std::vector<int> pages;
    for (std::size_t i = 0; i < run.prints.size(); ++i) pages.push_back(1 + static_cast<int>(i / 4));
    ledger().record_pages(actor(), run.id, pages, {"labels.pdf"});
  }

  [[nodiscard]] std::vector<int> some_pages(const RunRecord& run) {
    if (run.pages == 0 || chance(2)) return {};
    return {1 + static_cast<int>(random_.below(static_cast<std::uint64_t>(run.pages)))};
  }

  template <class Act>
  void with_run(const Act& then) {
    if (!runs_.empty()) then(ledger().find_run(any_of(runs_)).value());
  }

  template <class Act>
  void with_print(const Act& then) {
    with_run([&](const RunRecord& run) {
      const auto prints = ledger().prints_of_run(run.id);
      if (!prints.empty()) then(any_of(prints).print);
    });
  }

  void check() {
    CheckRecord check;
    check.set = "set";
    check.bag = any_of(ledger().bags()).id;
    check.verdict = "agree";
    check.evidence = "bag and tag";
    check.reasons = {{"none", "nothing to say"}};
    ledger().record_checks(actor(), std::vector{check});
  }

  void people() {
    if (chance(6)) ledger().register_person(actor(), "Person " + std::to_string(random_.below(50)));
    ledger().record_export(actor(), {"UTM East"}, "out.csv");
  }

  // Pieces in active bags, and what the items say: acts of custody keep the one and the other, recounts change both
  // alike.
  [[nodiscard]] std::pair<std::int64_t, std::int64_t> pieces() {
    std::pair<std::int64_t, std::int64_t> sums;
    for (const BagRecord& bag : ledger().bags())
      if (bag.state == BagState::active)
        for (const BagContent& content : bag.contents) sums.first += content.quantity.value_or(0);
    for (const ItemRecord& item : ledger().items()) sums.second += item.row.count.value_or(0);
    return sums;
  }

  void custody() {
    const auto bags = ledger().bags();
    const BagRecord& bag = any_of(bags);
    const bool count = chance(4);  // every piece of the collection: now and then
    const auto before = count ? pieces() : std::pair<std::int64_t, std::int64_t>{};
    std::int64_t changed = 0;
    switch (random_.below(6)) {
      case 0:
        ledger().move(actor(), {bag.id, "Room " + std::to_string(random_.below(3)), chance(2), ""});
        break;
      case 1:
        (void)ledger().lend(actor(), {bag.id}, "Borrower", chance(2) ? "2031-12-01" : "");
        break;
      case 2: {
        const auto loans = ledger().loans();
        if (!loans.empty()) ledger().take_back(actor(), any_of(loans).id, any_of(loans).out);
        break;
      }
      case 3:
        ledger().combine(actor(), bag.id, any_of(bags).id, "one is enough");
        break;
      default:
        if (bag.contents.empty()) return;
        const BagContent& content = any_of(bag.contents);
        const auto quantity = static_cast<std::int64_t>(random_.below(20));
        if (chance(2)) {
          (void)ledger().split(actor(), bag.id, content.item, quantity, "too full");
        } else {
          const auto item = ledger().find_item(content.item);
          ledger().recount(actor(), bag.id, content.item, quantity, "counted again");
          changed = quantity - content.quantity.value_or(0);
          EXPECT_EQ(ledger().find_item(content.item)->row.count.value_or(0),
                    item->row.count ? *item->row.count + changed : 0);
        }
    }
    if (!count) return;
    const auto after = pieces();
    EXPECT_EQ(after.first, before.first + changed) << "pieces were made or lost";
    if (changed == 0) {
      EXPECT_EQ(after.second, before.second);
    }
  }

  void bench() {
    switch (random_.below(4)) {
      case 0:
        return with_print([&](const PrintRecord& print) {
          (void)settle_copies(ledger(), actor(), bench_subject(ledger(), print.serial),
                              static_cast<CopyFate>(random_.below(3)), 1, "", "");
        });
      case 1:
        return with_run([&](const RunRecord& run) { (void)close_sheet(ledger(), actor(), run.id, 0); });
      case 2:
        (void)close_bag(ledger(), actor(), any_of(ledger().bags()).id, chance(2) ? "no room" : "",
                        format_time(fresh_.clock.now()));
        return;
      default:
        const std::string station = actor().station;
        const auto open = open_session_of(ledger(), station);
        if (!open) return (void)open_scan_session(ledger(), actor());
        if (chance(4)) return close_scan_session(ledger(), actor(), open->id);
        record_scan(ledger(), actor(), open->id, "16ZQ5/1.1", "");
    }
  }

  void change_numbers() {
    const auto items = ledger().items();
    const std::string number = any_of(items).row.number.text();
    const bool count = chance(4);
    const auto before = count ? pieces() : std::pair<std::int64_t, std::int64_t>{};
    switch (random_.below(4)) {
      case 0: {
        const std::uint64_t lot = 1 + random_.below(40);
        const std::uint64_t item = 1001 + random_.below(500);  // none that a new row of the catalog will have
        const std::string to = "16ZQ5/" + std::to_string(lot) + "." + std::to_string(item);
        (void)renumber_item(ledger(), actor(), number, to, "wrong lot");
        EXPECT_EQ(ledger().find_number(to).meaning, NumberMeaning::item);
        const NumberRecord old = ledger().find_number(number);
        EXPECT_NE(std::ranges::find(old.items, to), old.items.end()) << "the old number leads nowhere";
        for (CatalogRow& row : rows_)
          if (row.number.text() == number) row.number = ledger().find_item(to)->row.number;
        break;
      }
      case 1:
        (void)enter_concordance(ledger(), actor(),
                                std::vector<ConcordanceRow>{{2, "M." + std::to_string(random_.below(30)), number}},
                                "old.csv");
        break;
      case 2:
        if (chance(6)) (void)restrict_item(ledger(), actor(), number, "sacred", "consultation");
        break;
      default:
        if (chance(2))
          join_assembly(ledger(), actor(), "Vessel " + std::to_string(random_.below(5)), {number}, "");
        else
          leave_assembly(ledger(), actor(), "Vessel " + std::to_string(random_.below(5)), {number}, "no join");
    }
    if (count) {
      EXPECT_EQ(pieces(), before);
    }
  }

  FreshLedger fresh_;
  SeededRandom random_;
  testing::RandomStocktaking stocktaking_{random_};
  std::vector<CatalogRow> rows_;
  std::vector<std::string> runs_;
  int refused_ = 0;
};

std::string dump(const std::filesystem::path& file) {
  const auto result = testing::run({"sqlite3", file.string(), ".dump"});
  EXPECT_EQ(result.exit_code, 0) << result.err;
  return result.out;
}

// Thousands of transactions, each with its full sync: in memory where the machine offers it.
void use_memory_folder() {
  if (std::filesystem::is_directory("/dev/shm")) ::setenv("TMPDIR", "/dev/shm", 1);
}

TEST(RandomHistory, records_rebuilt_from_a_long_random_history_are_the_same_records) {
  use_memory_folder();
  Season season{2031};
  season.live();
  if (HasFatalFailure()) return;
  EXPECT_GT(season.refused(), 50) << "some of it must have been nonsense";
  const LedgerVerification found = season.ledger().verify();
  EXPECT_TRUE(found.good()) << found.problems.front();
  EXPECT_GE(found.events, k_events);
  std::set<std::string> kinds;
  for (const HistoryLine& line : season.ledger().history("")) kinds.insert(line.kind);
  for (const char* kind : {"inventory opened",
                           "inventory seen",
                           "inventory taken back",
                           "inventory closed",
                           "found numbers reserved",
                           "found number resolved",
                           "audit drawn",
                           "audit recorded",
                           "audit concluded",
                           "scan opened",
                           "scanned",
                           "scan closed",
                           "weighed",
                           "recounted",
                           "graded",
                           "box list",
                           "restricted",
                           "restriction lifted",
                           "moved",
                           "boxed",
                           "split",
                           "combined",
                           "lent",
                           "returned",
                           "renumbered",
                           "voided",
                           "applied"})
    EXPECT_TRUE(kinds.contains(kind)) << kind << " never happened";
  const std::filesystem::path file = season.fresh().file();
  const std::filesystem::path before = season.fresh().folder / "before.ledger";
  std::filesystem::copy_file(file, before);
  season.ledger().rebuild();
  season.close();
  const auto without_mark = [](std::string text) {
    const std::size_t at = text.find("INSERT INTO writer");
    if (at != std::string::npos) text.erase(at, text.find('\n', at) - at + 1);
    return text;
  };
  EXPECT_EQ(without_mark(dump(before)), without_mark(dump(file)));
}

}  // namespace
}  // namespace sherdmark
