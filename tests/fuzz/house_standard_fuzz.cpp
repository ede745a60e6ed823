// Any bytes as a house standard: a standard, or a data error that names the file.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "sherdmark/base/error.h"
#include "sherdmark/standard/house_standard.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  try {
    (void)sherdmark::parse_house_standard({reinterpret_cast<const char*>(data), size}, "fuzz.toml");
  } catch (const sherdmark::Error& error) {
    if (error.family() != sherdmark::ErrorFamily::data || error.place().file != "fuzz.toml") std::abort();
  }
  return 0;
}
