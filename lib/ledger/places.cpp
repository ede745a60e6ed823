#include "sherdmark/ledger/places.h"

#include <vector>

#include "sherdmark/base/text.h"

namespace sherdmark {

std::string place_as_kept(std::string_view written) {
  std::vector<std::string> parts = split(written, '/');
  for (std::string& part : parts) part = std::string{trim(part)};
  return join(parts, "/");
}

}  // namespace sherdmark
