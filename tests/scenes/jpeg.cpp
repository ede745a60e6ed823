#include "scenes/jpeg.h"

#include <cstdio>
#include <cstdlib>
#include <memory>

#include <jpeglib.h>

namespace sherdmark::scenes {

Bytes write_jpeg(const ColourPicture& picture, int quality) {
  jpeg_compress_struct info{};
  jpeg_error_mgr errors{};
  info.err = jpeg_std_error(&errors);
  jpeg_create_compress(&info);
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  jpeg_mem_dest(&info, &buffer, &size);
  info.image_width = static_cast<JDIMENSION>(picture.width_px);
  info.image_height = static_cast<JDIMENSION>(picture.height_px);
  info.input_components = 3;
  info.in_color_space = JCS_RGB;
  jpeg_set_defaults(&info);
  jpeg_set_quality(&info, quality, TRUE);
  jpeg_start_compress(&info, TRUE);
  while (info.next_scanline < info.image_height) {
    const std::size_t at =
        static_cast<std::size_t>(info.next_scanline) * static_cast<std::size_t>(picture.width_px) * 3;
    JSAMPROW row = const_cast<JSAMPROW>(picture.rgb.data() + at);
    jpeg_write_scanlines(&info, &row, 1);
  }
  jpeg_finish_compress(&info);
  jpeg_destroy_compress(&info);
  const std::unique_ptr<unsigned char, void (*)(void*)> owner{buffer, std::free};
  const auto* bytes = reinterpret_cast<const std::byte*>(buffer);
  return {bytes, bytes + size};
}

}  // namespace sherdmark::scenes
