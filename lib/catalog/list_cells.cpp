#include "catalog/list_cells.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

bool is_quantity(std::string_view text) {
  return !text.empty() && text.size() < 10 &&
         std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

BagShare read_share(std::string_view text) {
  const std::size_t colon = text.rfind(':');
  if (colon != std::string_view::npos && is_quantity(trim(text.substr(colon + 1))))
    return {std::string{trim(text.substr(0, colon))}, parse_integer(trim(text.substr(colon + 1)))};
  const std::size_t bracket = text.rfind('(');
  if (bracket != std::string_view::npos && text.back() == ')') {
    const std::string_view inside = trim(text.substr(bracket + 1, text.size() - bracket - 2));
    if (is_quantity(inside)) return {std::string{trim(text.substr(0, bracket))}, parse_integer(inside)};
  }
  return {std::string{text}, std::nullopt};
}

constexpr const char* k_each_once = "Write each bag once, with what it holds: B7:120; B8:227.";

// Two names with something between them that is no sign between bags.
bool may_be_two(std::string_view mark) {
  const std::string lower = to_lower_ascii(mark);
  for (const std::string_view between : {" and ", "&", "+", ","}) {
    const std::size_t at = lower.find(between);
    if (at == std::string::npos) continue;
    if (!trim(mark.substr(0, at)).empty() && !trim(mark.substr(at + between.size())).empty()) return true;
  }
  return false;
}

}  // namespace

std::vector<std::string> split_list(std::string_view text) {
  std::vector<std::string> parts;
  std::size_t start = 0;
  for (std::size_t i = 0; i <= text.size(); ++i) {
    const bool ends = i == text.size() || text[i] == ';' || text[i] == '|' || text[i] == '\n' || text[i] == '\r' ||
                      (text[i] == ',' && i + 1 < text.size() && text[i + 1] == ' ');
    if (!ends) continue;
    const std::string_view part = trim(text.substr(start, i - start));
    if (!part.empty()) parts.emplace_back(part);
    start = i + 1;
  }
  return parts;
}

BagList read_bags(std::string_view text) {
  BagList list;
  if (text.find_first_of(";|,\n\r:(&+ ") == std::string_view::npos) {  // most cells: one mark
    if (const std::string_view mark = trim(text); !mark.empty()) list.bags.push_back({std::string{mark}, std::nullopt});
    return list;
  }
  for (const std::string& part : split_list(text)) {
    BagShare share = read_share(part);
    if (share.mark.empty()) return {{}, "A quantity stands without the bag it is in.", k_each_once};
    if (may_be_two(share.mark))
      return {{},
              "The cell may name one bag or two.",
              "Put ; between two bags: B7; B8. One bag gets a name without \"and\", &, + or a comma."};
    if (share.quantity && *share.quantity < 1) return {{}, "A bag is said to hold none of the item.", k_each_once};
    const bool twice = std::any_of(list.bags.begin(), list.bags.end(),
                                   [&share](const BagShare& other) { return other.mark == share.mark; });
    if (twice) return {{}, "A bag is named twice in the row.", k_each_once};
    list.bags.push_back(std::move(share));
  }
  return list;
}

std::string write_bags(const std::vector<BagShare>& bags) {
  std::vector<std::string> parts;
  for (const BagShare& bag : bags)
    parts.push_back(bag.quantity ? fmt::format("{}:{}", bag.mark, *bag.quantity) : bag.mark);
  return join(parts, "; ");
}

}  // namespace sherdmark
