// JPEG out, through libjpeg.
#include <cstdio>  // jpeglib.h needs it first

#include <jpeglib.h>

#include <array>
#include <csetjmp>
#include <exception>

#include "sherdmark/base/error.h"
#include "sherdmark/report/marked_picture.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_buffer_bytes = 1U << 16U;

// libjpeg calls back from C: nothing may be thrown through it, so a sink's exception is kept and thrown afterwards.
struct Destination {
  jpeg_destination_mgr manager{};  // first: libjpeg knows only this part
  const ByteSink* sink = nullptr;
  std::array<JOCTET, k_buffer_bytes> buffer{};
  std::exception_ptr failure{};

  void hand_over(std::size_t bytes) {
    if (failure || bytes == 0) return;
    try {
      (*sink)(std::as_bytes(std::span{buffer.data(), bytes}));
    } catch (...) {
      failure = std::current_exception();
    }
  }
  void start_over() {
    manager.next_output_byte = buffer.data();
    manager.free_in_buffer = buffer.size();
  }
};

Destination& destination_of(j_compress_ptr state) { return *reinterpret_cast<Destination*>(state->dest); }

void start(j_compress_ptr state) { destination_of(state).start_over(); }

boolean pass_on(j_compress_ptr state) {
  destination_of(state).hand_over(k_buffer_bytes);
  destination_of(state).start_over();
  return TRUE;
}

void finish(j_compress_ptr state) {
  destination_of(state).hand_over(k_buffer_bytes - destination_of(state).manager.free_in_buffer);
}

// libjpeg reports a failure by jumping back; the message waits here.
struct Errors {
  jpeg_error_mgr manager{};  // first: libjpeg knows only this part
  std::jmp_buf back{};
  std::array<char, JMSG_LENGTH_MAX> message{};
};

[[noreturn]] void jump_back(j_common_ptr state) {
  auto* errors = reinterpret_cast<Errors*>(state->err);
  state->err->format_message(state, errors->message.data());
  std::longjmp(errors->back, 1);
}

// False when libjpeg gave up. Nothing with a destructor may come to life in here.
bool compress(jpeg_compress_struct& state, Errors& errors, Destination& destination, const ColourPicture& picture,
              int quality) {
  if (setjmp(errors.back) != 0) return false;
  jpeg_create_compress(&state);
  state.dest = &destination.manager;
  state.image_width = static_cast<JDIMENSION>(picture.width_px);
  state.image_height = static_cast<JDIMENSION>(picture.height_px);
  state.input_components = 3;
  state.in_color_space = JCS_RGB;
  jpeg_set_defaults(&state);
  jpeg_set_quality(&state, quality, TRUE);
  jpeg_start_compress(&state, TRUE);
  while (state.next_scanline < state.image_height && !destination.failure) {
    auto* row = const_cast<JSAMPROW>(picture.rgb.data() + std::size_t{3} * state.image_width * state.next_scanline);
    jpeg_write_scanlines(&state, &row, 1);
  }
  if (!destination.failure) jpeg_finish_compress(&state);
  return true;
}

}  // namespace

void write_jpeg(const ColourPicture& picture, int quality, const ByteSink& sink) {
  if (picture.empty() || picture.width_px > JPEG_MAX_DIMENSION || picture.height_px > JPEG_MAX_DIMENSION)
    throw data_error("the picture is empty or too large for a JPEG.", {}, "Write it as PNG.");
  Errors errors;
  jpeg_compress_struct state{};
  state.err = jpeg_std_error(&errors.manager);
  errors.manager.error_exit = jump_back;
  errors.manager.output_message = [](j_common_ptr) {};
  Destination destination;
  destination.sink = &sink;
  destination.manager.init_destination = start;
  destination.manager.empty_output_buffer = pass_on;
  destination.manager.term_destination = finish;
  const bool written = compress(state, errors, destination, picture, quality);
  jpeg_destroy_compress(&state);
  if (destination.failure) std::rethrow_exception(destination.failure);
  if (!written) throw internal_error(std::string{"a JPEG could not be written: "} + errors.message.data());
}

}  // namespace sherdmark
