// Verdicts as the ledger keeps them.
#include "report/readings_json.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {

std::vector<CheckRecord> check_records(std::span<const SetVerdict> verdicts) {
  std::vector<CheckRecord> records;
  for (const SetVerdict& verdict : verdicts) {
    CheckRecord record;
    record.set = verdict.set;
    record.bag = verdict.bag.value_or("");
    record.number = verdict.number.value_or("");
    record.verdict = to_text(verdict.verdict);
    record.evidence = to_text(verdict.evidence);
    record.expected = verdict.expected;
    record.seen = verdict.seen;
    record.place_checked = verdict.place_checked;
    record.place = verdict.place_given;
    record.counted = verdict.counted_pieces;
    for (const Reason& reason : verdict.reasons) record.reasons.push_back({reason.code, reason.text});
    record.images = verdict.images;
    record.readings_json = std::string{trim(readings_json(verdict.readings).line())};
    records.push_back(std::move(record));
  }
  return records;
}

}  // namespace sherdmark
