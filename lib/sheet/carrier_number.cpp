#include "sheet/carrier_number.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"

namespace sherdmark {
namespace {

constexpr double k_share = 0.6;  // of the design's size: so far the number shrinks rather than break
constexpr double k_step_pt = 0.25;
constexpr double k_pitch_em = 1.0;          // of broken lines: capitals stand well apart
constexpr double k_broken_height_em = 1.8;  // of the design's size: what two lines or more may take, sizes allowing

double width_em(const Typeface& face, std::string_view text) {
  const auto decoded = decode_utf8(text);
  if (!decoded) throw internal_error("a number that is not UTF-8 came to the sheet.");
  return face.width_em(*decoded);
}

std::string line_of(const std::vector<std::string>& pieces, std::size_t from, std::size_t to) {
  std::string line;
  for (std::size_t i = from; i < to; ++i) line += pieces[i];
  return std::string{trim(line)};
}

// The pieces in just so many lines, the widest as short as it can be.
struct Lines {
  std::vector<std::string> lines;
  double widest_em = std::numeric_limits<double>::infinity();
};

Lines in_lines(const std::vector<std::string>& pieces, std::size_t from, std::size_t count, const Typeface& face) {
  if (count == 1) {
    std::string line = line_of(pieces, from, pieces.size());
    const double width = width_em(face, line);
    return {{std::move(line)}, width};
  }
  Lines best;
  for (std::size_t end = from + 1; pieces.size() - end >= count - 1; ++end) {
    const std::string line = line_of(pieces, from, end);
    Lines rest = in_lines(pieces, end, count - 1, face);
    const double widest = std::max(width_em(face, line), rest.widest_em);
    if (widest >= best.widest_em) continue;
    best = {{line}, widest};
    best.lines.insert(best.lines.end(), rest.lines.begin(), rest.lines.end());
  }
  return best;
}

bool may_break_behind(char c) { return c == ' ' || c == '/' || c == '-' || c == '.' || c == ',' || c == ':'; }

std::vector<std::string> pieces_of_text(const std::string& text) {
  std::vector<std::string> pieces{{}};
  for (std::size_t i = 0; i < text.size(); ++i) {
    pieces.back() += text[i];
    if (may_break_behind(text[i]) && i + 1 < text.size() && !may_break_behind(text[i + 1])) pieces.emplace_back();
  }
  return pieces;
}

// The largest size for these lines, in steps from the one wanted, if it is not under the least.
std::optional<double> size_for(const Lines& lines, double wanted_pt, double least_pt, double room_mm) {
  double most = mm_to_pt(room_mm / lines.widest_em);
  if (lines.lines.size() > 1)
    most = std::min(most, std::max(least_pt, wanted_pt * k_broken_height_em / static_cast<double>(lines.lines.size())));
  const double stepped = wanted_pt - k_step_pt * std::ceil(std::max(0.0, wanted_pt - most) / k_step_pt - 1e-9);
  if (stepped >= least_pt) return stepped;
  if (most >= least_pt) return least_pt;
  return std::nullopt;
}

}  // namespace

std::vector<std::string> number_pieces(const std::string& number, const HouseStandard& standard) {
  const auto parsed = standard.parse_number(number);
  if (!parsed || parsed->number.text() != number) return pieces_of_text(number);
  return standard.scheme(parsed->number.scheme()).break_pieces(parsed->number);
}

CarrierNumber fit_carrier_number(const std::vector<std::string>& pieces, const Typeface& face, double wanted_pt,
                                 double room_mm) {
  constexpr std::size_t k_most_lines = 3;
  const double least = std::min(wanted_pt, k_least_number_pt);
  const double share = std::max(least, wanted_pt * k_share);
  double too_wide = std::numeric_limits<double>::infinity();
  for (const double smallest : {share, least})
    for (std::size_t count = 1; count <= std::min(k_most_lines, pieces.size()); ++count) {
      const Lines lines = in_lines(pieces, 0, count, face);
      too_wide = std::min(too_wide, pt_to_mm(lines.widest_em * least) - room_mm);
      if (const auto size = size_for(lines, wanted_pt, smallest, room_mm))
        return {*size, lines.lines, count > 1 ? pt_to_mm(*size * k_pitch_em) : 0, 0};
    }
  return {least, {line_of(pieces, 0, pieces.size())}, 0, too_wide};
}

}  // namespace sherdmark
