// Would `agree` be true of this scene? Answered from what physically lies in the picture, in the words of the design
// (docs/verdicts.md), without any code of the judge.
#pragma once

#include <string>

#include "sherdmark/verify/judge.h"
#include "verify/adversary/scene.h"

namespace sherdmark::adversary {

// Empty when an agreement would be true; otherwise why it would not be.
[[nodiscard]] std::string why_agree_is_wrong(const Scene& scene);

// A judge that trusts what it sees (counts labels and compares numbers): it must be caught.
[[nodiscard]] Verdict judge_naively(const ReadingSet& set, const CollectionView& records);

}  // namespace sherdmark::adversary
