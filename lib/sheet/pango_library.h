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
  SHERDMARK_LATE_FUNCTION(pango_, attr_fallback_new);
  SHERDMARK_LATE_FUNCTION(pango_, attr_insert_hyphens_new);
  SHERDMARK_LATE_FUNCTION(pango_, attr_letter_spacing_new);
  SHERDMARK_LATE_FUNCTION(pango_, attr_list_insert);
  SHERDMARK_LATE_FUNCTION(pango_, attr_list_new);
  SHERDMARK_LATE_FUNCTION(pango_, attr_list_unref);
  SHERDMARK_LATE_FUNCTION(pango_, cairo_context_set_font_options);
  SHERDMARK_LATE_FUNCTION(pango_, cairo_font_map_new);
  SHERDMARK_LATE_FUNCTION(pango_, cairo_font_map_set_resolution);
  SHERDMARK_LATE_FUNCTION(pango_, cairo_show_layout);
  SHERDMARK_LATE_FUNCTION(pango_, context_set_language);
  SHERDMARK_LATE_FUNCTION(pango_, context_set_round_glyph_positions);
  SHERDMARK_LATE_FUNCTION(pango_, font_description_free);
  SHERDMARK_LATE_FUNCTION(pango_, font_description_new);
  SHERDMARK_LATE_FUNCTION(pango_, font_description_set_absolute_size);
  SHERDMARK_LATE_FUNCTION(pango_, font_description_set_family);
  SHERDMARK_LATE_FUNCTION(pango_, font_description_set_weight);
  SHERDMARK_LATE_FUNCTION(pango_, font_map_create_context);
  SHERDMARK_LATE_FUNCTION(pango_, language_from_string);
  SHERDMARK_LATE_FUNCTION(pango_, layout_get_baseline);
  SHERDMARK_LATE_FUNCTION(pango_, layout_get_extents);
  SHERDMARK_LATE_FUNCTION(pango_, layout_get_line_count);
  SHERDMARK_LATE_FUNCTION(pango_, layout_get_line_readonly);
  SHERDMARK_LATE_FUNCTION(pango_, layout_get_log_attrs_readonly);
  SHERDMARK_LATE_FUNCTION(pango_, layout_get_unknown_glyphs_count);
  SHERDMARK_LATE_FUNCTION(pango_, layout_new);
  SHERDMARK_LATE_FUNCTION(pango_, layout_set_alignment);
  SHERDMARK_LATE_FUNCTION(pango_, layout_set_attributes);
  SHERDMARK_LATE_FUNCTION(pango_, layout_set_font_description);
  SHERDMARK_LATE_FUNCTION(pango_, layout_set_text);
  SHERDMARK_LATE_FUNCTION(pango_, layout_set_width);
  SHERDMARK_LATE_FUNCTION(pango_, layout_set_wrap);
  SHERDMARK_LATE_FUNCTION(g_object_, unref);
};

// Thread-safe; after a failure the next text tries again.
[[nodiscard]] const PangoLibrary& pango();

}  // namespace sherdmark
