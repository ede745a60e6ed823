// Ledgers and catalog rows that several tests of this folder use.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/ledger/ledger.h"
#include "support/test_support.h"

namespace sherdmark::testing {

inline HouseStandard ferry_standard() {  // site/lot.item numbers, bags by column
  return parse_house_standard(read_text(real_file_system(), sample("standards/quillow_ferry.toml")), "quillow_ferry");
}

inline HouseStandard ostervane_standard() {  // year-accession-item numbers, one bag per item
  return parse_house_standard(read_text(real_file_system(), sample("standards/ostervane.toml")), "ostervane");
}

// A new ledger of its own in a scratch folder, with a fixed clock and a seeded source of randomness.
struct FreshLedger {
  explicit FreshLedger(HouseStandard house = ferry_standard(), std::uint64_t seed = 7)
      : standard(std::move(house)),
        random(seed),
        ledger(Ledger::create(file(), standard, access(), clock, random)),
        ana(ledger.actor("Ana Quill")) {}

  [[nodiscard]] std::filesystem::path file() const { return folder / "collection.ledger"; }
  [[nodiscard]] static LedgerAccess access() { return {"Ana Quill", "bench computer", false}; }
  void close() { Ledger{std::move(ledger)}; }

  ScratchFolder folder;
  FixedClock clock{parse_time("2031-05-04T09:00:00Z")};
  HouseStandard standard;
  SeededRandom random;
  Ledger ledger;
  Actor ana;
};

// A ledger as version 1 wrote it, kept with the tests.
inline void unpack_ledger_of_version_1(const std::filesystem::path& to) {
  const auto unpacked =
      run({"sh", "-c", "gzip -dc \"$0\" > \"$1\"", test_data("ledger/old/version-1.ledger.gz").string(), to.string()});
  if (unpacked.exit_code != 0) throw std::runtime_error(unpacked.err);
}

inline CatalogRow row(const HouseStandard& standard, const std::string& number, std::string_view material = "pottery",
                      std::optional<std::int64_t> count = 1) {
  const auto parsed = standard.parse_number(number);
  if (!parsed) throw std::runtime_error("not a number of the sample standard: " + number);
  CatalogRow made;
  made.number = parsed->number;
  made.accession = "2031.4";
  made.site = "16ZQ5";
  made.object = "sherd";
  made.material = material;
  made.count = count;
  made.unit = "N20E15";
  made.level = "3";
  made.depth_top_cm = 20;
  made.depth_bottom_cm = 30.5;
  made.date = "2031-05-01";
  return made;
}

inline CatalogRow in_bags(CatalogRow made, std::vector<BagShare> shares) {
  made.bags = std::move(shares);
  return made;
}

inline IntakeResult take_in(Ledger& ledger, const Actor& actor, const std::vector<CatalogRow>& rows) {
  return ledger.apply_intake(actor, rows, ledger.diff_catalog(rows), {"finds.csv", false});
}

inline std::int64_t count_events(const Ledger& ledger) {
  std::int64_t events = 0;
  ledger.for_each_event([&](const Event&) { ++events; });
  return events;
}

// Plans the labels of one bag: a bag label, a tag and `copies` artifact labels for its item.
inline LabelPlan plan_of(const Ledger& ledger, const std::string& bag, std::int64_t copies, const std::string& text) {
  const BagRecord record = ledger.find_bag(bag).value();
  const std::string item = record.contents.at(0).item;
  LabelPlan plan;
  plan.decisions.push_back({item, LabelDecision::direct, "hard and large", "it takes a label well", ""});
  plan.artifacts.push_back({item, item, item, {{bag, copies}}});
  plan.carriers.push_back({LabelRole::bag, bag, item, text, 1});
  plan.carriers.push_back({LabelRole::tag, bag, item, text, 1});
  return plan;
}

}  // namespace sherdmark::testing
