#include "sherdmark/sheet/running_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "sheet/pango_library.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"

namespace sherdmark {

const PangoLibrary& pango() {
  static const PangoLibrary library;
  return library;
}

namespace {

struct Unref {
  void operator()(gpointer object) const { pango().unref(object); }
};
using Layout = std::unique_ptr<PangoLayout, Unref>;

double to_mm(int pango_units) { return pt_to_mm(static_cast<double>(pango_units) / PANGO_SCALE); }

void set_font(PangoLayout* layout, const TextStyle& style) {
  PangoFontDescription* font = pango().font_description_new();
  pango().font_description_set_family(font, style.family.c_str());
  pango().font_description_set_weight(font, style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango().font_description_set_absolute_size(font, style.size_pt * PANGO_SCALE);
  pango().layout_set_font_description(layout, font);
  pango().font_description_free(font);
  PangoAttrList* attributes = pango().attr_list_new();
  pango().attr_list_insert(attributes, pango().attr_fallback_new(style.any_font ? TRUE : FALSE));
  pango().attr_list_insert(attributes, pango().attr_insert_hyphens_new(FALSE));  // nothing is put into a number
  if (style.tracking_em > 0)
    pango().attr_list_insert(attributes, pango().attr_letter_spacing_new(static_cast<int>(
                                             std::lround(style.tracking_em * style.size_pt * PANGO_SCALE))));
  pango().layout_set_attributes(layout, attributes);
  pango().attr_list_unref(attributes);
}

// A line that does not end at the end of the text, at a space, a hyphen or a line break cuts a word.
bool breaks_a_word(PangoLayout* layout, std::string_view text) {
  const int lines = pango().layout_get_line_count(layout);
  for (int i = 0; i + 1 < lines; ++i) {
    const PangoLayoutLine* line = pango().layout_get_line_readonly(layout, i);
    int attributes = 0;
    const PangoLogAttr* log = pango().layout_get_log_attrs_readonly(layout, &attributes);
    const auto end = static_cast<std::size_t>(line->start_index + line->length);
    const auto at = static_cast<int>(code_point_count(text.substr(0, end)));
    if (at < attributes && !log[at].is_line_break) return true;
  }
  return false;
}

// Of a long text only how it begins: whoever reads that knows which one it is.
std::string opening(std::string_view text) {
  constexpr std::size_t k_most = 60;
  const std::u32string all = decode_utf8(text).value_or(U"");
  return all.size() <= k_most ? printable(text) : printable(encode_utf8(all.substr(0, k_most))) + " …";
}

// The first of its characters that the font has no glyph for.
std::string lacking(PangoContext* context, const TextStyle& style, std::string_view text) {
  const Layout layout{pango().layout_new(context)};
  set_font(layout.get(), style);
  for (const char32_t c : decode_utf8(text).value_or(U"")) {
    const std::string one = encode_utf8({&c, 1});
    pango().layout_set_text(layout.get(), one.data(), static_cast<int>(one.size()));
    if (pango().layout_get_unknown_glyphs_count(layout.get()) > 0)
      return fmt::format(": {} (U+{:04X})", printable(one), static_cast<std::uint32_t>(c));
  }
  return {};
}

// The text, set and broken into lines.
Layout set_text(PangoContext* context, const TextStyle& style, std::string_view text, double width_mm) {
  if (!is_valid_utf8(text)) throw internal_error("text that is not UTF-8 came to the sheet.");
  Layout layout{pango().layout_new(context)};
  set_font(layout.get(), style);
  pango().layout_set_text(layout.get(), text.data(), static_cast<int>(text.size()));
  if (width_mm > 0) {
    pango().layout_set_width(layout.get(), static_cast<int>(std::ceil(mm_to_pt(width_mm) * PANGO_SCALE)));
    pango().layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  }
  const PangoAlignment end = PANGO_ALIGN_RIGHT;
  if (style.right_aligned) pango().layout_set_alignment(layout.get(), end);
  // For text from right to left the library exchanges the two. One line of it stands where any other would, below its
  // caption; of several the even edge is the right one.
  if (width_mm > 0 && pango().layout_get_line_count(layout.get()) == 1 &&
      pango().layout_get_line_readonly(layout.get(), 0)->resolved_dir == PANGO_DIRECTION_RTL)
    pango().layout_set_alignment(layout.get(), style.right_aligned ? PANGO_ALIGN_LEFT : end);
  if (!style.any_font && pango().layout_get_unknown_glyphs_count(layout.get()) > 0)
    throw data_error(fmt::format("the font {} lacks a character of \"{}\"{}.", printable(style.family), opening(text),
                                 lacking(context, style, text)),
                     {},
                     "Name a font for bag labels and tags in the house standard that has it, or write the text "
                     "without it.");
  return layout;
}

}  // namespace

struct RunningText::Impl {
  std::unique_ptr<PangoFontMap, Unref> fonts{pango().cairo_font_map_new()};
  std::unique_ptr<PangoContext, Unref> context;
};

RunningText::RunningText() : impl_(std::make_unique<Impl>()) {
  pango().cairo_font_map_set_resolution(reinterpret_cast<PangoCairoFontMap*>(impl_->fonts.get()), k_pt_per_inch);
  impl_->context.reset(pango().font_map_create_context(impl_->fonts.get()));
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango().cairo_context_set_font_options(impl_->context.get(), options);
  cairo_font_options_destroy(options);
  pango().context_set_round_glyph_positions(impl_->context.get(), FALSE);
  pango().context_set_language(impl_->context.get(), pango().language_from_string("en"));
}
RunningText::~RunningText() = default;
RunningText::RunningText(RunningText&&) noexcept = default;
RunningText& RunningText::operator=(RunningText&&) noexcept = default;

TextSize RunningText::measure(const TextStyle& style, std::string_view text, double width_mm) const {
  const Layout layout = set_text(impl_->context.get(), style, text, width_mm);
  PangoRectangle logical{};
  pango().layout_get_extents(layout.get(), nullptr, &logical);
  return {to_mm(logical.width), to_mm(logical.height), to_mm(pango().layout_get_baseline(layout.get())),
          pango().layout_get_line_count(layout.get()), breaks_a_word(layout.get(), text)};
}

void RunningText::draw(void* cairo, const TextStyle& style, std::string_view text, double width_mm) const {
  const Layout layout = set_text(impl_->context.get(), style, text, width_mm);
  pango().cairo_show_layout(static_cast<cairo_t*>(cairo), layout.get());
}

}  // namespace sherdmark
