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
  if (text.find_first_of(";|,\n\r:(") == std::string_view::npos) {  // most cells: one mark
    if (const std::string_view mark = trim(text); !mark.empty()) list.bags.push_back({std::string{mark}, std::nullopt});
    return list;
  }
  for (const std::string& part : split_list(text)) {
    BagShare share = read_share(part);
    if (share.mark.empty()) return {{}, "A quantity stands without the bag it is in."};
    if (share.quantity && *share.quantity < 1) return {{}, "A bag is said to hold none of the item."};
    const bool twice = std::any_of(list.bags.begin(), list.bags.end(),
                                   [&share](const BagShare& other) { return other.mark == share.mark; });
    if (twice) return {{}, "A bag is named twice in the row."};
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
