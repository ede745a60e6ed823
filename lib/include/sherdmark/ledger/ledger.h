// The ledger: one SQLite file that holds a collection's events and the records they add up to.
//
// Callable from verify, count, report and tools. Every writing call appends its event and changes the records in one
// transaction on disk before it returns; if it throws, nothing has changed. Not for use by several threads at once.
// Errors: usage_error (unknown person, number, run …), data_error (damaged file, not a ledger), environment_error
// (in use, disk full, read-only, newer schema). Format: docs/formats/ledger.md.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/random.h"
#include "sherdmark/ledger/custody.h"
#include "sherdmark/ledger/event.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/ledger/intake.h"
#include "sherdmark/ledger/labels.h"
#include "sherdmark/ledger/machine.h"
#include "sherdmark/ledger/records.h"

namespace sherdmark {

struct LedgerCore;  // private
class Ledger;
// For the files of lib/ledger only: free functions over a Ledger reach its insides through these.
[[nodiscard]] LedgerCore& core_of(Ledger& ledger);
[[nodiscard]] const LedgerCore& core_of(const Ledger& ledger);

struct LedgerAccess {
  std::string person;      // shown to others as "in use by … since …"; may be empty for reading
  std::string machine;     // this_machine(), or a fixed text in tests
  bool take_over = false;  // write although another computer left its mark (it surely is not running any more)
};

struct LotRecord {
  std::string number;
  std::string accession, site;
  std::string unit, stratum, level, feature;
  std::optional<double> depth_top_cm, depth_bottom_cm;
  std::string date, excavators;
  std::int64_t items = 0;
};

// One item: the catalog row as the ledger holds it, and what the ledger adds.
struct ItemRecord {
  CatalogRow row;                           // row.row is 0
  std::string lot;                          // number of its lot
  std::optional<PlannedDecision> decision;  // absent until planned
  std::vector<std::string> bags;            // bag ids, in the order they were made
};

class Ledger final : public CollectionView {
 public:
  // Makes a new file that carries `standard` (its source text), registers `person` and this computer as the first
  // station, and makes the collection key. environment_error if the file exists; nothing is left behind on failure.
  [[nodiscard]] static Ledger create(const std::filesystem::path& file, const HouseStandard& standard,
                                     const LedgerAccess& access, Clock& clock, RandomSource& random);
  // For writing: takes the writer's lock, or environment_error "in use by … since …". The lock of a process that died
  // is taken over and said in notices(). A schema of an older version is migrated on a copy kept beside the file.
  // A newer schema throws environment_error: open it for reading. `clock` and `random` must outlive the ledger.
  [[nodiscard]] static Ledger open(const std::filesystem::path& file, const LedgerAccess& access, Clock& clock,
                                   RandomSource& random);
  // For reading: no lock, nothing written, works on a read-only medium and with a newer schema (said in notices()).
  [[nodiscard]] static Ledger open_read_only(const std::filesystem::path& file);

  ~Ledger() override;
  Ledger(Ledger&&) noexcept;
  Ledger& operator=(Ledger&&) noexcept;
  Ledger(const Ledger&) = delete;
  Ledger& operator=(const Ledger&) = delete;

  [[nodiscard]] const HouseStandard& standard() const;
  [[nodiscard]] const std::filesystem::path& file() const;
  [[nodiscard]] bool read_only() const;
  [[nodiscard]] const std::vector<std::string>& notices() const;  // whole sentences for a person, may be empty

  // --- who and where -------------------------------------------------------------------------------------------
  void register_person(const Actor& actor, const std::string& person);  // usage_error if already there
  [[nodiscard]] std::vector<std::string> persons() const;
  // Code of the station this computer is; registers it (an event by `person`) on its first write.
  [[nodiscard]] std::string station_here(const std::string& person);
  // The same as an Actor; usage_error with a remedy when the person is not in the register.
  [[nodiscard]] Actor actor(const std::string& person);
  void revise_standard(const Actor& actor, const HouseStandard& standard);

