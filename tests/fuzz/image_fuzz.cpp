// Any bytes as a picture: pages, or a data error that names the file. Limits are small so that memory stays bounded.
#include <cstdint>
#include <cstdlib>
#include <span>

#include "sherdmark/base/error.h"
#include "sherdmark/scan/image.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  sherdmark::ImageLimits limits;
  limits.most_pixels = 1'000'000;
  limits.most_side_px = 4096;
  limits.most_pages = 4;
  limits.most_pixels_of_all_pages = 4'000'000;
  try {
    (void)sherdmark::read_image(std::as_bytes(std::span{data, size}), "fuzz.img", limits);
  } catch (const sherdmark::Error& error) {
    if (error.family() != sherdmark::ErrorFamily::data || error.place().file != "fuzz.img") std::abort();
  }
  return 0;
}
