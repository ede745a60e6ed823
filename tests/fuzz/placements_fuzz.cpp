// Any bytes as placements: placements that are written and read back the same, or a data error that names the file.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "sherdmark/base/error.h"
#include "sherdmark/sheet/placement.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  try {
    const sherdmark::Placements placements =
        sherdmark::read_placements_json({reinterpret_cast<const char*>(data), size}, "fuzz.json");
    const std::string once = sherdmark::write_placements_json(placements);
    if (sherdmark::write_placements_json(sherdmark::read_placements_json(once, "again.json")) != once) std::abort();
  } catch (const sherdmark::Error& error) {
    if (error.family() != sherdmark::ErrorFamily::data || error.place().file != "fuzz.json") std::abort();
  }
  return 0;
}
