// The functions of Pango that running text needs, opened by the first text that is set: Pango and what it brings with
// it are 17 shared libraries, and no picture that is read needs one of them. Private to the sheet layer.
#pragma once

#include <pango/pangocairo.h>

#include "sherdmark/base/late_library.h"

namespace sherdmark {

class PangoLibrary {
  LateLibrary library_{SHERDMARK_PANGO_LIBRARY, "Names and sentences are set",
                       "Install it (on Debian the package libpangocairo-1.0-0)."};

 public:
// The function of that name, typed as the library's header declares it.
#define SHERDMARK_PANGO(name) decltype(&pango_##name) name = library_.find<decltype(&pango_##name)>("pango_" #name)
  SHERDMARK_PANGO(attr_fallback_new);
  SHERDMARK_PANGO(attr_insert_hyphens_new);
  SHERDMARK_PANGO(attr_letter_spacing_new);
  SHERDMARK_PANGO(attr_list_insert);
  SHERDMARK_PANGO(attr_list_new);
  SHERDMARK_PANGO(attr_list_unref);
  SHERDMARK_PANGO(cairo_context_set_font_options);
  SHERDMARK_PANGO(cairo_font_map_new);
  SHERDMARK_PANGO(cairo_font_map_set_resolution);
  SHERDMARK_PANGO(cairo_show_layout);
  SHERDMARK_PANGO(context_set_language);
  SHERDMARK_PANGO(context_set_round_glyph_positions);
  SHERDMARK_PANGO(font_description_free);
  SHERDMARK_PANGO(font_description_new);
  SHERDMARK_PANGO(font_description_set_absolute_size);
  SHERDMARK_PANGO(font_description_set_family);
  SHERDMARK_PANGO(font_description_set_weight);
  SHERDMARK_PANGO(font_map_create_context);
  SHERDMARK_PANGO(language_from_string);
  SHERDMARK_PANGO(layout_get_baseline);
  SHERDMARK_PANGO(layout_get_extents);
  SHERDMARK_PANGO(layout_get_line_count);
  SHERDMARK_PANGO(layout_get_line_readonly);
  SHERDMARK_PANGO(layout_get_log_attrs_readonly);
  SHERDMARK_PANGO(layout_get_unknown_glyphs_count);
  SHERDMARK_PANGO(layout_new);
  SHERDMARK_PANGO(layout_set_alignment);
  SHERDMARK_PANGO(layout_set_attributes);
  SHERDMARK_PANGO(layout_set_font_description);
  SHERDMARK_PANGO(layout_set_text);
  SHERDMARK_PANGO(layout_set_width);
  SHERDMARK_PANGO(layout_set_wrap);
#undef SHERDMARK_PANGO
  decltype(&g_object_unref) unref = library_.find<decltype(&g_object_unref)>("g_object_unref");
};

// Thread-safe; after a failure the next text tries again.
[[nodiscard]] const PangoLibrary& pango();

}  // namespace sherdmark