  // --- catalog -------------------------------------------------------------------------------------------------
  [[nodiscard]] IntakeDiff diff_catalog(std::span<const CatalogRow> rows) const;
  // All or nothing, one event. A diff with nothing to do writes nothing. `diff` must be of these rows and this state.
  IntakeResult apply_intake(const Actor& actor, std::span<const CatalogRow> rows, const IntakeDiff& diff,
                            const IntakeOptions& options);
  [[nodiscard]] std::vector<CatalogRow> catalog_rows() const;  // all, in the order they came in
  [[nodiscard]] std::vector<ItemRecord> items() const;
  [[nodiscard]] std::vector<ItemRecord> items_of_lot(const std::string& lot) const;
  [[nodiscard]] std::optional<ItemRecord> find_item(const std::string& number) const;
  [[nodiscard]] std::vector<LotRecord> lots() const;
  [[nodiscard]] std::optional<LotRecord> find_lot(const std::string& number) const;
  [[nodiscard]] std::vector<std::string> assembly_members(const std::string& assembly) const;  // item numbers
  [[nodiscard]] std::vector<BagRecord> bags() const;                    // in the order they were made
  [[nodiscard]] std::string bag_mark(const std::string& bag_id) const;  // the catalog's own word; may be empty
  void record_export(const Actor& actor, const std::vector<std::string>& restricted_columns, const std::string& file);

  // --- labels and prints ---------------------------------------------------------------------------------------
  // Stores what the planner found; the same plan twice writes nothing. A label whose text differs is revised.
  PlanResult store_plan(const Actor& actor, const LabelPlan& plan);
  void for_each_label(LabelRole role, const std::function<void(const LabelRecord&)>& visit) const;
  [[nodiscard]] std::vector<LabelRecord> labels(LabelRole role) const;  // current revisions, lot then number order
  // A run of the labels of one role that are due, or of `orders`; makes serials. usage_error if nothing is due or a
  // label was never planned. Prints are "generated" once record_pages has said where they lie.
  // begin_run gives the run's name alone, so that a long one need not be in memory.
  std::string begin_run(const Actor& actor, LabelRole role);
  std::string begin_run(const Actor& actor, LabelRole role, const std::vector<PrintOrder>& orders);
  PrintRun start_run(const Actor& actor, LabelRole role);
  PrintRun start_run(const Actor& actor, LabelRole role, const std::vector<PrintOrder>& orders);
  // page_of_print: one page number for each print of the run, in order. `files`: name and SHA-256 of what was written.
  void record_pages(const Actor& actor, const std::string& run, const std::vector<int>& page_of_print,
                    const std::vector<std::string>& files);
  // What came out of the printer well; no pages means all. Prints that are not generated any more are left alone.
  std::int64_t confirm_printed(const Actor& actor, const std::string& run, const std::vector<int>& pages);
  void mark_applied(const Actor& actor, LabelRole role, const std::string& subject, const std::string& number,
                    std::int64_t copies);
  void void_prints(const Actor& actor, const std::vector<std::string>& serials, const std::string& reason);
  void spoil_prints(const Actor& actor, const std::vector<std::string>& serials, const std::string& reason);
  // Same revision, new serials, for the labels on those pages (none: all). The old copies are spoiled, or superseded
  // if they were applied.
  std::string begin_reprint(const Actor& actor, const std::string& run, const std::vector<int>& pages);
  PrintRun reprint(const Actor& actor, const std::string& run, const std::vector<int>& pages);
  // Raises the revision; live prints are superseded.
  void revise(const Actor& actor, LabelRole role, const std::string& subject, const std::string& number,
              const std::string& reason);
  [[nodiscard]] std::vector<RunRecord> runs() const;
  [[nodiscard]] std::optional<RunRecord> find_run(const std::string& run) const;
  [[nodiscard]] std::vector<RunPrint> prints_of_run(const std::string& run) const;
  void for_each_print(const std::string& run, const std::function<void(const RunPrint&)>& visit) const;

