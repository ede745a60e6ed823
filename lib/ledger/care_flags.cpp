#include "ledger/care_flags.h"

#include <set>

#include "ledger/json_text.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {

bool holds_care_flag(const HouseStandard& standard, std::string_view flags_json) {
  if (flags_json == "[]") return false;
  auto flags = JsonView{flags_json}.elements();
  while (const auto flag = flags.next())
    if (is_care_flag(standard, flag->text())) return true;
  return false;
}

std::string care_flag_spellings(const LedgerCore& core) {
  std::set<std::string> spellings(core.standard.care_flags.begin(), core.standard.care_flags.end());
  Statement rows = core.db.prepare("SELECT DISTINCT f.value FROM items i, json_each(i.flags) f WHERE i.flags <> '[]'");
  while (rows.step())
    if (is_care_flag(core.standard, rows.view(0))) spellings.insert(rows.text(0));
  JsonWriter out;
  out.begin_array();
  for (const std::string& spelling : spellings) out.text(spelling);
  out.end_array();
  return out.take();
}

}  // namespace sherdmark
