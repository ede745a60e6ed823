#include "sherdmark/catalog/table.h"

namespace sherdmark {

std::vector<std::string> TableRow::texts() const {
  std::vector<std::string> texts;
  texts.reserve(count_);
  for (std::size_t i = 0; i < count_; ++i) texts.emplace_back((*this)[i]);
  return texts;
}

std::vector<std::vector<std::string>> TableRows::texts() const {
  std::vector<std::vector<std::string>> texts;
  texts.reserve(size());
  for (std::size_t i = 0; i < size(); ++i) texts.push_back((*this)[i].texts());
  return texts;
}

void TableRows::forget_cells() {
  text_ = std::string{};
  cells_ = std::vector<TableCell>{};
  for (Range& row : rows_) row = {};
}

}  // namespace sherdmark
