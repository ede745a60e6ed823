#include <png.h>

#include <csetjmp>
#include <exception>
#include <span>

#include "sherdmark/base/error.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {
namespace {

struct WriteState {
  const ByteSink* sink = nullptr;
  std::exception_ptr thrown;
};

void write_bytes(png_structp png, png_bytep data, png_size_t length) {
  auto* state = static_cast<WriteState*>(png_get_io_ptr(png));
  bool failed = false;
  try {
    (*state->sink)(std::as_bytes(std::span{data, length}));
  } catch (...) {
    state->thrown = std::current_exception();
    failed = true;
  }
  if (failed) png_error(png, "sink");
}
void flush_nothing(png_structp) {}
[[noreturn]] void on_error(png_structp png, png_const_charp) { png_longjmp(png, 1); }
void on_warning(png_structp, png_const_charp) {}

struct Rows {
  const std::uint8_t* first = nullptr;
  int width_px = 0;
  int height_px = 0;
  std::ptrdiff_t stride = 0;
  int colour_type = PNG_COLOR_TYPE_GRAY;
};

// Between setjmp and its return there is no object with a destructor.
bool encode(png_structp png, png_infop info, const Rows& rows) {
  if (setjmp(png_jmpbuf(png)) != 0) return false;  // NOLINT(cert-err52-cpp): libpng's way
  png_set_compression_level(png, 4);
  png_set_IHDR(png, info, static_cast<png_uint_32>(rows.width_px), static_cast<png_uint_32>(rows.height_px), 8,
               rows.colour_type, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_write_info(png, info);
  for (int y = 0; y < rows.height_px; ++y) png_write_row(png, rows.first + y * rows.stride);
  png_write_end(png, info);
  return true;
}

void write_rows(const Rows& rows, const ByteSink& sink) {
  if (rows.width_px <= 0 || rows.height_px <= 0) throw internal_error("an empty picture cannot be written as PNG.");
  WriteState state{&sink, nullptr};
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, on_error, on_warning);
  png_infop info = png == nullptr ? nullptr : png_create_info_struct(png);
  bool done = false;
  if (info != nullptr) {
    png_set_write_fn(png, &state, write_bytes, flush_nothing);
    done = encode(png, info, rows);
  }
  png_destroy_write_struct(&png, &info);
  if (state.thrown) std::rethrow_exception(state.thrown);
  if (!done) throw environment_error("the picture could not be written as PNG.", {}, "Free memory and try again.");
}

}  // namespace

void write_png(const GreyView& picture, const ByteSink& sink) {
  write_rows({picture.data, picture.width_px, picture.height_px, picture.stride_bytes, PNG_COLOR_TYPE_GRAY}, sink);
}

void write_png(const ColourPicture& picture, const ByteSink& sink) {
  write_rows({picture.rgb.data(), picture.width_px, picture.height_px, std::ptrdiff_t{picture.width_px} * 3,
              PNG_COLOR_TYPE_RGB},
             sink);
}

}  // namespace sherdmark
