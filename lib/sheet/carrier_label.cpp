#include "sheet/carrier_label.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "sheet/carrier_fields_grid.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/sheet/carrier_code_place.h"

namespace sherdmark {
namespace {

constexpr double k_least_text_share = 0.75;  // the fields' text likewise
constexpr double k_least_text_pt = 5.5;
constexpr double k_captions_above_share = 0.88;  // smaller than this, captions rather move to the values' line
constexpr double k_text_step_pt = 0.25;
constexpr double k_caption_share = 0.66;
constexpr double k_least_caption_pt = 4.5;
constexpr double k_words_share = 1.2;              // a card's words, of the text's size
constexpr double k_least_beside_serial_mm = 12.0;  // of the repository's name
constexpr double k_hairline_mm = 0.12;
constexpr double k_most_writing_mm = 9.0;  // where the label has the room, a line to write on is as high as this
constexpr double k_writing_step_mm = 0.25;
constexpr double k_writing_gap_mm = 1.4;
constexpr std::size_t k_long_text = 300;
constexpr std::size_t k_judged_characters = 20'000;  // of an endless text, to say about how much it lacks

std::optional<std::string> field_text(const CarrierLabelRequest& request, std::string_view name) {
  for (const CarrierField& field : request.fields)
    if (field.name == name) return field.text;
  return std::nullopt;
}

std::string name_of(const CarrierLabelRequest& request) {
  return fmt::format("{} {} ({})", to_text(request.role), printable(request.bag), printable(request.number));
}

// What stands over the number.
std::string eyebrow_of(LabelRole role) {
  if (role == LabelRole::action) return "SCANNER CARD";
  return to_upper_ascii(to_text(role));
}

Error too_much(const std::string& field, double mm, const char* what) {
  return data_error(fmt::format("the field \"{}\" is {:.1f} mm too {} for the label.", printable(field), mm, what), {},
                    field == "repository" ? "Shorten the repository's name in the house standard, or give the label "
                                            "more room there."
                                          : "Shorten the text in the catalog, or give the label more room or fewer "
                                            "fields in the house standard.");
}

// Said of this label: what does not fit, and characters that the font lacks.
Error of_label(const CarrierLabelRequest& request, const Error& error) {
  return {error.family(), fmt::format("{}: {}", name_of(request), error.problem()), error.place(), error.remedy()};
}

}  // namespace

CarrierLabelMaker::CarrierLabelMaker(const HouseStandard& standard)
    : standard_(standard), bold_(Typeface::find(standard.carrier_font, true)) {
  (void)Typeface::find(standard.carrier_font);  // the running text's; missing is an error, never a substitution
}

const CarrierDesign& CarrierLabelMaker::design(LabelRole role) const { return standard_.carrier_design(role); }

// The label while it is being composed.
struct CarrierLabelMaker::Sheet {
  const CarrierLabelMaker& maker;
  const CarrierLabelRequest& request;
  const CarrierDesign& design;
  CarrierArea area;
  double padding;
  CarrierLabelDrawing drawing{};
  double serial_top = 0;  // of the footer without the repository

  [[nodiscard]] double left() const { return area.x_mm + padding; }
  [[nodiscard]] double top() const { return area.y_mm + padding; }
  [[nodiscard]] double bottom() const { return area.y_mm + area.h_mm - padding; }
  [[nodiscard]] bool is_card() const { return request.role == LabelRole::divider || request.role == LabelRole::action; }

  [[nodiscard]] TextStyle style(double size_pt, bool bold = false) const {
    return {.family = maker.standard_.carrier_font, .size_pt = size_pt, .bold = bold};
  }
  [[nodiscard]] double caption_pt() const { return std::max(k_least_caption_pt, design.text_pt * k_caption_share); }
  [[nodiscard]] double inner_width() const { return area.w_mm - 2 * padding; }

  // Width of the space left of the code's quiet zone.
  [[nodiscard]] double beside_code() const { return drawing.code_at.x_mm - left(); }

