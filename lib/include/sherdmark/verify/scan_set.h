// The labels of one bag while they are scanned: what every session with a scanner keeps between two bags, and judges as
// it grows. Artifact labels have no serial, so a number heard twice counts once until a person says it is another
// piece. Pure; no errors. Called by the sessions (verify/scan_session.h, count/inventory_session.h).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/code/link_code.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

// What a code that was scanned, a label that was typed, an artifact's number say, as readings. `text`: as heard.
[[nodiscard]] Reading scanned_reading(const LinkCode& link, const std::string& text);
[[nodiscard]] Reading heard_reading(const PrintRecord& print, const std::string& text);  // verify/typed_label.h
[[nodiscard]] Reading artifact_reading(const std::string& number, ReadingSource source, const std::string& text);
// A box whose name a person typed, that the bag came out of. No label was read, so it has no serial; a verdict compares
// it with the bag's box all the same (verify/case.h).
[[nodiscard]] Reading typed_box_reading(const std::string& name);
// "TAG  B-7KM-00042  12.7", for the one large line; safe for a terminal.
[[nodiscard]] std::string label_words(const Reading& reading);

class ScanSet {
 public:
  // Both must outlive it.
  ScanSet(const CollectionView& records, const HouseStandard& standard) : records_(&records), standard_(&standard) {}

  void begin(std::string name);  // empty again
  [[nodiscard]] bool empty() const { return set_.readings.empty(); }
  [[nodiscard]] const ReadingSet& so_far() const { return set_; }
  [[nodiscard]] bool has_print(const Reading& reading) const;  // this very label, saying the same
  [[nodiscard]] bool has_artifact(const std::string& number) const;

  // The box (its label, or its name that was typed) that all bags come out of from now on, until it is said anew; it is
  // judged with each set but is not one of its labels: `so_far`, `take_back` and `empty` do not know it.
  void come_from(std::optional<Reading> box) { box_ = std::move(box); }
  [[nodiscard]] const std::optional<Reading>& box() const { return box_; }

  void add(Reading reading) { set_.readings.push_back(std::move(reading)); }
  void count(std::optional<std::int64_t> pieces);  // the bag was opened and so many pieces were counted
  Reading take_back(const std::string& place);     // the newest; not when empty

  // Says what more scans cannot put right. A finding is told once: a label that adds none is not blamed for an earlier
  // one. `place`: where the bag was seen, empty when nobody said.
  struct Judged {
    SetVerdict verdict;
    std::vector<Reason> fresh;  // findings not told before
    [[nodiscard]] bool bad() const;
    [[nodiscard]] std::string progress() const;  // "2 of 5", "5 of 5   COMPLETE"
  };
  [[nodiscard]] Judged judge_so_far(const std::string& place);
  [[nodiscard]] SetVerdict close(const std::string& place);  // the whole set's; it stays as it is until `begin`

 private:
  SetVerdict judge_at(const std::string& place);

  const CollectionView* records_;
  const HouseStandard* standard_;
  ReadingSet set_;
  std::optional<Reading> box_;
  std::vector<std::string> told_;
};

}  // namespace sherdmark
