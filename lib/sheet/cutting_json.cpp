#include <nlohmann/json.hpp>

#include "sherdmark/sheet/cutting.h"

namespace sherdmark {
namespace {

using Json = nlohmann::ordered_json;

Json to_json(const CutStrip& strip) {
  return {{"strip", strip.strip},
          {"page", strip.page},
          {"first_label", strip.first_label},
          {"labels", strip.labels},
          {"stack", strip.stack}};
}

Json to_json(const CutStep& step, int number) {
  return {{"step", number},
          {"act", step.act == CutAct::into_strips ? "into-strips" : "into-labels"},
          {"pages", step.pages},
          {"strips", step.strips},
          {"fence_from", step.act == CutAct::into_strips ? "foot" : "right"},
          {"fence_mm", step.fence_mm},
          {"falls_off", step.falls_off}};
}

}  // namespace

std::string write_cutting_json(const CuttingPlan& plan, const Trimmer& trimmer) {
  Json strips = Json::array();
  for (const CutStrip& strip : plan.strips) strips.push_back(to_json(strip));
  Json steps = Json::array();
  for (const CutStep& step : plan.steps) steps.push_back(to_json(step, static_cast<int>(steps.size()) + 1));
  const Json document{{"schema", 1},
                      {"run", plan.run},
                      {"gang", trimmer.gang},
                      {"strokes", plan.strokes},
                      {"seconds", plan.seconds},
                      {"strokes_bound", plan.strokes_bound},
                      {"order", to_text(plan.order)},
                      {"in_order_cuts", plan.in_order_cuts},
                      {"in_order_seconds", plan.in_order_seconds},
                      {"strips", std::move(strips)},
                      {"steps", std::move(steps)}};
  return document.dump(1) + "\n";
}

}  // namespace sherdmark
