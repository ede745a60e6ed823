// The readings of one picture, as they come in from its levels: what is seen twice counts once, and nothing hides
// another. Private to the reader of artifact labels.
#pragma once

#include <vector>

#include "scan/label_text_evidence.h"
#include "sherdmark/scan/label_text.h"

namespace sherdmark::label_text {

// A sure reading takes the place of what was not read surely there; two sure ones that differ are neither. Of what is
// not sure, the one with more margin stays; but the text between two rules, seen from both, stays twice.
void add_reading(std::vector<TextReading>& readings, TextReading reading);

// A rule by itself counts where nothing was read at its place, and tells what was not read surely from mere marks.
void add_sign(std::vector<TextReading>& readings, const RuleSign& sign, const HouseStandard& standard);

}  // namespace sherdmark::label_text
