// WebP by libwebp and its demultiplexer: the only file that knows them.
#include <webp/decode.h>
#include <webp/demux.h>

#include <memory>
#include <vector>

#include "scan/image_formats.h"

namespace sherdmark {
namespace {

struct DeleteDemuxer {
  void operator()(WebPDemuxer* demuxer) const { WebPDemuxDelete(demuxer); }
};
using Demuxer = std::unique_ptr<WebPDemuxer, DeleteDemuxer>;

const std::uint8_t* data_of(const ImageFile& file) { return reinterpret_cast<const std::uint8_t*>(file.bytes.data()); }

// EXIF orientation of the container; 1 when it has none.
int orientation_of(const WebPDemuxer* demuxer) {
  WebPChunkIterator chunk{};
  int orientation = 1;
  if (WebPDemuxGetChunk(demuxer, "EXIF", 1, &chunk) != 0) {
    auto block = std::as_bytes(std::span{chunk.chunk.bytes, chunk.chunk.size});
    constexpr std::string_view k_prefix{"Exif\0\0", 6};  // some writers keep the prefix that a JPEG needs
    const std::string_view text{reinterpret_cast<const char*>(block.data()), block.size()};
    if (text.starts_with(k_prefix)) block = block.subspan(k_prefix.size());
    orientation = exif_orientation(block);
  }
  WebPDemuxReleaseChunkIterator(&chunk);
  return orientation;
}

WebPBitstreamFeatures features_of(const ImageFile& file) {
  WebPBitstreamFeatures features{};
  const VP8StatusCode status = WebPGetFeatures(data_of(file), file.bytes.size(), &features);
  if (status == VP8_STATUS_NOT_ENOUGH_DATA) throw image_truncated(file);
  if (status != VP8_STATUS_OK) throw image_damaged(file, "its WebP header makes no sense");
  return features;
}

// The length that the container states, against what is there.
void require_whole(const ImageFile& file) {
  std::uint64_t length = 0;
  for (std::size_t i = 0; i < 4; ++i) length |= std::to_integer<std::uint64_t>(file.bytes[4 + i]) << (8U * i);
  if (length + 8 > file.bytes.size()) throw image_truncated(file);
}

void paint_rows(Canvas& canvas, const std::uint8_t* rgba) {
  for (int y = 0; y < canvas.height_px(); ++y) {
    std::uint8_t* out = canvas.row(y);
    for (int x = 0; x < canvas.width_px(); ++x, rgba += 4, out += canvas.pixel_bytes())
      canvas.paint(out, over_white(rgba[0], rgba[3]), over_white(rgba[1], rgba[3]), over_white(rgba[2], rgba[3]));
  }
}

}  // namespace

Canvas decode_webp(const ImageFile& file, Channels channels) {
  if (file.bytes.size() < 12) throw image_truncated(file);
  require_whole(file);
  const WebPBitstreamFeatures features = features_of(file);
  if (features.has_animation != 0) throw image_unsupported(file, "Animated WebP pictures", "Save one frame as PNG.");
  require_acceptable_size(file, features.width, features.height);
  const WebPData data{data_of(file), file.bytes.size()};
  const Demuxer demuxer{WebPDemux(&data)};
  if (!demuxer) throw image_damaged(file, "its WebP container is not whole");
  std::vector<std::uint8_t> rgba(static_cast<std::size_t>(features.width) * static_cast<std::size_t>(features.height) *
                                 4);
  if (WebPDecodeRGBAInto(data_of(file), file.bytes.size(), rgba.data(), rgba.size(), features.width * 4) == nullptr)
    throw image_damaged(file, "the WebP decoder finds no whole picture in it");
  Canvas canvas{channels};
  canvas.allocate(features.width, features.height);
  paint_rows(canvas, rgba.data());
  return upright(std::move(canvas), orientation_of(demuxer.get()));
}

}  // namespace sherdmark