  void place_code() {
    drawing.code = make_qr(request.code_text, ErrorLevel::q);
    const int dpi = maker.standard_.printer.dpi;
    const auto place = place_carrier_code(drawing.code, design, dpi);
    if (!place)
      throw data_error(fmt::format("the code needs {:.1f} mm, which the label has no room for.",
                                   smallest_module(drawing.code, design.module_mm, dpi).size_mm),
                       {}, "Make the label larger in the house standard, or the number shorter.");
    drawing.module_dots = place->size.dots;
    drawing.module_mm = place->size.module_mm;
    drawing.code_size_mm = place->size.size_mm;
    drawing.code_at = {place->x_mm, place->y_mm};
  }

  // Role and bag id on one line; returns its bottom.
  double place_eyebrow() {
    TextStyle role = style(caption_pt(), true);
    role.tracking_em = 0.12;
    const std::string role_text = eyebrow_of(request.role);
    const std::string id = eyebrow_text();
    TextStyle plain = style(design.text_pt);
    const double role_width = maker.text_.measure(role, role_text).width_mm + pt_to_mm(design.text_pt) * 0.55;
    const double room = beside_code() - role_width;
    TextSize size = maker.text_.measure(plain, id);
    if (size.width_mm > room) {
      plain.size_pt = std::max(k_least_text_pt, plain.size_pt * room / size.width_mm * 0.995);
      size = maker.text_.measure(plain, id);
      if (size.width_mm > room) too_much("bag", size.width_mm - room, "wide");
    }
    const double baseline =
        top() + maker.text_.measure(style(design.text_pt), "0").baseline_mm - pt_to_mm(design.text_pt) * 0.2;
    drawing.texts.push_back(
        {role, role_text, {left(), baseline - maker.text_.measure(role, role_text).baseline_mm}, 0});
    if (!id.empty()) drawing.texts.push_back({plain, id, {left() + role_width, baseline - size.baseline_mm}, 0});
    return baseline + pt_to_mm(design.text_pt) * 0.3;
  }

  // A bag that goes by its id alone shows it once, large.
  [[nodiscard]] std::string eyebrow_text() const {
    std::string text = field_text(request, "bag").value_or(is_card() ? std::string{} : request.bag);
    if (text == large_text() || text == request.number) text.clear();
    if (request.sheets > 1)
      text += fmt::format("{}label {} of {}", text.empty() ? "" : "  ·  ", request.sheet, request.sheets);
    return text;
  }

  [[nodiscard]] const std::string& large_text() const { return request.shown.empty() ? request.number : request.shown; }

  // The number; returns the bottom of its last line.
  double place_number(double above) {
    drawing.number =
        fit_carrier_number(number_pieces(large_text(), maker.standard_), maker.bold_, design.number_pt, beside_code());
    const CarrierNumber& number = drawing.number;
    if (number.too_wide_mm > 0) too_much("number", number.too_wide_mm, "wide");
    // One line keeps the design's height, so that labels of one sheet line up; more lines start under their own size.
    const bool broken = number.lines.size() > 1;
    const double first_pt = broken ? number.size_pt : design.number_pt;
    const double baseline = above + pt_to_mm(first_pt) * (maker.bold_.cap_height_em() + 0.16);
    drawing.number_pen = {left(), baseline};
    const double last = baseline + number.pitch_mm * static_cast<double>(number.lines.size() - 1);
    return last + pt_to_mm(first_pt) * 0.24;
  }

