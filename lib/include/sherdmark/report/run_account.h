// What revise and spares did, as text and JSON (docs/commands.md).
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "sherdmark/ledger/role_labels.h"

namespace sherdmark {

struct RevisionReport {
  LabelRole role = LabelRole::bag;
  std::string subject;
  std::string number;
  int revision = 1;             // from now on
  std::int64_t superseded = 0;  // prints out of force
};
[[nodiscard]] std::string revision_text(const RevisionReport& report);
[[nodiscard]] std::string revision_json(const RevisionReport& report);

struct SparesReport {
  std::string run;
  RunAccount account;              // as it is now
  std::int64_t destroyed_now = 0;  // by this command
};
[[nodiscard]] std::string spares_text(const SparesReport& report);
[[nodiscard]] std::string spares_json(const SparesReport& report);

// Cards that were drawn; nothing about them is kept.
struct CardsReport {
  LabelRole role = LabelRole::action;
  std::size_t cards = 0;
  int pages = 0;
  std::vector<std::string> files;
};
[[nodiscard]] std::string cards_text(const CardsReport& report);
[[nodiscard]] std::string cards_json(const CardsReport& report);

}  // namespace sherdmark
