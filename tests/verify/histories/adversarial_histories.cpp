// Seeded histories of a small workroom, judged against its own ledger: labels printed, confirmed late or never, hung,
// printed again, voided; bags split, combined, recounted, lent, renumbered; and between these, sets of labels as they
// lie there, some with a fault. Counts agreements that are wrong, and sound sets that do not agree.
//
//   adversarial_histories --histories 200 --seed 1
//
// Exit 0: no wrong agreement, every sound set agrees, every kind of wrong set came up, and each ledger proves. The
// truth is the workroom's, which knows papers and pieces; of the ledger it asks only what would be printed now.
#include <fmt/format.h>

#include <cmath>
#include <cstdio>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/verify/judge.h"
#include "sherdmark/verify/readings.h"
#include "verify/histories/workroom.h"

namespace sherdmark::histories {
namespace {

constexpr int k_acts = 60;
constexpr std::int64_t k_shown = 4;

// What lies before the camera.
struct Scene {
  std::string bag;
  std::vector<Paper> carriers;
  std::vector<Piece> pieces;
};

struct Run {
  std::int64_t histories = 0;
  std::uint64_t seed = 1;
  std::int64_t refused = 0;
  std::int64_t sets = 0;
  std::int64_t agrees = 0;
  std::int64_t wrong = 0;
  std::int64_t sound = 0;
  std::int64_t sound_agree = 0;
  std::int64_t failed = 0;  // a ledger that does not prove, or counts other pieces than are there
  std::map<std::string, std::int64_t> by_reason;
};

Corners square(double left, double top, double side) {
  return {PointF{left, top}, PointF{left + side, top}, PointF{left + side, top + side}, PointF{left, top + side}};
}

ReadingSet photograph(const Scene& scene) {
  ImageReadings picture;
  picture.image = "set.png";
  double left = 0;
  for (const Paper& paper : scene.carriers) {
    picture.codes.push_back({SymbolFormat::qr, paper.code, square(left, 0, 300)});
    left += 2000;
  }
  for (const Piece& piece : scene.pieces) {
    if (!piece.label) continue;
    TextReading text;
    text.sure = true;
    text.number = piece.label->number;
    text.lines = {piece.label->number};
    text.margin = 40;
    text.px_per_mm = 20;
    text.corners = square(left, 4000, 100);
    picture.texts.push_back(text);
    left += 1000;
  }
  return build_set("set", {picture});
}

// What would be printed now of each bag label and tag.
std::map<std::pair<LabelRole, std::string>, std::string> wording(const Ledger& ledger) {
  std::map<std::pair<LabelRole, std::string>, std::string> words;
  for (const PlannedCarrierLabel& label : plan_labels(ledger).labels.carriers)
    words[{label.role, label.subject}] = label.number + "\n" + label.text;
  return words;
}

std::string why_paper_is_wrong(Workroom& room, const Scene& scene, const Paper& paper) {
  if (paper.subject != scene.bag) return "a label of another bag";
  if (!paper.confirmed) return "a label that nobody said was printed well";
  if (paper.given_up) return "a label that was void, spoiled or replaced";
  const auto words = wording(room.ledger());
  const auto now = words.find({paper.role, paper.subject});
  if (now == words.end()) return "a label that would not be printed any more";
  return now->second == paper.says ? "" : "a label that says what holds no more";
}

// Empty when bag, tag and pieces agree in truth.
std::string why_wrong(Workroom& room, const Scene& scene) {
  const Bag& bag = room.bags().at(scene.bag);
  bool label = false;
  bool tag = false;
  for (const Paper& paper : scene.carriers) {
    label = label || paper.role == LabelRole::bag;
    tag = tag || paper.role == LabelRole::tag;
    if (const std::string why = why_paper_is_wrong(room, scene, paper); !why.empty()) return why;
  }
  if (!label || !tag) return "no bag label or no tag";
  if (bag.lent) return "a bag that is lent";
  std::multiset<int> shown;
  std::multiset<int> there;
  for (const Piece& piece : scene.pieces)
    if (piece.label) shown.insert(piece.item);
  for (const Piece& piece : bag.pieces)
    if (piece.label) there.insert(piece.item);
  for (const int item : shown)
    if (room.restricted(item)) return "a piece that must carry no label";
  if (!std::includes(there.begin(), there.end(), shown.begin(), shown.end())) return "a piece of another bag";
  return shown == there ? "" : "a labelled piece left out";
}

// Copies of a number in all bags; nothing on them tells one from another.
std::int64_t copies_everywhere(const Ledger& ledger, const ExpectedArtifact& wanted) {
  std::int64_t copies = 0;
  for (const std::string& bag : ledger.bags_of_item(wanted.item))
    for (const ExpectedArtifact& expected : ledger.expected_artifacts(bag))
      if (expected.number == wanted.number) copies += expected.copies;
  return copies;
}

// Sound: nothing is wrong, the pieces carry what the records say, no more and no less, and of their numbers no copy
// waits to be confirmed or is missing in another bag.
bool is_sound(Workroom& room, const Scene& scene) {
  const Ledger& ledger = room.ledger();
  std::map<std::string, std::int64_t> open;
  for (const ExpectedArtifact& expected : ledger.expected_artifacts(scene.bag)) {
    const auto label = ledger.artifact_label(expected.number);
    if (!label || label->generated > 0) return false;
    if (label->printed + label->applied < copies_everywhere(ledger, expected)) return false;
    open[expected.number] += expected.copies;
  }
  for (const Piece& piece : scene.pieces)
    if (piece.label) --open[piece.label->number];
  for (const auto& [number, copies] : open)
    if (copies != 0) return false;
  return true;
}

Scene scene_of(Workroom& room, RandomSource& random) {
  const auto& bags = room.bags();
  const auto any = [&] { return std::next(bags.begin(), static_cast<std::ptrdiff_t>(random.below(bags.size()))); };
  const auto& [id, bag] = *any();
  const Bag& other = any()->second;
  Scene scene{id, {}, bag.pieces};
  const std::uint64_t fault = random.below(10);
  const auto show = [&](const std::optional<Paper>& paper) {
    if (paper) scene.carriers.push_back(*paper);
  };
  show(fault == 0 ? other.label : bag.label);
  show(fault == 1 ? other.tag : bag.tag);
  if (fault == 2 && !scene.pieces.empty())
    scene.pieces.erase(scene.pieces.begin() + static_cast<std::ptrdiff_t>(random.below(scene.pieces.size())));
  if (fault == 3 && !other.pieces.empty()) scene.pieces.push_back(other.pieces[random.below(other.pieces.size())]);
  if (fault == 4)
    for (const Paper& paper : room.waste())
      for (Paper& shown : scene.carriers)
        if (shown.role == paper.role && shown.subject == paper.subject) shown = paper;
  if (fault == 5 && !scene.carriers.empty()) scene.carriers.pop_back();
  return scene;
}

void show(const Scene& scene, const SetVerdict& verdict, const char* what, const std::string& why) {
  fmt::print(stderr, "{}: bag {}: {}\n", what, scene.bag, why);
  for (const Paper& paper : scene.carriers)
    fmt::print(stderr, "  {} {} {} of run {}\n    {}\n", to_text(paper.role), paper.subject, paper.serial, paper.run,
               printable(paper.says));
  for (const Piece& piece : scene.pieces)
    fmt::print(stderr, "  piece of item {}: {}\n", piece.item, piece.label ? piece.label->number : "no label");
  for (const Reason& reason : verdict.reasons) fmt::print(stderr, "  -> {}: {}\n", reason.code, reason.text);
}

void judge_one(Run& run, Workroom& room, RandomSource& random) {
  const Scene scene = scene_of(room, random);
  if (scene.carriers.empty()) return;
  const std::string why = why_wrong(room, scene);
  const SetVerdict verdict = judge(photograph(scene), room.ledger(), room.ledger().standard());
  const bool agrees = verdict.verdict == Verdict::agree;
  ++run.sets;
  run.agrees += agrees ? 1 : 0;
  if (!why.empty()) {
    ++run.by_reason[why];
    if (agrees && ++run.wrong <= k_shown) show(scene, verdict, "WRONG AGREE", why);
  } else if (is_sound(room, scene)) {
    ++run.sound;
    run.sound_agree += agrees ? 1 : 0;
    if (!agrees && run.sound - run.sound_agree <= k_shown)
      show(scene, verdict, "A SOUND SET DOES NOT AGREE", std::string{to_text(verdict.verdict)});
  }
}

void fail(Run& run, const std::string& what) {
  ++run.failed;
  fmt::print(stderr, "{}\n", what);
}

void live(Run& run, std::uint64_t seed) {
  SeededRandom random{seed};
  Workroom room{seed % 2 == 0, seed};
  room.label_everything(random);
  for (int act = 0; act < k_acts; ++act) {
    run.refused += room.act(random) ? 0 : 1;
    if (random.below(8) == 0) room.label_everything(random);
    for (int set = 0; set < 3; ++set) judge_one(run, room, random);
    if (const std::string where = room.miscounted(); !where.empty())
      return fail(run, fmt::format("THE LEDGER COUNTS OTHERWISE: seed {}: {}", seed, where));
  }
  const LedgerVerification proof = room.ledger().verify();
  if (!proof.good()) fail(run, fmt::format("A LEDGER DOES NOT PROVE: seed {}: {}", seed, proof.problems.front()));
}

bool report(const Run& run) {
  fmt::print("histories      {}\nseed           {}\nacts refused   {}\nsets           {}\nagree          {}\n",
             run.histories, run.seed, run.refused, run.sets, run.agrees);
  fmt::print("wrong agree    {}\nsound sets     {} of {} agree\nnot as it is   {}\n", run.wrong, run.sound_agree,
             run.sound, run.failed);
  bool all_came_up = true;
  for (const char* why : {"a label of another bag", "a label that nobody said was printed well",
                          "a label that was void, spoiled or replaced", "a label that would not be printed any more",
                          "a label that says what holds no more", "no bag label or no tag", "a bag that is lent",
                          "a piece that must carry no label", "a piece of another bag", "a labelled piece left out"}) {
    const auto found = run.by_reason.find(why);
    fmt::print("  {:<46} {:>8}\n", why, found == run.by_reason.end() ? 0 : found->second);
    all_came_up = all_came_up && found != run.by_reason.end();
  }
  if (!all_came_up) fmt::print("NOT EVERY KIND OF WRONG SET CAME UP: the run is too small\n");
  return run.wrong == 0 && run.failed == 0 && run.sound > 0 && run.sound_agree == run.sound && all_came_up;
}

bool read_arguments(int count, char** arguments, Run& run) {
  for (int i = 1; i + 1 < count; i += 2) {
    const std::string name = arguments[i];
    const auto number = parse_integer(arguments[i + 1]);
    if (name == "--histories" && number && *number > 0)
      run.histories = *number;
    else if (name == "--seed" && number)
      run.seed = static_cast<std::uint64_t>(*number);
    else
      return false;
  }
  return run.histories > 0 && count % 2 == 1;
}

}  // namespace
}  // namespace sherdmark::histories

int main(int count, char** arguments) {
  using namespace sherdmark::histories;
  Run run;
  if (!read_arguments(count, arguments, run)) {
    fmt::print(stderr, "usage: adversarial_histories --histories N --seed N\n");
    return 2;
  }
  try {
    for (std::int64_t i = 0; i < run.histories; ++i) live(run, run.seed * 1000003 + static_cast<std::uint64_t>(i));
  } catch (const std::exception& error) {
    fmt::print(stderr, "adversarial_histories: {}\n", error.what());
    return 1;
  }
  return report(run) ? 0 : 1;
}
