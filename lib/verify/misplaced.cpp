// misplaced: the place was read or given, and it is not where the ledger has the bag.
#include <algorithm>

#include "sherdmark/ledger/identity.h"
#include "verify/predicates.h"

namespace sherdmark {
namespace {

// "Room 2" is not at odds with "Room 2/Shelf 3", only less exact.
bool lies_under(const std::string& place, const std::string& whole) {
  return place == whole || (whole.size() > place.size() && whole.starts_with(place) && whole[place.size()] == '/');
}

// As it stands large on the box's label; its id where no name may stand there.
std::string name_of_box(const Reading& label) {
  const std::string name = label.number.value_or("");
  return name.empty() || name == *label.place ? group_identity(*label.place) : name;
}

Reason wrong_box(const BagRecord& bag, const std::string& seen_with) {
  return make_reason(
      ReasonCode::wrong_box,
      {{"bag", group_identity(bag.id)}, {"place", seen_with}, {"now", bag.box.empty() ? "no box" : bag.box}});
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
      reasons.push_back(make_reason(ReasonCode::wrong_place,
                                    {{"bag", group_identity(bag.id)}, {"place", place}, {"now", bag.now_place}}));
  for (const SeenCarrier& carrier : the_case.carriers)
    if (carrier.ours && carrier.reading.role == LabelRole::box && *carrier.reading.place != bag.box_id)
      reasons.push_back(wrong_box(bag, name_of_box(carrier.reading)));
  for (const std::string& box : the_case.boxes_typed)
    if (box != bag.box) reasons.push_back(wrong_box(bag, box));
  // Where the ledger has a lent bag now is a place of the house, whatever it is: nobody moves a bag that is out.
  if (bag.lent) reasons.push_back(make_reason(ReasonCode::lent_but_here, {{"bag", group_identity(bag.id)}}));
  return reasons;
}

}  // namespace sherdmark