  // Repository to the left, serial and revision to the right; returns the top of the line.
  double place_footer() {
    const double size_pt = caption_pt();
    const std::string right =
        is_card() ? std::string{} : fmt::format("print {}  ·  rev. {}", request.serial, request.revision);
    const TextSize right_size = maker.text_.measure(style(size_pt), right);
    const double foot = bottom() - maker.text_.measure(style(size_pt), "0").baseline_mm;
    serial_top = foot - 1.0;
    const bool under_code = drawing.code_at.y_mm + drawing.code_size_mm <= foot;
    const double whole = under_code ? inner_width() : beside_code();
    if (right_size.width_mm > whole) too_much("serial", right_size.width_mm - whole, "wide");
    if (!right.empty())
      drawing.texts.push_back({style(size_pt), right, {left() + whole - right_size.width_mm, foot}, 0});
    if (const auto repository = field_text(request, "repository"); repository && !repository->empty()) {
      TextStyle plain = style(size_pt);
      double room = whole - right_size.width_mm - 2.0;
      const bool above = room < k_least_beside_serial_mm;  // then on lines of its own
      if (above) room = whole;
      TextSize size = maker.text_.measure(plain, *repository);
      if (size.width_mm > room) plain.size_pt = std::max(k_least_caption_pt, size_pt * room / size.width_mm * 0.995);
      size = maker.text_.measure(plain, *repository, room);
      const auto top_of = [&] {
        return above
                   ? foot - size.height_mm
                   : foot + right_size.baseline_mm - size.height_mm + (size.height_mm / size.lines - size.baseline_mm);
      };
      if (under_code && room > beside_code() && top_of() < drawing.code_at.y_mm + drawing.code_size_mm) {
        room = beside_code();
        size = maker.text_.measure(plain, *repository, room);
      }
      if (top_of() < top()) too_much("repository", top() - top_of(), "high");
      drawing.texts.push_back({plain, *repository, {left(), top_of()}, room});
      return std::min(foot, top_of()) - 1.0;
    }
    return serial_top;
  }

  [[noreturn]] static void too_much(const std::string& field, double mm, const char* what) {
    throw sherdmark::too_much(field, mm, what);
  }

  // What a card orders, in words, under its name.
  void place_words(double above, double below) {
    const std::string words = field_text(request, "says").value_or("");
    if (words.empty()) return;
    const TextStyle plain = style(design.text_pt * k_words_share);
    const TextSize size = maker.text_.measure(plain, words, beside_code());
    if (above + size.height_mm > below) too_much("says", above + size.height_mm - below, "high");
    drawing.texts.push_back({plain, words, {left(), above}, beside_code()});
  }

  // A text that is too high by itself, at the least size and as wide as the label: to set it at every size would take
  // seconds, an endless one minutes.
  [[nodiscard]] std::optional<FieldOverflow> endless_field(double least_pt, double height_mm) const {
    for (const CarrierField& field : request.fields) {
      if (field.text.size() < k_long_text || stands_apart(field.name)) continue;
      const std::u32string text = decode_utf8(field.text).value_or(U"");
      const std::string beginning = encode_utf8(text.substr(0, k_judged_characters));
      const double height = maker.text_.measure(style(least_pt), beginning, inner_width()).height_mm;
      if (height <= height_mm) continue;
      const double share = static_cast<double>(std::max(text.size(), k_judged_characters)) / k_judged_characters;
      return FieldOverflow{field.name, height * share - height_mm};
    }
    return std::nullopt;
  }

