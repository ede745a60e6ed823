#include <fmt/format.h>

#include <cmath>
#include <map>
#include <tuple>
#include <unordered_map>

#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {
namespace {

struct RuleGroup {
  const PlannedDecision* first = nullptr;
  std::vector<std::string> numbers;  // with the copies, where there are any
  std::int64_t labels = 0;
};

// Numbers side by side, wrapped at 100 characters.
std::string wrapped(const std::vector<std::string>& numbers) {
  std::string text;
  std::size_t width = 0;
  for (const std::string& number : numbers) {
    const std::size_t length = code_point_count(number) + 2;
    if (width == 0 || width + length > 96) {
      text += width == 0 ? "    " : "\n    ";
      width = 0;
    }
    text += number + "  ";
    width += length;
  }
  while (text.ends_with(' ')) text.pop_back();
  return text + "\n";
}

std::string carriers_text(const PlanReport& report) {
  std::int64_t bags = 0;
  std::int64_t tags = 0;
  for (const PlannedCarrierLabel& carrier : report.plan.labels.carriers) {
    bags += carrier.role == LabelRole::bag ? carrier.sheets : 0;
    tags += carrier.role == LabelRole::tag ? carrier.sheets : 0;
  }
  std::string text = fmt::format("Bag labels {}, interior tags {}.\n", bags, tags);
  for (const std::string& bag : report.plan.withheld)
    text += fmt::format("Bag {}: no label, picture or draw before the consultation its care flag asks for.\n",
                        group_identity(bag));
  return text;
}

std::string fitted_text(const std::vector<FittedLabel>& fitted) {
  if (fitted.empty()) return {};
  std::string text = fmt::format("Not as usual, because the object is small: {} label{}\n", fitted.size(),
                                 fitted.size() == 1 ? "" : "s");
  for (const FittedLabel& label : fitted)
    text += fmt::format("    {}  {}\n", printable(label.number), printable(label.reason));
  return text;
}

std::string minutes(double seconds) {
  const auto whole = static_cast<int>(std::lround(seconds / 60));
  return whole < 1 ? "under a minute" : fmt::format("about {} minute{}", whole, whole == 1 ? "" : "s");
}

}  // namespace

std::string cutting_alternative(const CuttingCost& cost) {
  const std::string other = fmt::format("{} strokes, {}", cost.other_strokes, minutes(cost.other_seconds));
  if (cost.was_asked)
    return cost.other_strokes < cost.strokes ? fmt::format("Without --keep-order: {}.", other)
                                             : "Without --keep-order they would be no fewer.";
  if (cost.keeps_order) return {};
  return fmt::format("Labels strictly in bench order, with --keep-order: {}.", other);
}

std::string cutting_text(const CuttingCost& cost) {
  const std::string alternative = cutting_alternative(cost);
  return fmt::format("Cutting: {} strokes, {}; {}; no plan has fewer than {} strokes.{}{}\n", cost.strokes,
                     minutes(cost.seconds), what_comes_off(cost.order), cost.strokes_bound,
                     alternative.empty() ? "" : " ", alternative);
}

std::string plan_text(const PlanReport& report) {
  std::unordered_map<std::string, std::pair<std::int64_t, bool>> copies;  // item → labels, numbered piece by piece
  for (const PlannedArtifactLabel& label : report.plan.labels.artifacts) {
    auto& [count, pieces] = copies[label.item];
    for (const PlannedCopies& one : label.per_bag) count += one.copies;
    pieces = pieces || label.number != label.item;
  }
  std::vector<RuleGroup> groups;
  std::map<std::tuple<std::string, std::string, LabelDecision>, std::size_t> by_rule;
  for (const PlannedDecision& decision : report.plan.labels.decisions) {
    const auto [entry, fresh] = by_rule.try_emplace({decision.rule, decision.reason, decision.decision}, groups.size());
    if (fresh) groups.push_back({&decision, {}, 0});
    RuleGroup& group = groups[entry->second];
    const auto found = copies.find(decision.item);
    const auto [count, pieces] = found == copies.end() ? std::pair{std::int64_t{0}, false} : found->second;
    group.labels += count;
    group.numbers.push_back(count > 1
                                ? fmt::format("{} ({}{})", printable(decision.item), pieces ? "pieces 1–" : "× ", count)
                                : printable(decision.item));
  }
  std::string text;
  for (const RuleGroup& group : groups) {
    text += fmt::format("{}: {} — {} item{}, {} artifact label{}\n  {}\n", to_text(group.first->decision),
                        printable(group.first->rule), group.numbers.size(), group.numbers.size() == 1 ? "" : "s",
                        group.labels, group.labels == 1 ? "" : "s", printable(group.first->reason));
    if (!group.first->caution.empty()) text += fmt::format("  Caution: {}\n", printable(group.first->caution));
    text += wrapped(group.numbers);
  }
  text += fitted_text(report.plan.fitted);
  for (const std::string& warning : report.plan.warnings) text += fmt::format("Warning: {}\n", printable(warning));
  text += carriers_text(report);
  if (report.result)
    text += fmt::format("Planned: {} new, {} revised, {} unchanged; {} older copies superseded.\n",
                        report.result->labels_new, report.result->labels_revised, report.result->labels_unchanged,
                        report.result->prints_superseded);
  return text;
}

std::string init_text(const InitReport& report) {
  std::string text = fmt::format("{} made: collection {}, station {}, {} in the register.\n", printable(report.ledger),
                                 report.collection_key, report.station, printable(report.person));
  text += fmt::format("House standard: {}, version {}.\n", printable(report.standard_name),
                      printable(report.standard_version));
  for (const WorstCase& one : report.worst_cases) {
    text += fmt::format("Scheme \"{}\"\n", printable(one.scheme));
    text +=
        fmt::format("  longest number     {} ({} characters)\n", printable(one.number), code_point_count(one.number));
    text +=
        fmt::format("  bag and tag code   QR version {}, level Q, {} modules: {:.1f} mm on bags, {:.1f} mm on tags\n",
                    one.carrier.version, one.carrier.width_modules, one.bag_code.size_mm, one.tag_code.size_mm);
    const MicroCodeFit& fit =
        one.micro.best == SymbolFormat::micro_qr && one.micro.micro_qr ? *one.micro.micro_qr : one.micro.data_matrix;
    text +=
        fmt::format("  artifact code      {} × {} {}: {:.1f} mm\n", fit.symbol.width_modules, fit.symbol.height_modules,
                    fit.symbol.format == SymbolFormat::micro_qr ? "Micro QR" : "Data Matrix", fit.size.size_mm);
    text += fmt::format("  smallest label     {:.1f} × {:.1f} mm, {} line{}: {}\n", one.label.w_mm, one.label.h_mm,
                        one.lines.size(), one.lines.size() == 1 ? "" : "s", printable(join(one.lines, " | ")));
  }
  return text;
}

}  // namespace sherdmark
