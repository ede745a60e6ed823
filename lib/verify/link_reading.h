// What a link code says, as a reading. Private to verify.
#pragma once

#include "sherdmark/code/link_code.h"
#include "sherdmark/verify/readings.h"

namespace sherdmark {

// A sure reading of everything that the code names; source, place in the picture and text are the caller's.
void fill_from_link(Reading& reading, const LinkCode& link);

}  // namespace sherdmark
