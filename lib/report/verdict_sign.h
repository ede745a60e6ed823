// The signs of the verdicts: seven shapes that differ without colour, for marked pictures.
#pragma once

#include "report/mark_canvas.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

// Colours that people with any colour vision tell apart (after Okabe and Ito's palette, from memory); the shape says
// it.
[[nodiscard]] Ink verdict_ink(Verdict verdict);
// Draws the sign in a circle of the radius.
void draw_verdict_sign(MarkCanvas& canvas, Verdict verdict, const PointF& centre, double radius_px);

}  // namespace sherdmark
