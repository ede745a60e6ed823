#include "report/verdict_words.h"

#include <algorithm>

namespace sherdmark {

std::vector<std::string> bags_named(const SetVerdict& verdict) {
  std::vector<std::string> bags;
  for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
    for (const Reading& reading : verdict.readings)
      if (reading.sure && reading.role == role && reading.bag && !reading.bag->empty() &&
          std::ranges::find(bags, *reading.bag) == bags.end())
        bags.push_back(*reading.bag);
    if (!bags.empty()) break;
  }
  return bags;
}

}  // namespace sherdmark
