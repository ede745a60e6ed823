#include "sherdmark/ledger/places.h"

#include <algorithm>
#include <utility>

#include "ledger/core.h"
#include "sherdmark/base/nearness.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
std::string place_as_kept(std::string_view written) {
  std::vector<std::string> parts = split(written, '/');
  for (std::string& part : parts) part = std::string{trim(part)};
  return join(parts, "/");
}

std::vector<std::string> bags_away(const Ledger& ledger, const std::string& box) {
  std::vector<std::string> away;
  Statement rows = core_of(ledger).db.prepare(
      "SELECT b.code FROM bags b JOIN boxes x ON x.id = b.box WHERE (x.code = ?1 OR x.name = ?1)"
      " AND b.state = 'active' AND b.now <> x.now ORDER BY b.id");
  rows.with(box);
  while (rows.step()) away.push_back(rows.text(0));
  return away;
}

std::vector<std::string> places_like(const Ledger& ledger, std::string_view written) {
  constexpr std::size_t k_most = 3;
  const std::string wanted = to_lower_ascii(place_as_kept(written));
  const std::size_t far = std::max<std::size_t>(2, wanted.size() / 5);
  std::vector<std::pair<std::size_t, std::string>> near;
  Statement rows = core_of(ledger).db.prepare("SELECT path FROM places ORDER BY path");
  rows.with();
  while (rows.step()) {
    const std::string path = to_lower_ascii(rows.view(0));
    // The last part alone is how people name a place that they stand before.
    const bool by_its_end = path.ends_with("/" + wanted);
    const std::size_t apart = by_its_end ? 0 : letters_apart(wanted, path);
    if (apart <= far) near.emplace_back(apart, rows.text(0));
  }
  std::ranges::stable_sort(near, {}, &std::pair<std::size_t, std::string>::first);
  std::vector<std::string> places;
  for (std::size_t i = 0; i < std::min(near.size(), k_most); ++i) places.push_back(near[i].second);
  return places;
}

}  // namespace sherdmark
