// Running text (names, remarks, instructions) measured and broken into lines by Unicode's rules. Pango lives behind
// this, and is opened by the first text: environment_error where it is not installed.
#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace sherdmark {

struct TextStyle {
  std::string family;
  double size_pt = 9;
  bool bold = false;
  bool right_aligned = false;
  double tracking_em = 0;  // space added after every letter
  bool any_font = false;   // a character the font lacks comes from another; never on a label
};

struct TextSize {
  double width_mm = 0;
  double height_mm = 0;
  double baseline_mm = 0;  // of the first line, below the top
  int lines = 0;
  bool breaks_a_word = false;  // a word had to be cut because it is wider than the space
};

class RunningText {
 public:
  RunningText();
  ~RunningText();
  RunningText(RunningText&&) noexcept;
  RunningText& operator=(RunningText&&) noexcept;
  RunningText(const RunningText&) = delete;
  RunningText& operator=(const RunningText&) = delete;

  // Size of the text broken at `width_mm` (0: not broken). Throws data_error when the font lacks a character: no other
  // font is put in its place unless the style says so.
  [[nodiscard]] TextSize measure(const TextStyle& style, std::string_view text, double width_mm = 0) const;

  // For the Cairo adapter: draws the text as measured, its top left at the current point of a cairo_t*. Throws as
  // measure() does.
  void draw(void* cairo, const TextStyle& style, std::string_view text, double width_mm) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace sherdmark
