#include <algorithm>
#include <array>

#include "sherdmark/base/error.h"
#include "sherdmark/scan/print_grade.h"

namespace sherdmark {
namespace {

struct Words {
  GradeParameter parameter;
  std::string_view id;
  std::string_view name;
  std::string_view remedy;
};

constexpr std::array k_words = {
    Words{GradeParameter::decode, "decode", "decode",
          "It does not decode in the strict way that grading asks for: reprint it, or take a sharper picture."},
    Words{GradeParameter::symbol_contrast, "symbol-contrast", "symbol contrast",
          "The dark is pale or the paper dark: look for low toner, a draft or toner-saving setting, fading, or a "
          "yellowed or dirty bag in front."},
    Words{
        GradeParameter::modulation, "modulation", "modulation",
        "Some modules are neither dark nor light: look for spots, scratches, gloss or spread toner, or a picture that "
        "is not sharp."},
    Words{GradeParameter::axial_nonuniformity, "axial-nonuniformity", "axial non-uniformity",
          "It is wider than high or higher than wide: print without \"fit to page\", calibrate the printer, and take "
          "the picture straight from above."},
    Words{GradeParameter::grid_nonuniformity, "grid-nonuniformity", "grid non-uniformity",
          "Its rows and columns are not straight: flatten the label; if it is flat, the paper slipped in the printer."},
    Words{GradeParameter::unused_error_correction, "unused-error-correction", "unused error correction",
          "Parts are damaged or covered and only error correction still reads it: reprint it soon."},
    Words{GradeParameter::fixed_pattern_damage, "fixed-pattern-damage", "fixed pattern damage",
          "A finder, border or timing line is damaged: look for scratches, folds and cut corners, and reprint it."},
    Words{GradeParameter::quiet_zone, "quiet-zone", "quiet zone",
          "The clear margin round it is cut off or something lies in it: cut farther outside, or lay it on light "
          "paper."},
};

const Words& words_of(GradeParameter parameter) {
  const auto* words = std::ranges::find(k_words, parameter, &Words::parameter);
  if (words == k_words.end()) throw internal_error("A grading parameter without a name.");
  return *words;
}

}  // namespace

char grade_letter(int grade) { return std::string_view{"FDCBA"}.at(static_cast<std::size_t>(std::clamp(grade, 0, 4))); }
std::string_view to_text(GradeParameter parameter) { return words_of(parameter).id; }
std::string_view name_of(GradeParameter parameter) { return words_of(parameter).name; }
std::string_view what_to_do(GradeParameter parameter) { return words_of(parameter).remedy; }

const ParameterGrade* PrintGrade::find(GradeParameter parameter) const {
  const auto found = std::ranges::find(parameters, parameter, &ParameterGrade::parameter);
  return found == parameters.end() ? nullptr : &*found;
}

std::vector<GradeParameter> held_down_by(const PrintGrade& grade) {
  std::vector<GradeParameter> low;
  if (grade.grade == 4) return low;
  for (const ParameterGrade& one : grade.parameters)
    if (one.grade == grade.grade) low.push_back(one.parameter);
  return low;
}

}  // namespace sherdmark
