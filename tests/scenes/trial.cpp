#include "scenes/trial.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "scenes/texture.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/code/check_character.h"
#include "sherdmark/report/marked_picture.h"
#include "sherdmark/scan/image.h"

namespace sherdmark::scenes {
namespace {

constexpr double k_pi = 3.14159265358979323846;
constexpr double k_surround_mm = 2.5;

std::string random_text(const NumberGrammar& grammar, RandomSource& random) {
  std::u32string text;
  int state = 0;
  for (;;) {
    const NumberGrammar::State& here = grammar.states[static_cast<std::size_t>(state)];
    const std::size_t ways = here.arcs.size();
    if (here.accepting && (ways == 0 || random.below(3) == 0)) return encode_utf8(text);
    const NumberGrammar::Arc& arc = here.arcs[static_cast<std::size_t>(random.below(ways))];
    text.push_back(arc.character);
    state = arc.to;
  }
}

void cover_part(Canvas& canvas, const Pose& pose, const Paper& paper, const TrialConditions& conditions,
                RandomSource& random) {
  if (conditions.cover == Cover::none) return;
  const double w = paper.width_mm() / 2, h = paper.height_mm() / 2;
  const double x = between(random, -0.6 * w, 0.6 * w);
  const auto seed = static_cast<std::uint32_t>(random.next());
  for (int y = 0; y < canvas.height_px(); ++y) {
    for (int c = 0; c < canvas.width_px(); ++c) {
      const PointPaper p = pose.unplace({c + 0.5, y + 0.5});
      bool covered = false;
      switch (conditions.cover) {
        case Cover::right_end:
          covered = p.x_mm > x;
          break;
        case Cover::left_end:
          covered = p.x_mm < x;
          break;
        case Cover::upper_half:
          covered = p.y_mm < -0.1 * h;
          break;
        case Cover::middle:
          covered = std::hypot(p.x_mm - x, p.y_mm) < 0.8;
          break;
        case Cover::none:
          break;
      }
      if (covered) {
        const float grain = 1 + 0.08F * rough_noise(c * 0.2, y * 0.2, 3, 0.6F, seed);
        const auto light = static_cast<float>(conditions.cover_light) * grain;
        canvas.at(c, y) = {light, light * 0.9F, light * 0.8F};
      }
    }
  }
}

void add_gloss(Canvas& canvas, double strength, RandomSource& random) {
  if (strength <= 0) return;
  const double cx = between(random, 0.2, 0.8) * canvas.width_px(), cy = between(random, 0.2, 0.8) * canvas.height_px();
  const double rx = between(random, 0.1, 0.3) * canvas.width_px(), ry = between(random, 0.1, 0.4) * canvas.height_px();
  for (int y = 0; y < canvas.height_px(); ++y)
    for (int x = 0; x < canvas.width_px(); ++x) {
      const double d = std::pow((x - cx) / rx, 2) + std::pow((y - cy) / ry, 2);
      const auto veil = static_cast<float>(strength * std::exp(-d));
      canvas.at(x, y) = mix(canvas.at(x, y), {1.05F, 1.05F, 1.05F}, veil);
    }
}

GreyPicture develop(const Canvas& canvas, const TrialConditions& conditions, RandomSource& random) {
  const ColourPicture exposed = expose(canvas, conditions.noise_levels, random);
  if (conditions.jpeg_quality <= 0) return to_grey(exposed);
  Bytes jpeg;
  write_jpeg(exposed, conditions.jpeg_quality,
             [&jpeg](std::span<const std::byte> some) { jpeg.insert(jpeg.end(), some.begin(), some.end()); });
  return std::move(read_image(jpeg, "trial.jpg").front().grey);
}

}  // namespace

std::vector<std::string> lines_of(const HouseStandard& standard, const Number& number) {
  std::optional<char> check;
  if (standard.artifact.check_character) check = mod_37_36_check(check_character_data(number));
  const Typeface face = Typeface::find(standard.artifact.font);
  const double em_mm = pt_to_mm(standard.artifact.size_pt);
  std::vector<std::string> lines(1);
  for (const std::string& piece : standard.scheme(number.scheme()).break_pieces(number, check)) {
    const std::string longer = lines.back() + piece;
    if (!lines.back().empty() && face.width_em(*decode_utf8(longer)) * em_mm > standard.artifact.widest_mm)
      lines.push_back(piece);
    else
      lines.back() = longer;
  }
  return lines;
}

PrintedNumber random_number(const HouseStandard& standard, RandomSource& random) {
  const Scheme& scheme = standard.schemes[static_cast<std::size_t>(random.below(standard.schemes.size()))];
  const std::string text = random_text(scheme.grammar(NumberLevel::item, false), random);
  const auto parsed = scheme.parse(text);
  const auto* number = std::get_if<ParsedNumber>(&parsed);
  if (number == nullptr || number->number.text() != text) throw internal_error("the grammar made no number: " + text);
  return {text, lines_of(standard, number->number)};
}

TrialConditions mixed(TrialConditions c, RandomSource& random) {
  c.blur_px = between(random, 0.3, 1.2);
  c.shake_px = between(random, 0, 1);
  c.noise_levels = between(random, 1, 6);
  c.most_tilt_deg = 25;
  c.uneven_light = between(random, 0, 0.6);
  c.jpeg_quality = static_cast<int>(between(random, 70, 95));
  c.gloss = random.below(4) == 0 ? between(random, 0, 0.5) : 0;
  c.bend_radius_mm = random.below(3) == 0 ? between(random, 20, 80) : 0;
  c.body_light = between(random, 0.1, 0.8);
  c.ink_light = between(random, 0.05, 0.3);
  c.toner_spread_mm = between(random, 0, 0.03);
  return c;
}

Trial make_trial(const HouseStandard& standard, const Typeface& face, const PrintedNumber& number,
                 const TrialConditions& conditions, RandomSource& random) {
  ArtifactLabelDesign design = standard.artifact;
  design.size_pt = conditions.size_pt;
  const auto cut = [&] { return std::max(-0.3, conditions.trim_error_mm * normal(random)); };
  const Paper paper = draw_label(number.lines, design, face, {cut(), cut(), cut(), cut()}, conditions.toner_spread_mm);
  Pose pose;
  pose.px_per_mm = conditions.px_per_mm;
  pose.turn_rad = between(random, conditions.least_turn_deg, conditions.most_turn_deg) * k_pi / 180;
  pose.tilt_rad = between(random, 0.0, conditions.most_tilt_deg) * k_pi / 180;
  pose.tilt_axis_rad = between(random, 0, 2 * k_pi);
  pose.bend_radius_mm = conditions.bend_radius_mm;
  pose.bend_along_text = random.below(2) == 0;
  const double reach = std::hypot(paper.width_mm(), paper.height_mm()) / 2 + k_surround_mm;
  const int size = static_cast<int>(2 * reach * conditions.px_per_mm);
  pose.centre = {size / 2.0 + random.unit(), size / 2.0 + random.unit()};

  Canvas canvas{size, size};
  const auto seed = static_cast<std::uint32_t>(random.next());
  const double light_x = between(random, -1, 1), light_y = between(random, -1, 1);
  const auto shade = [&](int x, int y) {
    const double along = (x * light_x + y * light_y) / size;
    return static_cast<float>(1 - conditions.uneven_light * (0.5 + 0.5 * along));
  };
  for (int y = 0; y < size; ++y)
    for (int x = 0; x < size; ++x) {
      const double mm_x = x / conditions.px_per_mm, mm_y = y / conditions.px_per_mm;
      const float grain = 1 + 0.25F * rough_noise(mm_x * 1.3, mm_y * 1.3, 5, 0.7F, seed);
      const float light = static_cast<float>(conditions.body_light) * grain * shade(x, y);
      canvas.at(x, y) = {light * 1.1F, light, light * 0.85F};
    }
  const auto ink = static_cast<float>(conditions.ink_light);
  lay(canvas, paper, pose, {{0.93F, 0.925F, 0.90F}, {ink, ink, ink}}, shade);
  cover_part(canvas, pose, paper, conditions, random);
  add_gloss(canvas, conditions.gloss, random);
  blur(canvas, conditions.blur_px);
  smear(canvas, conditions.shake_px, between(random, 0, k_pi));
  return {number.number, number.lines, develop(canvas, conditions, random),
          pose.corners(paper.width_mm(), paper.height_mm())};
}

}  // namespace sherdmark::scenes
