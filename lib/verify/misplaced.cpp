// misplaced: the place was read or given, and it is not where the ledger has the bag.
#include <algorithm>

#include "verify/predicates.h"

namespace sherdmark {
namespace {

// "Room 2" is not at odds with "Room 2/Shelf 3", only less exact.
bool lies_under(const std::string& place, const std::string& whole) {
  return place == whole || (whole.size() > place.size() && whole.starts_with(place) && whole[place.size()] == '/');
}

}  // namespace

bool place_was_checked(const Case& the_case) {
  if (!the_case.bag || the_case.bag->now_place.empty()) return false;
  return std::find(the_case.places.begin(), the_case.places.end(), the_case.bag->now_place) != the_case.places.end() ||
         std::any_of(the_case.places.begin(), the_case.places.end(),
                     [&](const std::string& place) { return !lies_under(place, the_case.bag->now_place); });
}

Reasons is_misplaced(const Case& the_case) {
  Reasons reasons;
  if (!the_case.bag) return reasons;
  const BagRecord& bag = *the_case.bag;
  for (const std::string& place : the_case.places)
    if (!bag.now_place.empty() && !lies_under(place, bag.now_place))
      reasons.push_back(
          make_reason(ReasonCode::wrong_place, {{"bag", bag.id}, {"place", place}, {"now", bag.now_place}}));
  for (const SeenCarrier& carrier : the_case.carriers)
    if (carrier.ours && carrier.reading.role == LabelRole::box && *carrier.reading.place != bag.box_id)
      reasons.push_back(make_reason(
          ReasonCode::wrong_box,
          {{"bag", bag.id}, {"place", *carrier.reading.place}, {"now", bag.box.empty() ? "no box" : bag.box}}));
  // Where the ledger has a lent bag now is a place of the house, whatever it is: nobody moves a bag that is out.
  if (bag.lent) reasons.push_back(make_reason(ReasonCode::lent_but_here, {{"bag", bag.id}}));
  return reasons;
}

}  // namespace sherdmark
