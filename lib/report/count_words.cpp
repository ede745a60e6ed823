#include "report/count_words.h"

#include <fmt/format.h>

#include "sherdmark/base/text.h"

namespace sherdmark {

std::string plural(std::int64_t n, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", n, n == 1 ? one : many);
}

std::string box_words(const std::string& name) {
  return to_lower_ascii(std::string_view{name}.substr(0, 3)) == "box" ? name : "box " + name;
}

}  // namespace sherdmark
