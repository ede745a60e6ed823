#include <nlohmann/json.hpp>

#include "sheet/json_list.h"
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

void write_cutting_json(const CuttingPlan& plan, const Trimmer& trimmer, const ByteSink& sink) {
  const Json document{{"schema", 1},
                      {"run", plan.run},
                      {"gang", trimmer.gang},
                      {"strokes", plan.strokes},
                      {"seconds", plan.seconds},
                      {"strokes_bound", plan.strokes_bound},
                      {"order", to_text(plan.order)},
                      {"in_order_cuts", plan.in_order_cuts},
                      {"in_order_seconds", plan.in_order_seconds}};
  const std::string head = document.dump(1);
  constexpr std::string_view k_end = "\n}";
  JsonPieces out{sink};
  out.add(std::string_view{head}.substr(0, head.size() - k_end.size()));
  out.add(",\n \"strips\": ");
  add_json_list(out, plan.strips.size(), [&](std::size_t i) { return to_json(plan.strips[i]).dump(1); });
  out.add(",\n \"steps\": ");
  add_json_list(out, plan.steps.size(),
                [&](std::size_t i) { return to_json(plan.steps[i], static_cast<int>(i) + 1).dump(1); });
  out.add("\n}\n");
  out.flush();
}

std::string write_cutting_json(const CuttingPlan& plan, const Trimmer& trimmer) {
  return text_of([&](const ByteSink& sink) { write_cutting_json(plan, trimmer, sink); });
}

}  // namespace sherdmark
