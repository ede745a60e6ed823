#include "sherdmark/sheet/label_fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "sheet/artifact_label.h"
#include "sherdmark/base/error.h"
#include "sherdmark/code/check_character.h"

namespace sherdmark {
namespace {

constexpr double k_step_pt = 0.25;
constexpr double k_hair_mm = 1e-6;
constexpr std::size_t k_most_pieces = 12;  // breaks are tried in every way; numbers have fewer parts

double longer_side(const LabelSize& size) { return std::max(size.w_mm, size.h_mm); }

// Every way to break the pieces into lines, fewest lines first.
std::vector<std::vector<std::string>> all_breakings(const std::vector<std::string>& pieces) {
  if (pieces.size() > k_most_pieces) throw internal_error("a number of more parts than any scheme should have.");
  std::vector<std::vector<std::string>> breakings;
  const std::size_t gaps = pieces.empty() ? 0 : pieces.size() - 1;
  for (std::size_t breaks = 0; breaks < std::size_t{1} << gaps; ++breaks) {
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      if (i == 0 || (breaks >> (i - 1) & 1U) != 0) lines.emplace_back();
      lines.back() += pieces[i];
    }
    breakings.push_back(std::move(lines));
  }
  std::ranges::stable_sort(breakings, {}, &std::vector<std::string>::size);
  return breakings;
}

// Sizes to try, largest first; the last is the smallest allowed, whatever the steps.
std::vector<double> sizes_to_try(const ArtifactLabelDesign& design) {
  const double smallest = std::min(design.smallest_pt, design.size_pt);
  std::vector<double> sizes;
  for (double size = design.size_pt; size > smallest + 1e-9; size -= k_step_pt) sizes.push_back(size);
  sizes.push_back(smallest);
  return sizes;
}

class Fitter {
 public:
  Fitter(const Number& number, const HouseStandard& standard, const Typeface& face)
      : standard_(standard), face_(face), design_(standard.artifact) {
    std::optional<char> check;
    if (design_.check_character) check = mod_37_36_check(check_character_data(number));
    const Scheme& scheme = standard.scheme(number.scheme());
    usual_ = break_artifact_text(scheme, number, design_, face);
    breakings_ = all_breakings(scheme.break_pieces(number, check));
    if (const auto code = micro_code_of(number, standard)) code_ = code->symbol;
  }

  [[nodiscard]] ArtifactLabelFit usual() const { return shaped(usual_, design_.size_pt); }

  // The first label whose longer side is at most `allowed_mm`, in the order of preference.
  [[nodiscard]] std::optional<ArtifactLabelFit> within(double allowed_mm) const {
    for (const double size : sizes_to_try(design_)) {
      std::optional<ArtifactLabelFit> best;
      for (const auto& lines : breakings_) {
        if (best && lines.size() > best->lines.size()) break;
        ArtifactLabelFit fit = shaped(lines, size);
        if (longer_side(fit.size) > allowed_mm + k_hair_mm) continue;
        if (!best || longer_side(fit.size) < longer_side(best->size) - k_hair_mm) best = std::move(fit);
      }
      if (best) return best;
    }
    return std::nullopt;
  }

  [[nodiscard]] ArtifactLabelFit smallest() const {
    ArtifactLabelFit best;
    double least = std::numeric_limits<double>::infinity();
    for (const auto& lines : breakings_) {
      ArtifactLabelFit fit = shaped(lines, sizes_to_try(design_).back());
      if (longer_side(fit.size) >= least - k_hair_mm) continue;
      least = longer_side(fit.size);
      best = std::move(fit);
    }
    return best;
  }

 private:
  [[nodiscard]] ArtifactLabelFit shaped(const std::vector<std::string>& lines, double size_pt) const {
    ArtifactLabelDesign design = design_;
    design.size_pt = size_pt;
    ArtifactLabelFit fit;
    fit.size_pt = size_pt;
    fit.lines = lines;
    fit.size = artifact_label_size(lines, design, face_, code_, standard_.printer.dpi);
    return fit;
  }

  const HouseStandard& standard_;
  const Typeface& face_;
  const ArtifactLabelDesign& design_;
  std::vector<std::string> usual_;
  std::vector<std::vector<std::string>> breakings_;
  std::optional<SymbolMatrix> code_;
};

std::string said(const LabelSize& size) { return fmt::format("{:.1f} × {:.1f} mm", size.w_mm, size.h_mm); }

std::string lines_said(const ArtifactLabelFit& fit) {
  return fmt::format("{:g} pt in {} line{}", fit.size_pt, fit.lines.size(), fit.lines.size() == 1 ? "" : "s");
}

}  // namespace

ArtifactLabelFit fit_artifact_label(const Number& number, std::optional<double> largest_mm,
                                    const HouseStandard& standard, const Typeface& face) {
  const Fitter fitter{number, standard, face};
  ArtifactLabelFit usual = fitter.usual();
  if (!largest_mm) {
    usual.reason = fmt::format("{}, {}; the object was not measured.", lines_said(usual), said(usual.size));
    return usual;
  }
  const double allowed = *largest_mm * standard.artifact.most_of_object;
  const std::string limit =
      fmt::format("{:g} % of {:g} mm is {:.1f} mm", 100 * standard.artifact.most_of_object, *largest_mm, allowed);
  usual.allowed_mm = allowed;
  if (longer_side(usual.size) <= allowed + k_hair_mm) {
    usual.reason = fmt::format("{}, {}; {}.", lines_said(usual), said(usual.size), limit);
    return usual;
  }
  ArtifactLabelFit fit = fitter.within(allowed).value_or(ArtifactLabelFit{});
  fit.fits = !fit.lines.empty();
  if (!fit.fits) {
    fit = fitter.smallest();
    fit.fits = false;
  }
  fit.allowed_mm = allowed;
  fit.as_usual = false;
  fit.reason = fit.fits ? fmt::format("{}, {}: {}, and the usual label is {}.", lines_said(fit), said(fit.size), limit,
                                      said(usual.size))
                        : fmt::format("no label fits: {}, and the smallest that would do is {} ({}).", limit,
                                      said(fit.size), lines_said(fit));
  return fit;
}

}  // namespace sherdmark
