// docs/house-standard.md and the parser know the same keys, with the same units, defaults and limits.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <map>
#include <sstream>

#include "sherdmark/base/text.h"
#include "standard/section_reader.h"
#include "standard/standard_parts.h"
#include "standard_samples.h"

namespace sherdmark {
namespace {

struct DocumentedKey {
  std::string unit;
  std::string default_value;
  std::string range;
};

// Rows of the form "| `key` | unit | default | range or choices | meaning |".
std::map<std::string, DocumentedKey> documented_keys() {
  std::istringstream text{read_text(real_file_system(), testing::source_dir() / "docs/house-standard.md")};
  std::map<std::string, DocumentedKey> keys;
  for (std::string line; std::getline(text, line);) {
    if (line.rfind("| `", 0) != 0) continue;
    const std::vector<std::string> cells = split(line, '|');
    if (cells.size() < 6) {
      ADD_FAILURE() << "not a whole row: " << line;
      continue;
    }
    std::string key{trim(cells[1])};
    key = key.substr(1, key.size() - 2);
    EXPECT_FALSE(trim(cells[5]).empty()) << key << " has no meaning";
    const DocumentedKey row{std::string{trim(cells[2])}, std::string{trim(cells[3])}, std::string{trim(cells[4])}};
    EXPECT_TRUE(keys.emplace(key, row).second) << key << " is documented twice";
  }
  return keys;
}

std::string range_of(const KeySpec& key) {
  if (key.type == KeyType::choice) return join(split(key.choices, '|'), ", ");
  if (key.type == KeyType::boolean) return "true, false";
  if (key.type == KeyType::text) return "text";
  if (key.type == KeyType::texts) return "list of texts";
  return fmt::format("{} to {}", key.least, key.most);
}

TEST(StandardKeys, EveryKeyIsDocumentedWithUnitDefaultAndRange) {
  const std::map<std::string, DocumentedKey> documented = documented_keys();
  for (const KeySpec& key : standard_keys()) {
    const auto row = documented.find(std::string{key.path});
    ASSERT_NE(row, documented.end()) << key.path << " is not documented";
    EXPECT_EQ(row->second.unit, key.unit) << key.path;
    EXPECT_EQ(row->second.default_value, key.default_value) << key.path;
    EXPECT_EQ(row->second.range, range_of(key)) << key.path;
  }
}

TEST(StandardKeys, EveryDocumentedKeyExists) {
  for (const auto& [key, row] : documented_keys()) EXPECT_NE(find_key(key), nullptr) << key;
}

TEST(StandardKeys, EveryListedKeyIsReadAndNoOther) {
  StandardNotes notes;
  (void)read_standard(sample_text("quillow_ferry.toml"), "quillow_ferry.toml", notes);
  EXPECT_TRUE(notes.problems.empty());
  for (const KeySpec& key : standard_keys())
    EXPECT_TRUE(notes.asked.contains(key.path)) << key.path << " is never read";
  EXPECT_EQ(notes.asked.size(), standard_keys().size());
}

}  // namespace
}  // namespace sherdmark
