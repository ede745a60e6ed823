// Which box a bag lies in: putting it into one, taking it out of one. Callable from tools.
#pragma once

#include <string>

#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

// The bag lies in this box from now on (its name or id), is where the box is, and belongs where the box belongs. An
// item all of whose bags lie in it then is recorded there too. One event; box lists of both boxes become stale.
// usage_error for a bag that is on loan, retired, or lies in that box already.
void put_into_box(Ledger& ledger, const Actor& actor, const std::string& bag, const std::string& box);

// The bag lies in no box any more; it stands at `place` (a path) and belongs there. usage_error when it was in none.
void take_out_of_box(Ledger& ledger, const Actor& actor, const std::string& bag, const std::string& place);

}  // namespace sherdmark