  std::optional<FieldOverflow> place_fields(double above, double below) {
    const double least = std::min(design.text_pt, std::max(k_least_text_pt, design.text_pt * k_least_text_share));
    if (auto endless = endless_field(least, below - above)) return endless;
    FieldsGrid grid{maker.text_,
                    maker.standard_.carrier_font,
                    left(),
                    inner_width(),
                    above,
                    below,
                    drawing.code_at.x_mm,
                    drawing.code_at.y_mm + drawing.code_size_mm};
    const bool written_on = request.role == LabelRole::field_tag || request.role == LabelRole::removal_slip;
    FieldsGrid::Overflow overflow;
    const auto fits = [&](const FieldsGrid::Sizes& sizes) {
      FieldsGrid::Placed placed;
      overflow = grid.set(request.fields, sizes, placed);
      if (overflow.mm > 0) return false;
      drawing.texts.insert(drawing.texts.end(), placed.texts.begin(), placed.texts.end());
      drawing.rules.insert(drawing.rules.end(), placed.rules.begin(), placed.rules.end());
      return true;
    };
    // At each size of type the kinder setting first: groups in rows of their own, high lines to write on.
    const auto fits_at = [&](double size_pt, FieldsGrid::Captions captions) {
      FieldsGrid::Sizes sizes{.value_pt = size_pt,
                              .caption_pt = std::max(k_least_caption_pt, size_pt * k_caption_share),
                              .captions = captions,
                              .writing_lines = written_on,
                              .writing_gap_mm = written_on ? k_writing_gap_mm : 0,
                              .grouped = !written_on};
      for (sizes.writing_mm = written_on ? k_most_writing_mm : k_writing_line_mm; sizes.writing_mm >= k_writing_line_mm;
           sizes.writing_mm -= k_writing_step_mm)
        if (fits(sizes)) return true;
      sizes.writing_mm = k_writing_line_mm;
      sizes.writing_gap_mm = 0;
      sizes.grouped = false;
      return fits(sizes);
    };
    for (double size_pt = design.text_pt; size_pt >= design.text_pt * k_captions_above_share - 1e-9;
         size_pt -= k_text_step_pt)
      if (fits_at(size_pt, FieldsGrid::Captions::above)) return std::nullopt;
    for (double size_pt = design.text_pt; size_pt >= least - 1e-9; size_pt -= k_text_step_pt)
      if (fits_at(size_pt, FieldsGrid::Captions::beside)) return std::nullopt;
    return FieldOverflow{overflow.field, overflow.mm};
  }
};

std::optional<FieldOverflow> CarrierLabelMaker::set(const CarrierLabelRequest& request,
                                                    CarrierLabelDrawing& drawing) const {
  try {
    return set_unnamed(request, drawing);
  } catch (const Error& error) {
    if (error.family() != ErrorFamily::data) throw;
    throw of_label(request, error);
  }
}

std::optional<FieldOverflow> CarrierLabelMaker::set_unnamed(const CarrierLabelRequest& request,
                                                            CarrierLabelDrawing& drawing) const {
  const CarrierDesign& size = design(request.role);
  Sheet sheet{*this, request, size, carrier_area(size), carrier_padding_mm(size)};
  sheet.place_code();
  const double under_number = sheet.place_number(sheet.place_eyebrow());
  const double footer = sheet.place_footer();
  if (under_number > footer)
    throw too_much(under_number > sheet.serial_top ? "number" : "repository", under_number - footer, "high");
  double below_rule = under_number + pt_to_mm(size.text_pt) * 0.4;
  if (request.role == LabelRole::box)  // its place has the whole width
    below_rule = std::max(below_rule, sheet.drawing.code_at.y_mm + sheet.drawing.code_size_mm);
  sheet.drawing.rules.push_back({sheet.left(), under_number, sheet.beside_code(), k_hairline_mm});
  std::optional<FieldOverflow> overflow;
  if (sheet.is_card())
    sheet.place_words(below_rule, footer);
  else
    overflow = sheet.place_fields(below_rule, footer);
  drawing = std::move(sheet.drawing);
  return overflow;
}

std::optional<FieldOverflow> CarrierLabelMaker::overflow(const CarrierLabelRequest& request) const {
  CarrierLabelDrawing drawing;
  return set(request, drawing);
}

CarrierLabelDrawing CarrierLabelMaker::compose(const CarrierLabelRequest& request) const {
  CarrierLabelDrawing drawing;
  if (const auto overflow = set(request, drawing))
    throw of_label(request, too_much(overflow->field, overflow->mm, "high"));
  return drawing;
}

void CarrierLabelMaker::draw(Canvas& canvas, const CarrierLabelRequest& request, const PlacedLabel& label) const {
  const CarrierLabelDrawing drawing = compose(request);
  for (const CarrierText& text : drawing.texts)
    canvas.paragraph(text.style, text.text, {label.x_mm + text.top_left.x_mm, label.y_mm + text.top_left.y_mm},
                     text.width_mm);
  PointMm pen{label.x_mm + drawing.number_pen.x_mm, label.y_mm + drawing.number_pen.y_mm};
  for (const std::string& line : drawing.number.lines) {
    canvas.exact_line(bold_, drawing.number.size_pt, pen, decode_utf8(line).value_or(U""));
    pen.y_mm += drawing.number.pitch_mm;
  }
  std::vector<RectMm> rules;
  for (const RectMm& rule : drawing.rules)
    rules.push_back({label.x_mm + rule.x_mm, label.y_mm + rule.y_mm, rule.w_mm, rule.h_mm});
  canvas.rectangles(rules);
  if (!label.code) return;
  const double quiet = drawing.code.quiet_zone_modules * drawing.module_mm;
  canvas.symbol(drawing.code, {label.code->x_mm + quiet, label.code->y_mm + quiet}, label.code->module_dots);
}

}  // namespace sherdmark
