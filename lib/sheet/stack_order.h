// Strips of a stack in bench order: which strip lies on top of which, once it is known what lies in them.
//
// A plan in order puts odd heights into a stack's last strips. Where no column holds labels of two such strips, the
// strip with the earlier label may come off the sheet first just as well.
#pragma once

#include "sheet/order_plan.h"

namespace sherdmark {

// Puts each stack's strips in the order of their first labels (their least items), as far as the labels of every column
// still lie from the top down as they did: what falls off, pile by pile, stays in its order.
void put_strips_in_order(OrderedPlan& plan);

// Whether every strip's first label comes after the first label of the strip before, through all stacks.
[[nodiscard]] bool strips_in_order(const OrderedPlan& plan);

}  // namespace sherdmark
