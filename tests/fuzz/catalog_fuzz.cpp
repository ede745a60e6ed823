// Any bytes as a catalog: rows and problems, or a data error that names the file.
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <span>

#include "sherdmark/base/error.h"
#include "sherdmark/catalog/read_catalog.h"
#include "support/test_support.h"

namespace {

const sherdmark::HouseStandard& standard() {
  static const sherdmark::HouseStandard parsed = [] {
    std::ifstream in{sherdmark::testing::sample("standards/ostervane.toml"), std::ios::binary};
    return sherdmark::parse_house_standard(
        std::string{std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}}, "ostervane.toml");
  }();
  return parsed;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  try {
    const sherdmark::CatalogReading reading =
        sherdmark::read_catalog(sherdmark::read_table(std::as_bytes(std::span{data, size}), "fuzz.csv"), standard());
    if (reading.rows.size() + reading.bad_table_rows.size() > reading.table.rows.size()) std::abort();
  } catch (const sherdmark::Error& error) {
    if (error.family() != sherdmark::ErrorFamily::data || error.place().file != "fuzz.csv") std::abort();
  }
  return 0;
}