  // --- field numbers -------------------------------------------------------------------------------------------
  // A block for a crew; usage_error if one of the numbers was ever used. reserved → issued → bound.
  void reserve_field_numbers(const Actor& actor, const std::string& crew, const std::vector<std::string>& numbers);
  void issue_field_numbers(const Actor& actor, const std::vector<std::string>& numbers);
  // spoiled, lost or returned; numbers that are bound stay so and are a usage_error.
  void retire_field_numbers(const Actor& actor, const std::vector<std::string>& numbers, FieldState state,
                            const std::string& reason);
  // Everything that does not fit: double use, split contexts, unissued or retired numbers, another crew's block, lots
  // that are not there, numbers bound elsewhere. `crew` may be empty: any block.
  [[nodiscard]] std::vector<FieldLogProblem> check_field_log(std::span<const FieldBinding> log,
                                                             const std::string& crew) const;
  // A whole field log at once; data_error naming the first problem if there is any, except numbers bound elsewhere
  // when `rebind` is set: then the prints that name them are superseded.
  BindResult bind_field_numbers(const Actor& actor, std::span<const FieldBinding> log, const std::string& crew,
                                bool rebind);
  [[nodiscard]] std::vector<FieldNumberRecord> field_numbers() const;

  // --- custody: each is one event that conserves counts and revises the labels it makes stale ---------------------
  void move(const Actor& actor, const Move& move);
  // Takes `quantity` pieces of an item out of a bag into a new one; returns its id. The labelled pieces are planned
  // anew.
  std::string split(const Actor& actor, const std::string& bag, const std::string& item, std::int64_t quantity,
                    const std::string& reason);
  // All that is in `from` goes into `into`; `from` is retired.
  void combine(const Actor& actor, const std::string& from, const std::string& into, const std::string& reason);
  // A new quantity of an item in a bag, with a reason; the item's count follows by the same difference.
  void recount(const Actor& actor, const std::string& bag, const std::string& item, std::int64_t quantity,
               const std::string& reason);
  std::string lend(const Actor& actor, const std::vector<std::string>& bags, const std::string& borrower,
                   const std::string& until);
  void take_back(const Actor& actor, const std::string& loan, const std::vector<std::string>& bags);
  [[nodiscard]] std::vector<LoanRecord> loans() const;

  // --- verdicts ------------------------------------------------------------------------------------------------
  void record_checks(const Actor& actor, std::span<const CheckRecord> checks);  // one event for a batch
  [[nodiscard]] std::vector<CheckRecord> checks_of_bag(const std::string& bag_id) const;

  // --- history and safety --------------------------------------------------------------------------------------
  // Of a bag id, an item, lot or field number, a run id or a serial; oldest first. Empty if nothing is known by it.
  [[nodiscard]] std::vector<HistoryLine> history(const std::string& subject) const;
  [[nodiscard]] std::vector<StationHead> heads() const;
  void for_each_event(const std::function<void(const Event&)>& visit) const;  // in the order this file took them in
  [[nodiscard]] LedgerVerification verify() const;
  // Copies the ledger as it is now through SQLite's backup interface, opens the copy and verifies it; a copy that does
  // not hold is removed again. environment_error if `target` exists.
  LedgerVerification backup(const std::filesystem::path& target) const;
  // Throws the records away and makes them again from the events, in one transaction.
  void rebuild();

  // --- CollectionView ------------------------------------------------------------------------------------------
  [[nodiscard]] std::string collection_key() const override;
  [[nodiscard]] std::optional<BagRecord> find_bag(const std::string& bag_id) const override;
  [[nodiscard]] std::optional<PrintRecord> find_print(const std::string& serial) const override;
  [[nodiscard]] std::vector<PrintRecord> live_prints(const std::string& bag_id, LabelRole role) const override;
  [[nodiscard]] std::vector<int> current_sheets(const std::string& bag_id, LabelRole role) const override;
  [[nodiscard]] std::vector<ExpectedArtifact> expected_artifacts(const std::string& bag_id) const override;
  [[nodiscard]] NumberRecord find_number(const std::string& canonical) const override;
  [[nodiscard]] std::optional<ArtifactLabelRecord> artifact_label(const std::string& canonical) const override;
  [[nodiscard]] std::vector<std::string> bags_of_item(const std::string& item) const override;

 private:
  friend LedgerCore& core_of(Ledger& ledger);
  friend const LedgerCore& core_of(const Ledger& ledger);
  explicit Ledger(std::unique_ptr<LedgerCore> core);
  std::unique_ptr<LedgerCore> core_;
};

}  // namespace sherdmark
