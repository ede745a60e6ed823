// Seeded adversarial sets against the judge: counts agreements that are wrong, and faultless sets that do not agree.
//
//   adversarial_sets --sets 300000 --seed 1 [--judge naive]
//
// Exit 0: no wrong agreement, every faultless set agrees, every kind of fault was planted. Exit 1 otherwise. With the
// naive judge it must exit 1: that is how we know that the oracle can say no.
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <cstring>

#include "sherdmark/base/text.h"
#include "verify/adversary/oracle.h"

namespace sherdmark::adversary {
namespace {

struct Tally {
  std::int64_t sets = 0;
  std::int64_t agrees = 0;
  std::int64_t wrong = 0;
};

struct Run {
  std::int64_t sets = 0;
  std::uint64_t seed = 1;
  bool naive = false;
  Tally all{};
  Tally faultless{};
  Tally harmless{};  // a fault was planted, yet an agreement would be true
  std::array<Tally, k_faults> by_fault{};
  std::array<std::int64_t, k_verdicts> by_verdict{};
};

void show(const Scene& scene, const ReadingSet& set, const SetVerdict& verdict, const char* what,
          const std::string& why) {
  fmt::print(stderr, "{}: bag {}: {}\n  faults:", what, scene.bag.id, why);
  for (const Fault fault : scene.faults) fmt::print(stderr, " [{}]", to_text(fault));
  fmt::print(stderr, "\n");
  for (const Reading& reading : set.readings)
    fmt::print(stderr, "  {} {} number={} bag={} serial={} {}{}\n", reading.image, to_text(reading.role),
               reading.number.value_or("-"), reading.bag.value_or("-"), reading.serial.value_or("-"),
               reading.sure ? "sure" : "unsure", reading.micro_number ? " micro=" + *reading.micro_number : "");
  for (const Reason& reason : verdict.reasons) fmt::print(stderr, "  -> {}: {}\n", reason.code, reason.text);
}

void judge_one(Run& run, const Scene& scene, const ReadingSet& set) {
  static const HouseStandard k_standard{};
  SetVerdict verdict;
  if (run.naive) {
    verdict.verdict = judge_naively(set, scene.collection);
  } else {
    verdict = judge(set, scene.collection, k_standard);
  }
  const std::string why = why_agree_is_wrong(scene);
  const bool agrees = verdict.verdict == Verdict::agree;
  const bool wrong = agrees && !why.empty();
  const auto count = [&](Tally& tally) {
    ++tally.sets;
    tally.agrees += agrees ? 1 : 0;
    tally.wrong += wrong ? 1 : 0;
  };
  if (wrong && run.all.wrong < 3) show(scene, set, verdict, "WRONG AGREE", why);
  count(run.all);
  ++run.by_verdict[static_cast<std::size_t>(verdict.verdict)];
  for (const Fault fault : scene.faults) count(run.by_fault[static_cast<std::size_t>(fault)]);
  if (scene.faults.empty()) {
    if (!agrees && run.faultless.sets - run.faultless.agrees < 3)
      show(scene, set, verdict, "FAULTLESS SET DOES NOT AGREE", std::string{to_text(verdict.verdict)});
    count(run.faultless);
  } else if (why.empty()) {
    count(run.harmless);
  }
}

void run_all(Run& run) {
  SeededRandom random{run.seed};
  World world;
  for (std::int64_t i = 0; i < run.sets; ++i) {
    if (i % 16 == 0) world = make_world(random);
    Scene scene = make_scene(world, random);
    const auto faults = random.below(8) == 0 ? 0 : 1 + random.below(3);
    for (std::uint64_t tries = 0; scene.faults.size() < faults && tries < 12; ++tries)
      (void)plant(scene, static_cast<Fault>(random.below(k_faults)), random);
    judge_one(run, scene, take_pictures(scene, random));
  }
}

// One-sided 95 % upper bound on the share of wrong agreements when none was seen: -ln 0.05 / n (Hanley and
// Lippman-Hand 1983, "If nothing goes wrong, is everything all right?"; from memory).
double upper_bound(std::int64_t sets) { return -std::log(0.05) / static_cast<double>(sets); }

bool report(const Run& run) {
  fmt::print("sets              {}\nseed              {}\nagree             {}\nwrong agree       {}\n", run.all.sets,
             run.seed, run.all.agrees, run.all.wrong);
  if (run.all.wrong == 0)
    fmt::print("95 % upper bound  {:.3g} wrong agrees a set (1 in {:.0f})\n", upper_bound(run.all.sets),
               1 / upper_bound(run.all.sets));
  fmt::print("faultless sets    {} of {} agree\nharmless faults   {} of {} agree\n", run.faultless.agrees,
             run.faultless.sets, run.harmless.agrees, run.harmless.sets);
  for (int i = 0; i < k_verdicts; ++i)
    fmt::print("  {:<12} {:>8}\n", to_text(static_cast<Verdict>(i)), run.by_verdict[static_cast<std::size_t>(i)]);
  bool all_planted = true;
  fmt::print("{:<24} {:>8} {:>8} {:>8}\n", "fault", "sets", "agree", "wrong");
  for (int i = 0; i < k_faults; ++i) {
    const Tally& tally = run.by_fault[static_cast<std::size_t>(i)];
    fmt::print("{:<24} {:>8} {:>8} {:>8}\n", to_text(static_cast<Fault>(i)), tally.sets, tally.agrees, tally.wrong);
    all_planted = all_planted && tally.sets > 0;
  }
  const bool useful = run.faultless.sets > 0 && run.faultless.agrees == run.faultless.sets;
  if (!all_planted) fmt::print("NOT EVERY FAULT WAS PLANTED: the run is too small\n");
  return run.all.wrong == 0 && useful && all_planted;
}

bool read_arguments(int count, char** arguments, Run& run) {
  for (int i = 1; i + 1 < count; i += 2) {
    const std::string name = arguments[i];
    const std::string value = arguments[i + 1];
    const auto number = parse_integer(value);
    if (name == "--sets" && number && *number > 0) {
      run.sets = *number;
    } else if (name == "--seed" && number) {
      run.seed = static_cast<std::uint64_t>(*number);
    } else if (name == "--judge" && value == "naive") {
      run.naive = true;
    } else {
      return false;
    }
  }
  return run.sets > 0 && count % 2 == 1;
}

}  // namespace
}  // namespace sherdmark::adversary

int main(int count, char** arguments) {
  sherdmark::adversary::Run run;
  if (!sherdmark::adversary::read_arguments(count, arguments, run)) {
    fmt::print(stderr, "usage: adversarial_sets --sets N --seed N [--judge naive]\n");
    return 2;
  }
  sherdmark::adversary::run_all(run);
  return sherdmark::adversary::report(run) ? 0 : 1;
}
