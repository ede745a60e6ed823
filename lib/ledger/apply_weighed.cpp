// What a weighing does to the records. Payload: docs/formats/ledger.md.
#include "ledger/apply.h"
#include "sherdmark/base/error.h"

namespace sherdmark {

void apply_weighed(const AppliedEvent& applied) {
  const std::string item = applied.payload.at("item").text();
  if (applied.payload.at("quantity").is_null()) {
    revise_listed(applied);
    note_subject(applied, applied.payload.at("bag").text());
    note_subject(applied, item);
  } else {
    apply_recounted(applied);  // the same keys; the count may be what it was
  }
  applied.db.run("UPDATE items SET weight_g = ? WHERE number = ?", applied.payload.at("weight_g").decimal(), item);
  if (applied.db.changes() != 1) throw damaged("it names an item that is not there");
}

}  // namespace sherdmark
