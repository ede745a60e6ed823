#include "sherdmark/type/typeface.h"

#include <cairo-ft.h>
#include <fmt/format.h>
#include <fontconfig/fontconfig.h>
#include <ft2build.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <mutex>
#include <utility>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include FT_FREETYPE_H

namespace sherdmark {
namespace {

constexpr double k_picture_ascent_em = 1.15;
constexpr double k_picture_height_em = 1.6;
constexpr std::u32string_view k_label_characters = U"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

struct FontPackage {
  std::string_view family;
  std::string_view package;
};
// Debian and Ubuntu package names of the open fonts this project knows.
constexpr std::array k_packages{FontPackage{"Hack", "fonts-hack"},
                                FontPackage{"B612", "fonts-b612"},
                                FontPackage{"B612 Mono", "fonts-b612"},
                                FontPackage{"DejaVu Sans", "fonts-dejavu-core"},
                                FontPackage{"DejaVu Sans Mono", "fonts-dejavu-core"},
                                FontPackage{"Noto Sans", "fonts-noto-core"},
                                FontPackage{"Inter", "fonts-inter"},
                                FontPackage{"Open Sans", "fonts-open-sans"},
                                FontPackage{"Liberation Sans", "fonts-liberation"},
                                FontPackage{"Liberation Mono", "fonts-liberation"}};

std::string install_advice(std::string_view family) {
  for (const FontPackage& known : k_packages)
    if (to_lower_ascii(known.family) == to_lower_ascii(family))
      return fmt::format("Install the package {} or name an installed font in the house standard.", known.package);
  return "Install the font, or name an installed font in the house standard.";
}

struct PatternDeleter {
  void operator()(FcPattern* pattern) const { FcPatternDestroy(pattern); }
};
using Pattern = std::unique_ptr<FcPattern, PatternDeleter>;

bool names_family(const FcPattern* pattern, std::string_view family) {
  FcChar8* name = nullptr;
  for (int i = 0; FcPatternGetString(pattern, FC_FAMILY, i, &name) == FcResultMatch; ++i)
    if (to_lower_ascii(reinterpret_cast<const char*>(name)) == to_lower_ascii(family)) return true;
  return false;
}

Pattern match_exactly(std::string_view family, bool bold) {
  const std::string name{family};
  const Pattern wanted{FcPatternCreate()};
  FcPatternAddString(wanted.get(), FC_FAMILY, reinterpret_cast<const FcChar8*>(name.c_str()));
  FcPatternAddInteger(wanted.get(), FC_WEIGHT, bold ? FC_WEIGHT_BOLD : FC_WEIGHT_REGULAR);
  FcPatternAddInteger(wanted.get(), FC_SLANT, FC_SLANT_ROMAN);
  FcPatternAddInteger(wanted.get(), FC_WIDTH, FC_WIDTH_NORMAL);
  FcPatternAddBool(wanted.get(), FC_SCALABLE, FcTrue);
  FcConfigSubstitute(nullptr, wanted.get(), FcMatchPattern);
  FcDefaultSubstitute(wanted.get());
  FcResult result = FcResultNoMatch;
  Pattern found{FcFontMatch(nullptr, wanted.get(), &result)};
  if (!found || !names_family(found.get(), family))
    throw environment_error(fmt::format("the font \"{}\" is not installed.", printable(family)), {},
                            install_advice(family));
  return found;
}

FT_Library freetype() {
  static FT_Library library = [] {
    FT_Library made = nullptr;
    if (FT_Init_FreeType(&made) != 0) throw environment_error("FreeType did not start.", {}, "Reinstall libfreetype6.");
    return made;
  }();
  return library;
}

std::mutex& freetype_lock() {
  static std::mutex lock;
  return lock;
}

}  // namespace

struct Typeface::Impl {
  std::string family;
  std::filesystem::path file;
  FT_Face face = nullptr;
  cairo_font_face_t* cairo = nullptr;
  double cap_height = 0;
  double x_height = 0;
  double ascent = 0;
  double descent = 0;

  Impl() = default;
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;
  Impl(Impl&&) = delete;
  Impl& operator=(Impl&&) = delete;
  ~Impl() {
    if (cairo != nullptr) cairo_font_face_destroy(cairo);
    const std::scoped_lock hold{freetype_lock()};
    if (face != nullptr) FT_Done_Face(face);
  }

  [[nodiscard]] double em(FT_Pos units) const { return static_cast<double>(units) / face->units_per_EM; }

  // Loads the unscaled outline; the caller holds the lock.
  void load_unscaled(char32_t character) const {
    const FT_UInt glyph = FT_Get_Char_Index(face, character);
    if (glyph == 0 || FT_Load_Glyph(face, glyph, FT_LOAD_NO_SCALE) != 0)
      throw data_error(fmt::format("the font {} has no character \"{}\".", family,
                                   printable(encode_utf8(std::u32string_view{&character, 1}))),
                       {}, "Choose another font in the house standard, or take the character out of the numbers.");
  }

