// How custody events are told; called by event_words.cpp only.
#pragma once

#include <string>
#include <string_view>

#include "ledger/json_text.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

struct Telling {
  const JsonObject& payload;
  std::string_view subject;
  const HouseStandard& standard;
};

// "a, b, c and 4 more".
[[nodiscard]] std::string listed(const JsonView& list, std::size_t at_most = 8);
// May a value of the column be told?
[[nodiscard]] bool tells(const Telling& told, std::string_view column);
// The place as it is told: by its name, or only that it is a restricted one.
[[nodiscard]] std::string place_in_words(const Telling& told, std::string place);
[[nodiscard]] std::string with_reason(std::string text, const JsonObject& payload);

[[nodiscard]] std::string tell_reserved(const Telling& told);
[[nodiscard]] std::string tell_field_numbers(const Telling& told);
[[nodiscard]] std::string tell_bound(const Telling& told);
[[nodiscard]] std::string tell_moved(const Telling& told);
[[nodiscard]] std::string tell_boxed(const Telling& told);
[[nodiscard]] std::string tell_split(const Telling& told);
[[nodiscard]] std::string tell_combined(const Telling& told);
[[nodiscard]] std::string tell_recounted(const Telling& told);
[[nodiscard]] std::string tell_weighed(const Telling& told);
[[nodiscard]] std::string tell_lent(const Telling& told);
[[nodiscard]] std::string tell_returned(const Telling& told);
[[nodiscard]] std::string tell_inventory_opened(const Telling& told);
[[nodiscard]] std::string tell_inventory_seen(const Telling& told);
[[nodiscard]] std::string tell_inventory_taken_back(const Telling& told);
[[nodiscard]] std::string tell_inventory_closed(const Telling& told);
[[nodiscard]] std::string tell_found_reserved(const Telling& told);
[[nodiscard]] std::string tell_found_resolved(const Telling& told);
[[nodiscard]] std::string tell_audit_drawn(const Telling& told);
[[nodiscard]] std::string tell_audit_recorded(const Telling& told);
[[nodiscard]] std::string tell_audit_concluded(const Telling& told);
[[nodiscard]] std::string tell_box_list(const Telling& told);
[[nodiscard]] std::string tell_filed(const Telling& told);
[[nodiscard]] std::string tell_sheet_closed(const Telling& told);
[[nodiscard]] std::string tell_bagged(const Telling& told);
[[nodiscard]] std::string tell_renumbered(const Telling& told);
[[nodiscard]] std::string tell_restricted(const Telling& told);
[[nodiscard]] std::string tell_restriction_lifted(const Telling& told);
[[nodiscard]] std::string tell_concordance(const Telling& told);
[[nodiscard]] std::string tell_assembled(const Telling& told);
[[nodiscard]] std::string tell_keyboard(const Telling& told);
[[nodiscard]] std::string tell_scan_opened(const Telling& told);
[[nodiscard]] std::string tell_scanned(const Telling& told);
[[nodiscard]] std::string tell_scan_closed(const Telling& told);
[[nodiscard]] std::string tell_printer(const Telling& told);
[[nodiscard]] std::string tell_soak_test(const Telling& told);
[[nodiscard]] std::string tell_reviewed(const Telling& told);
[[nodiscard]] std::string tell_overridden(const Telling& told);
[[nodiscard]] std::string tell_graded(const Telling& told);

}  // namespace sherdmark
