// One font file, found by its exact family name; its metrics and its glyphs as pictures. No kerning, no hinting:
// a line of text is as wide as the sum of its advances, on paper and in the reader alike.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <utility>

#include "sherdmark/base/picture.h"

namespace sherdmark {

class Typeface {
 public:
  // Regular (or bold) weight of `family`. Throws environment_error when fontconfig would substitute another family;
  // the text names the package to install where it is known.
  [[nodiscard]] static Typeface find(std::string_view family, bool bold = false);

  [[nodiscard]] const std::string& family() const;
  [[nodiscard]] const std::filesystem::path& file() const;
  [[nodiscard]] bool has(char32_t character) const;
  // Lengths in em (multiples of the type size). Throws data_error for a character the font lacks.
  [[nodiscard]] double advance_em(char32_t character) const;
  [[nodiscard]] double width_em(std::u32string_view line) const;
  [[nodiscard]] double cap_height_em() const;  // height of H
  [[nodiscard]] double x_height_em() const;    // height of x
  [[nodiscard]] double ascent_em() const;      // tallest of 0-9A-Za-z over the baseline
  [[nodiscard]] double descent_em() const;     // deepest of them below the baseline, positive

  // Coverage of one glyph (255 = ink) with exact area sampling. The picture is ceil(advance) x ceil(1.6) em large,
  // its left edge at the pen position and its baseline `baseline_px` below the top edge.
  struct GlyphPicture {
    GreyPicture ink;
    double advance_px = 0;
    double baseline_px = 0;
  };
  [[nodiscard]] GlyphPicture draw_glyph(char32_t character, double px_per_em) const;

  // Opaque handle for adapters that draw with Cairo (a cairo_font_face_t*), valid while this lives.
  [[nodiscard]] void* native_handle() const;

 private:
  struct Impl;
  explicit Typeface(std::shared_ptr<const Impl> impl) : impl_(std::move(impl)) {}
  std::shared_ptr<const Impl> impl_;
};

}  // namespace sherdmark