  void measure() {
    const std::scoped_lock hold{freetype_lock()};
    load_unscaled(U'H');
    cap_height = em(face->glyph->metrics.horiBearingY);
    load_unscaled(U'x');
    x_height = em(face->glyph->metrics.horiBearingY);
    for (const char32_t c : k_label_characters) {
      load_unscaled(c);
      const FT_Glyph_Metrics& box = face->glyph->metrics;
      ascent = std::max(ascent, em(box.horiBearingY));
      descent = std::max(descent, em(box.height - box.horiBearingY));
    }
  }
};

Typeface Typeface::find(std::string_view family, bool bold) {
  const Pattern pattern = match_exactly(family, bold);
  FcChar8* file = nullptr;
  int index = 0;
  if (FcPatternGetString(pattern.get(), FC_FILE, 0, &file) != FcResultMatch)
    throw environment_error(fmt::format("the font \"{}\" has no file.", printable(family)), {}, install_advice(family));
  (void)FcPatternGetInteger(pattern.get(), FC_INDEX, 0, &index);
  auto impl = std::make_shared<Impl>();
  impl->family = family;
  impl->file = reinterpret_cast<const char*>(file);
  {
    const std::scoped_lock hold{freetype_lock()};
    if (FT_New_Face(freetype(), impl->file.c_str(), index, &impl->face) != 0)
      throw environment_error("the font file cannot be read.", {.file = impl->file.string()}, install_advice(family));
  }
  impl->cairo = cairo_ft_font_face_create_for_pattern(pattern.get());
  impl->measure();
  return Typeface{std::move(impl)};
}

const std::string& Typeface::family() const { return impl_->family; }
const std::filesystem::path& Typeface::file() const { return impl_->file; }
double Typeface::cap_height_em() const { return impl_->cap_height; }
double Typeface::x_height_em() const { return impl_->x_height; }
double Typeface::ascent_em() const { return impl_->ascent; }
double Typeface::descent_em() const { return impl_->descent; }
void* Typeface::native_handle() const { return impl_->cairo; }

bool Typeface::has(char32_t character) const {
  const std::scoped_lock hold{freetype_lock()};
  return FT_Get_Char_Index(impl_->face, character) != 0;
}

double Typeface::advance_em(char32_t character) const {
  const std::scoped_lock hold{freetype_lock()};
  impl_->load_unscaled(character);
  return impl_->em(impl_->face->glyph->metrics.horiAdvance);
}

double Typeface::width_em(std::u32string_view line) const {
  double width = 0;
  for (const char32_t c : line) width += advance_em(c);
  return width;
}

Typeface::GlyphPicture Typeface::draw_glyph(char32_t character, double px_per_em) const {
  const double advance = advance_em(character) * px_per_em;
  const std::scoped_lock hold{freetype_lock()};
  FT_Face face = impl_->face;
  const auto size_26_6 = static_cast<FT_F26Dot6>(std::lround(px_per_em * 64));
  const bool drawn = FT_Set_Char_Size(face, size_26_6, size_26_6, 72, 72) == 0 &&
                     FT_Load_Char(face, character, FT_LOAD_NO_HINTING | FT_LOAD_NO_BITMAP) == 0 &&
                     FT_Render_Glyph(face->glyph, FT_RENDER_MODE_NORMAL) == 0;
  if (!drawn)
    throw environment_error(fmt::format("the font {} could not be drawn at {:.1f} pixels.", impl_->family, px_per_em),
                            {.file = impl_->file.string()}, "Reinstall the font.");
  const int baseline = static_cast<int>(std::lround(px_per_em * k_picture_ascent_em));
  GlyphPicture picture{GreyPicture{std::max(1, static_cast<int>(std::ceil(advance))),
                                   static_cast<int>(std::ceil(px_per_em * k_picture_height_em)), 0},
                       advance, static_cast<double>(baseline)};
  const FT_Bitmap& bitmap = face->glyph->bitmap;
  for (int y = 0; y < static_cast<int>(bitmap.rows); ++y) {
    const int to_y = baseline - face->glyph->bitmap_top + y;
    if (to_y < 0 || to_y >= picture.ink.height_px()) continue;
    for (int x = 0; x < static_cast<int>(bitmap.width); ++x) {
      const int to_x = face->glyph->bitmap_left + x;
      if (to_x >= 0 && to_x < picture.ink.width_px()) picture.ink.row(to_y)[to_x] = bitmap.buffer[y * bitmap.pitch + x];
    }
  }
  return picture;
}

}  // namespace sherdmark
