#include "report/count_words.h"

#include <fmt/format.h>

namespace sherdmark {

std::string plural(std::int64_t n, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", n, n == 1 ? one : many);
}

}  // namespace sherdmark
