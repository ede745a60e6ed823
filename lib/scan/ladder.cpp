#include "scan/ladder.h"

#include <array>

namespace sherdmark {
namespace {

MadePicture as_is(const GreyView& place) { return {copied(place), {}}; }
MadePicture light_on_dark(const GreyView& place) { return {inverted(place), {}}; }
MadePicture crisp(const GreyView& place) { return {sharpened(place, 3, 2.0), {}}; }
MadePicture contrast(const GreyView& place) { return {stretched(place), {}}; }
MadePicture even_light(const GreyView& place) { return {thresholded(place, 40, 0), {}}; }
MadePicture near_light(const GreyView& place) { return {thresholded(place, 10, 0), {}}; }
MadePicture glare_masked(const GreyView& place) { return {thresholded(place, 40, -0.5), {}}; }
MadePicture half(const GreyView& place) { return shrunk(place, 2); }
MadePicture calm(const GreyView& place) { return {blurred(place, 1), {}}; }
MadePicture very_calm(const GreyView& place) { return {blurred(place, 3), {}}; }
MadePicture twice(const GreyView& place) { return resized(place, 2); }
MadePicture thrice(const GreyView& place) { return resized(place, 3); }

MadePicture twice_crisp(const GreyView& place) {
  MadePicture made = resized(place, 2);
  made.picture = sharpened(made.picture.view(), 3, 2.0);
  return made;
}

MadePicture twice_light_on_dark(const GreyView& place) {
  MadePicture made = resized(place, 2);
  made.picture = inverted(made.picture.view());
  return made;
}

template <int Degrees>
MadePicture turned_by(const GreyView& place) {
  return turned(place, Degrees);
}

constexpr std::array k_ladder = {
    Rung{"as it is", as_is},
    Rung{"one threshold", as_is, Binarizer::global_histogram},
    Rung{"light on dark", light_on_dark},
    Rung{"sharpened", crisp, Binarizer::local_average, 1.5},
    Rung{"contrast stretched", contrast, Binarizer::global_histogram, 1.2},
    Rung{"even light", even_light, Binarizer::fixed_threshold, 2},
    Rung{"half size", half, Binarizer::global_histogram, 0.4},
    Rung{"smoothed", calm, Binarizer::global_histogram, 1.3},
    Rung{"twice the size", twice, Binarizer::local_average, 4},
    Rung{"smoothed strongly", very_calm, Binarizer::local_average, 1.3},
    Rung{"glare masked", glare_masked, Binarizer::fixed_threshold, 2},
    Rung{"light nearby", near_light, Binarizer::fixed_threshold, 2},
    Rung{"twice and sharpened", twice_crisp, Binarizer::local_average, 6},
    Rung{"turned by 30°", turned_by<30>, Binarizer::local_average, 3},
    Rung{"turned by 60°", turned_by<60>, Binarizer::local_average, 3},
    Rung{"turned by 75°", turned_by<75>, Binarizer::local_average, 3},
    Rung{"turned by 15°", turned_by<15>, Binarizer::local_average, 3},
    Rung{"turned by 45°", turned_by<45>, Binarizer::local_average, 3},
    Rung{"twice, light on dark", twice_light_on_dark, Binarizer::local_average, 4},
    Rung{"three times the size", thrice, Binarizer::global_histogram, 9},
};

}  // namespace

std::span<const Rung> ladder() { return k_ladder; }

}  // namespace sherdmark
