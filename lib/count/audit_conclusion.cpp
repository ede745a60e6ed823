// What the results of a draw allow to be said.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/count/audit.h"
#include "sherdmark/count/sampling.h"

namespace sherdmark {
namespace {

using IsError = std::function<bool(const AuditDraw&)>;

struct Tally {
  std::int64_t drawn = 0, errors = 0, not_inspected = 0;
  [[nodiscard]] std::int64_t inspected() const { return drawn - not_inspected; }
};

Tally tally_of(std::span<const AuditDraw> draws, const IsError& is_error) {
  Tally tally;
  for (const AuditDraw& draw : draws) {
    ++tally.drawn;
    if (draw.outcome == k_not_inspected)
      ++tally.not_inspected;
    else if (is_error(draw))
      ++tally.errors;
  }
  return tally;
}

// Bounds of one simple draw from `frame`, of which `found` of `drawn` are wrong. When only `inspected` of them were
// seen, what was not seen is as if it had not been drawn.
void bound_simple(AuditBound& bound, const Tally& tally, const AuditDesign& design) {
  bound.share_upper = clopper_pearson_upper(tally.errors + tally.not_inspected, tally.drawn, design.confidence);
  if (tally.inspected() > 0)
    bound.share_upper_inspected = clopper_pearson_upper(tally.errors, tally.inspected(), design.confidence);
  if (design.direction == AuditDirection::object_to_record) return;  // the objects themselves were never counted
  bound.most = hypergeometric_upper(tally.errors + tally.not_inspected, design.frame, tally.drawn, design.confidence);
  if (tally.inspected() > 0)
    bound.most_inspected = hypergeometric_upper(tally.errors, design.frame, tally.inspected(), design.confidence);
}

// Every stratum bounded on its own at 1 - (1 - confidence) / strata; added up, the confidence holds for the whole
// (Bonferroni's inequality).
void bound_strata(AuditBound& bound, const AuditRecord& audit, const IsError& is_error) {
  const AuditDesign& design = audit.design;
  const double each = 1 - (1 - design.confidence) / static_cast<double>(design.strata.size());
  std::int64_t most = 0;
  std::int64_t most_inspected = 0;
  for (const auto& [name, units] : design.strata) {
    std::vector<AuditDraw> within;
    for (const AuditDraw& draw : audit.draws)
      if (draw.stratum == name) within.push_back(draw);
    const Tally tally = tally_of(within, is_error);
    most +=
        tally.drawn == 0 ? units : hypergeometric_upper(tally.errors + tally.not_inspected, units, tally.drawn, each);
    most_inspected +=
        tally.inspected() == 0 ? units : hypergeometric_upper(tally.errors, units, tally.inspected(), each);
  }
  bound.most = most;
  bound.most_inspected = most_inspected;
  bound.share_upper = static_cast<double>(most) / static_cast<double>(design.frame);
  bound.share_upper_inspected = static_cast<double>(most_inspected) / static_cast<double>(design.frame);
}

struct Cluster {
  double size = 0, wrong = 0;
};

std::map<std::string, Cluster> clusters_of(const AuditRecord& audit, const IsError& is_error, bool with_not_inspected) {
  std::map<std::string, Cluster> clusters;
  for (const AuditDraw& draw : audit.draws) {
    if (draw.outcome == k_not_inspected && !with_not_inspected) continue;
    Cluster& cluster = clusters[draw.stratum];
    cluster.size += 1;
    cluster.wrong += draw.outcome == k_not_inspected || is_error(draw) ? 1 : 0;
  }
  return clusters;
}

// Variance of the ratio of wrong to all over clusters, by what a simple draw of as many units would have; absent when
// there is no variation to measure it from, or a single cluster (Kish, Survey Sampling, section 5.4, from memory).
std::optional<double> measured_effect(const std::map<std::string, Cluster>& clusters) {
  double units = 0;
  double wrong = 0;
  for (const auto& [name, cluster] : clusters) {
    units += cluster.size;
    wrong += cluster.wrong;
  }
  const auto count = static_cast<double>(clusters.size());
  if (clusters.size() < 2 || units < 2 || wrong <= 0 || wrong >= units) return std::nullopt;
  const double ratio = wrong / units;
  double squares = 0;
  for (const auto& [name, cluster] : clusters) {
    const double off = cluster.wrong - ratio * cluster.size;
    squares += off * off;
  }
  const double variance = count / (count - 1) * squares / (units * units);
  const double simple = ratio * (1 - ratio) / units;
  return std::max(1.0, variance / simple);
}

// The binomial bound for as many units as the draw is worth: n / effect, errors in proportion, both rounded so that the
// bound never becomes smaller.
std::optional<double> bound_clusters(const std::map<std::string, Cluster>& clusters, double effect, double confidence) {
  double units = 0;
  double wrong = 0;
  for (const auto& [name, cluster] : clusters) {
    units += cluster.size;
    wrong += cluster.wrong;
  }
  const auto worth = static_cast<std::int64_t>(std::floor(units / effect + 1e-9));
  if (worth < 1) return std::nullopt;
  const auto errors = std::min(worth, static_cast<std::int64_t>(std::ceil(wrong / effect - 1e-9)));
  return clopper_pearson_upper(errors, worth, confidence);
}

class Concluding {
 public:
  explicit Concluding(const AuditRecord& audit) : audit_(audit), design_(audit.design) {}

