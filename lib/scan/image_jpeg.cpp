// JPEG by libjpeg-turbo: the only file that knows it.
#include <cstdio>  // before jpeglib.h, which needs FILE and size_t
//
#include <jerror.h>
#include <jpeglib.h>

#include <array>
#include <csetjmp>

#include "scan/image_formats.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr unsigned k_exif_marker_longest = 0xFFFF;
constexpr std::string_view k_exif_opening{"Exif\0\0", 6};
constexpr int k_most_scans = 100;  // of a progressive file; a bomb has thousands
constexpr std::int64_t k_most_coefficient_bytes = std::int64_t{1} << 30U;  // that a progressive file may need

enum class Trouble { none, truncated, damaged, too_many_scans };

struct Source {
  jpeg_error_mgr errors{};
  jpeg_progress_mgr progress{};
  std::jmp_buf back{};
  Trouble trouble = Trouble::none;
  std::array<char, JMSG_LENGTH_MAX> message{};
};

Source& source_of(j_common_ptr info) { return *static_cast<Source*>(info->client_data); }

[[noreturn]] void give_up(j_common_ptr info, Trouble trouble) {
  Source& source = source_of(info);
  source.trouble = trouble;
  (*info->err->format_message)(info, source.message.data());
  std::longjmp(source.back, 1);
}

bool means_end_of_file(int code) {
  return code == JWRN_JPEG_EOF || code == JWRN_HIT_MARKER || code == JERR_INPUT_EOF || code == JERR_INPUT_EMPTY;
}

void on_error(j_common_ptr info) {
  give_up(info, means_end_of_file(info->err->msg_code) ? Trouble::truncated : Trouble::damaged);
}

// Warnings that leave every pixel as it was taken.
bool is_harmless(int code) {
  return code == JWRN_ADOBE_XFORM || code == JWRN_EXTRANEOUS_DATA || code == JWRN_JFIF_MAJOR ||
         code == JWRN_NOT_SEQUENTIAL || code == JWRN_TOO_MUCH_DATA;
}

// The library would go on and fill the rest with grey: a picture with pixels that nobody took is refused instead.
void on_message(j_common_ptr info, int level) {
  if (level >= 0 || is_harmless(info->err->msg_code)) return;
  give_up(info, means_end_of_file(info->err->msg_code) ? Trouble::truncated : Trouble::damaged);
}

void ignore_output(j_common_ptr) {}

void on_progress(j_common_ptr info) {
  if (info->is_decompressor != 0 && reinterpret_cast<j_decompress_ptr>(info)->input_scan_number > k_most_scans)
    give_up(info, Trouble::too_many_scans);
}

// Between a setjmp and its longjmp no object with a destructor may come to life: hence the small plain steps.
class JpegDecoder {
 public:
  JpegDecoder() {
    info_.err = jpeg_std_error(&source_.errors);
    source_.errors.error_exit = on_error;
    source_.errors.emit_message = on_message;
    source_.errors.output_message = ignore_output;
    source_.progress.progress_monitor = on_progress;
    info_.client_data = &source_;
  }
  ~JpegDecoder() { jpeg_destroy_decompress(&info_); }
  JpegDecoder(const JpegDecoder&) = delete;
  JpegDecoder& operator=(const JpegDecoder&) = delete;
  JpegDecoder(JpegDecoder&&) = delete;
  JpegDecoder& operator=(JpegDecoder&&) = delete;

