// The small language of truth_table.tsv: statements about records, statements about readings, and what must follow.
// It is described at the top of that file. A statement that is not understood throws std::runtime_error.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "sherdmark/standard/house_standard.h"
#include "sherdmark/verify/judge.h"
#include "verify/memory_collection.h"

namespace sherdmark::testing {

struct TruthRow {
  int line = 0;
  std::string name;
  std::string records;
  std::string readings;
  std::string verdict;
  std::string reasons;  // codes in order, separated by spaces
  std::string evidence;
  std::string expected;
  std::string seen;
};

struct TruthTable {
  std::vector<std::string> world;  // record statements that every row starts from
  std::vector<TruthRow> rows;
};

[[nodiscard]] TruthTable read_truth_table(const std::filesystem::path& file);

struct TruthCase {
  MemoryCollection collection;
  HouseStandard standard;
  ReadingSet set;
};

[[nodiscard]] TruthCase build_case(const TruthTable& table, const TruthRow& row);

}  // namespace sherdmark::testing