  AuditConclusion run(std::span<const ChainMember> chain) {
    const auto any = [](const AuditDraw& draw) { return draw.outcome != k_correct; };
    const Tally all = tally_of(audit_.draws, any);
    result_.drawn = all.drawn;
    result_.inspected = all.inspected();
    result_.not_inspected = all.not_inspected;
    if (design_.layout == AuditLayout::cluster) set_effect(any);
    add("any error", any);
    for (const AuditErrorClass& one : design_.errors)
      add(one.name, [&](const AuditDraw& draw) { return draw.outcome == one.name; });
    judge(all);
    find_auditors(chain);
    result_.statement = statement(all);
    return std::move(result_);
  }

 private:
  void set_effect(const IsError& any) {
    if (design_.design_effect > 0) {
      result_.design_effect = design_.design_effect;
      return;
    }
    result_.design_effect = measured_effect(clusters_of(audit_, any, true));
    result_.design_effect_measured = result_.design_effect.has_value();
  }

  void add(const std::string& name, const IsError& is_error) {
    AuditBound bound;
    bound.name = name;
    const Tally tally = tally_of(audit_.draws, is_error);
    bound.errors = tally.errors;
    if (design_.layout == AuditLayout::simple) bound_simple(bound, tally, design_);
    if (design_.layout == AuditLayout::stratified) bound_strata(bound, audit_, is_error);
    if (design_.layout == AuditLayout::cluster && result_.design_effect) {
      bound.share_upper =
          bound_clusters(clusters_of(audit_, is_error, true), *result_.design_effect, design_.confidence);
      bound.share_upper_inspected =
          bound_clusters(clusters_of(audit_, is_error, false), *result_.design_effect, design_.confidence);
    }
    result_.bounds.push_back(std::move(bound));
  }

  void judge(const Tally& all) {
    const AuditBound& any = result_.bounds.front();
    if (design_.method == AuditMethod::iso2859) result_.accepted = all.errors + all.not_inspected <= design_.accept;
    // "No more than the tolerable rate" was to be shown: the bound must stay under the number that was to be detected.
    if (any.most)
      result_.tolerable_met = *any.most < design_.tolerable_units;
    else if (any.share_upper)
      result_.tolerable_met = *any.share_upper < design_.tolerable;
  }

  void find_auditors(std::span<const ChainMember> chain) {
    std::set<std::string> auditors{audit_.drawn_by};
    for (const AuditDraw& draw : audit_.draws)
      if (!draw.person.empty()) auditors.insert(draw.person);
    result_.auditors.assign(auditors.begin(), auditors.end());
    for (const ChainMember& member : chain)
      if (auditors.contains(member.person)) result_.auditors_in_chain.push_back(member);
  }

