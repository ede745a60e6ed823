// Any bytes as the text of a code: an answer, never an exception; and what is ours is written back the same.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "sherdmark/code/link_code.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text{reinterpret_cast<const char*>(data), size};
  const sherdmark::LinkReading reading = sherdmark::parse_code_text(text);
  if (reading.link && sherdmark::write_link_code(*reading.link) != text) std::abort();
  if (reading.micro && sherdmark::write_micro_code(*reading.micro) != text) std::abort();
  return 0;
}