  [[nodiscard]] bool read_header(std::span<const std::byte> bytes) {
    if (setjmp(source_.back) != 0) return false;
    jpeg_create_decompress(&info_);
    info_.client_data = &source_;
    info_.progress = &source_.progress;
    jpeg_save_markers(&info_, JPEG_APP0 + 1, k_exif_marker_longest);
    jpeg_mem_src(&info_, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    return jpeg_read_header(&info_, TRUE) == JPEG_HEADER_OK;
  }

  [[nodiscard]] bool start(Channels channels) {
    if (setjmp(source_.back) != 0) return false;
    if (is_cmyk()) {
      info_.out_color_space = JCS_CMYK;
    } else {
      info_.out_color_space = channels == Channels::grey ? JCS_GRAYSCALE : JCS_RGB;
    }
    return jpeg_start_decompress(&info_) != FALSE;
  }

  [[nodiscard]] bool read_row(std::uint8_t* row) {
    if (setjmp(source_.back) != 0) return false;
    return jpeg_read_scanlines(&info_, &row, 1) == 1;
  }

  [[nodiscard]] bool finish() {
    if (setjmp(source_.back) != 0) return false;
    return jpeg_finish_decompress(&info_) != FALSE;
  }

  [[nodiscard]] bool is_cmyk() const {
    return info_.jpeg_color_space == JCS_CMYK || info_.jpeg_color_space == JCS_YCCK;
  }
  [[nodiscard]] bool cmyk_is_inverted() const { return info_.saw_Adobe_marker != 0; }
  [[nodiscard]] std::int64_t width_px() const { return info_.image_width; }
  [[nodiscard]] std::int64_t height_px() const { return info_.image_height; }

  // All coefficients of a progressive (or otherwise many-scanned) file are held at once.
  [[nodiscard]] std::int64_t coefficient_bytes() const {
    const bool whole = info_.progressive_mode != 0 || info_.comps_in_scan < info_.num_components;
    if (!whole) return 0;
    std::int64_t samples = 0;
    for (int i = 0; i < info_.num_components; ++i)
      samples += std::int64_t{info_.comp_info[i].width_in_blocks} * info_.comp_info[i].height_in_blocks * DCTSIZE2;
    return samples * static_cast<std::int64_t>(sizeof(JCOEF));
  }

  [[nodiscard]] int orientation() const {
    for (jpeg_saved_marker_ptr marker = info_.marker_list; marker != nullptr; marker = marker->next) {
      const auto block = std::as_bytes(std::span{marker->data, marker->data_length});
      const std::string_view text{reinterpret_cast<const char*>(block.data()), block.size()};
      if (text.starts_with(k_exif_opening)) return exif_orientation(block.subspan(k_exif_opening.size()));
    }
    return 1;
  }

  [[nodiscard]] Error trouble(const ImageFile& file) const {
    if (source_.trouble == Trouble::truncated) return image_truncated(file);
    if (source_.trouble == Trouble::too_many_scans)
      return image_damaged(file, "it has more scans than any camera writes");
    return image_damaged(file, "the JPEG decoder says \"" + printable(source_.message.data()) + "\"");
  }

 private:
  jpeg_decompress_struct info_{};
  Source source_;
};

void paint_cmyk(Canvas& canvas, int y, const std::vector<std::uint8_t>& cmyk, bool inverted) {
  std::uint8_t* out = canvas.row(y);
  for (std::size_t i = 0; i < cmyk.size(); i += 4, out += canvas.pixel_bytes()) {
    const auto ink = [&](std::size_t channel) {
      return inverted ? unsigned{cmyk[i + channel]} : 255U - cmyk[i + channel];
    };
    const unsigned light = ink(3);
    canvas.paint(out, (ink(0) * light + 127) / 255, (ink(1) * light + 127) / 255, (ink(2) * light + 127) / 255);
  }
}

}  // namespace

Canvas decode_jpeg(const ImageFile& file, Channels channels) {
  JpegDecoder decoder;
  if (!decoder.read_header(file.bytes)) throw decoder.trouble(file);
  require_acceptable_size(file, decoder.width_px(), decoder.height_px());
  if (decoder.coefficient_bytes() > k_most_coefficient_bytes)
    throw image_unsupported(file, "Progressive JPEGs of this size", "Save it as a baseline JPEG.");
  if (!decoder.start(channels)) throw decoder.trouble(file);
  Canvas canvas{channels};
  canvas.allocate_unfilled(static_cast<int>(decoder.width_px()), static_cast<int>(decoder.height_px()));
  std::vector<std::uint8_t> cmyk(decoder.is_cmyk() ? static_cast<std::size_t>(canvas.width_px()) * 4 : 0);
  for (int y = 0; y < canvas.height_px(); ++y) {
    if (!decoder.read_row(decoder.is_cmyk() ? cmyk.data() : canvas.row(y))) throw decoder.trouble(file);
    if (decoder.is_cmyk()) paint_cmyk(canvas, y, cmyk, decoder.cmyk_is_inverted());
  }
  const int orientation = decoder.orientation();  // finishing frees the marker
  if (!decoder.finish()) throw decoder.trouble(file);
  return upright(std::move(canvas), orientation);
}

}  // namespace sherdmark
