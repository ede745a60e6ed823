#include "scan/ladder.h"

#include <array>

#include "scan/bent_symbols.h"

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

// In the order of photographs won per millisecond, as rungs_bench measures it on photographs of others.
constexpr std::array k_ladder = {
    Rung{"as it is", as_is},
    Rung{"light on dark", light_on_dark},
    Rung{"one threshold", as_is, Binarizer::global_histogram},
    Rung{"half size", half, Binarizer::global_histogram},
    Rung{"sharpened", crisp},
    Rung{"even light", even_light, Binarizer::fixed_threshold},
    Rung{"contrast stretched", contrast, Binarizer::global_histogram},
    Rung{"turned by 75°", turned_by<75>},
    Rung{"smoothed strongly", very_calm},
    Rung{"smoothed", calm, Binarizer::global_histogram},
    Rung{"bent QR", nullptr, Binarizer::local_average, read_bent_qr},
    Rung{"turned by 30°", turned_by<30>},
    Rung{"glare masked", glare_masked, Binarizer::fixed_threshold},
    Rung{"turned by 60°", turned_by<60>},
    Rung{"light nearby", near_light, Binarizer::fixed_threshold},
    Rung{"twice the size", twice},
    Rung{"twice and sharpened", twice_crisp},
    Rung{"twice, light on dark", twice_light_on_dark},
    Rung{"bent Data Matrix", nullptr, Binarizer::local_average, read_bent_data_matrix},
};

}  // namespace

std::span<const Rung> ladder() { return k_ladder; }

}  // namespace sherdmark