  [[nodiscard]] std::string bound_words(const std::optional<std::int64_t>& most,
                                        const std::optional<double>& share) const {
    if (most)
      return fmt::format("at most {} of {} ({:.1f} %)", *most, design_.frame,
                         100.0 * static_cast<double>(*most) / static_cast<double>(design_.frame));
    if (share) return fmt::format("at most {:.1f} %", 100 * *share);
    return "no bound";
  }

  [[nodiscard]] std::string statement(const Tally& all) const {
    const AuditBound& any = result_.bounds.front();
    std::string text = fmt::format("Of {} in the frame, {} {} drawn and {} inspected. {} had an error",
                                   units_words(design_.unit, design_.frame), all.drawn, all.drawn == 1 ? "was" : "were",
                                   all.inspected(), all.errors == 0 ? "None" : std::to_string(all.errors));
    if (all.not_inspected > 0)
      text += fmt::format("; {} not inspected and count{} as {}",
                          all.not_inspected == 1 ? "1 was" : fmt::format("{} were", all.not_inspected),
                          all.not_inspected == 1 ? "s" : "", all.not_inspected == 1 ? "an error" : "errors");
    text += ". ";
    if (!any.share_upper) {
      text +=
          "Whole groups were drawn. How alike neighbours are cannot be measured from these results, so no bound can be "
          "given. Draw again with --design-effect, or without groups. ";
      return text + chain_words();
    }
    text += fmt::format("With {:g} % confidence {} {} wrong", 100 * design_.confidence,
                        bound_words(any.most, any.share_upper), any.most == 1 ? "is" : "are");
    if (all.not_inspected > 0)
      text += fmt::format(" ({} if what was not inspected is left out)",
                          bound_words(any.most_inspected, any.share_upper_inspected));
    text += ". ";
    if (result_.design_effect)
      text += fmt::format("The design effect of {:.2f} was {}. ", *result_.design_effect,
                          result_.design_effect_measured ? "measured from the results" : "given beforehand");
    text += *result_.tolerable_met
                ? fmt::format("That is less than the tolerable {:g} % ({}): the aim is met. ", 100 * design_.tolerable,
                              units_words(design_.unit, design_.tolerable_units))
                : fmt::format("It may be as many as the tolerable {:g} % ({}) or more: the aim is not met. ",
                              100 * design_.tolerable, units_words(design_.unit, design_.tolerable_units));
    if (result_.accepted)
      text += fmt::format("By the plan (letter {}, {} errors accepted) the lot is {}. ", design_.letter, design_.accept,
                          *result_.accepted ? "accepted" : "not accepted");
    return text + chain_words();
  }

  [[nodiscard]] std::string chain_words() const {
    if (result_.auditors_in_chain.empty())
      return "Independent: nobody who audited ever wrote anything into the ledger about what was drawn.";
    std::vector<std::string> names;
    for (const ChainMember& member : result_.auditors_in_chain)
      names.push_back(fmt::format("{} ({} event{})", member.person, member.events, member.events == 1 ? "" : "s"));
    return fmt::format("Not independent: {} audited, and had a hand in what was drawn.", join(names, ", "));
  }

  const AuditRecord& audit_;
  const AuditDesign& design_;
  AuditConclusion result_;
};

}  // namespace

std::string units_words(AuditUnitKind unit, std::int64_t count) {
  const std::string_view many = unit == AuditUnitKind::box ? "es" : "s";
  return fmt::format("{} {}{}", count, to_text(unit), count == 1 ? "" : many);
}

AuditConclusion conclude_audit(const AuditRecord& audit, std::span<const ChainMember> chain) {
  const auto missing = std::ranges::count(audit.draws, std::string{}, &AuditDraw::outcome);
  if (missing > 0)
    throw usage_error(fmt::format("{} of {} drawn have no result yet", missing, audit.draws.size()),
                      "record them, or say why they were not inspected: sherdmark audit conclude --rest REASON");
  return Concluding{audit}.run(chain);
}

}  // namespace sherdmark
