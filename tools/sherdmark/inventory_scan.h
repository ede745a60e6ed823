// The live session of `inventory scan`: lines of a handheld scanner in, an answer to each out.
#pragma once

#include <iosfwd>
#include <string>

#include "session.h"
#include "sherdmark/ledger/inventory.h"

namespace sherdmark {

struct InventoryScanOptions {
  std::string place, box;  // where the first bags are; empty: the first scan says it
  bool json = false;
  bool bells = false;
};

// Exit code: 0, or 1 when any scan was a finding.
int inventory_scan(const Session& session, Ledger& ledger, const Actor& actor, const InventoryRecord& inventory,
                   std::istream& in, const InventoryScanOptions& options);

}  // namespace sherdmark
