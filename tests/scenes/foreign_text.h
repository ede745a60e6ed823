// Print and writing that lies on a bench beside the labels and is none of them: material of measurements.
#pragma once

#include <array>
#include <string_view>

#include "sherdmark/base/picture.h"
#include "sherdmark/base/random.h"
#include "sherdmark/type/typeface.h"

namespace sherdmark::scenes {

enum class ForeignKind { ruler, scale_bar, colour_card, newsprint, ink_number, form };
inline constexpr std::array k_foreign_kinds{ForeignKind::ruler,     ForeignKind::scale_bar,  ForeignKind::colour_card,
                                            ForeignKind::newsprint, ForeignKind::ink_number, ForeignKind::form};
[[nodiscard]] std::string_view to_text(ForeignKind kind);

// About 60 × 40 mm of it, upright, a little blurred and noisy. Digits and letters of `face`, which may be the house
// font itself: then only what surrounds them tells that they are no label.
[[nodiscard]] GreyPicture foreign_text(ForeignKind kind, const Typeface& face, double px_per_mm, RandomSource& random);

}  // namespace sherdmark::scenes
