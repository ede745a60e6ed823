// The closed list of reasons a verdict can give: docs/verdicts.md shows the same table, and a test keeps them equal.
// Codes are part of `check --json`; they are never renamed, only added.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "sherdmark/verify/judge.h"

namespace sherdmark {

enum class ReasonCode {
  // disagree
  several_bags,
  several_collections,
  wrong_tag,
  wrong_slip,
  duplicate_label,
  record_mismatch,
  number_not_in_bag,
  wrong_field_tag,
  foreign_artifact,
  unexpected_label,
  never_label,
  too_many_copies,
  no_common_bag,
  pieces_over,
  // unknown
  another_collection,
  no_bag_record,
  no_print_record,
  no_number_record,
  unbound_field_number,
  // unreadable
  not_read_surely,
  newer_format,
  serial_not_read,
  low_margin,
  conflicting_readings,
  micro_code_conflict,
  copies_not_told_apart,
  keyed_copies,
  not_an_item_number,
  ambiguous_former_number,
  reused_number,
  not_accounted,
  // stale
  void_label,
  spoiled_label,
  superseded_label,
  older_revision,
  never_printed,
  retired_bag,
  copies_not_in_force,
  no_copy_in_force,
  // incomplete
  nothing_seen,
  missing_bag_label,
  missing_tag,
  missing_sheet,
  missing_artifact,
  nothing_recorded,
  pieces_short,
  // misplaced
  wrong_place,
  wrong_box,
  lent_but_here,
  // agree: notes that change nothing
  complete,
  former_number,
  removal_slip,
  item_status,
  count_not_compared
};

struct ReasonRule {
  ReasonCode id;
  std::string_view code;      // "several-bags"
  Verdict verdict;            // what this reason alone would give
  std::string_view sentence;  // {name} stands for a value of the set
  std::string_view remedy;    // what to do, one sentence; empty for notes
};

// Every rule, in the order of the verdicts.
[[nodiscard]] std::span<const ReasonRule> reason_rules();
[[nodiscard]] const ReasonRule& reason_rule(ReasonCode id);
[[nodiscard]] std::optional<ReasonRule> find_reason_rule(std::string_view code);

// The rule's sentence with its values filled in, made safe to print. A name without a value throws
// internal_error.
using ReasonValues = std::vector<std::pair<std::string_view, std::string>>;
[[nodiscard]] Reason make_reason(ReasonCode id, const ReasonValues& values = {});

}  // namespace sherdmark
