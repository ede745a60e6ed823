// Characters drawn large with block characters, for a terminal.
#pragma once

#include <span>
#include <string>

#include "sherdmark/type/distinctness.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark {

// The first pairs, three at most, each with both glyphs side by side on one baseline; lines of at most 80 columns.
[[nodiscard]] std::string glyphs_in_blocks(const Typeface& face, std::span<const GlyphPair> pairs);

}  // namespace sherdmark
