#include "sherdmark/verify/review.h"

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fmt/format.h>

#include <algorithm>
#include <istream>
#include <map>
#include <memory>
#include <ostream>
#include <set>

#include "commands.h"
#include "kept_pictures.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/marked_picture.h"
#include "sherdmark/report/review_report.h"
#include "sherdmark/scan/image.h"

namespace sherdmark {
namespace {

constexpr int k_jpeg_quality = 92;
constexpr std::size_t k_answers_limit_bytes = std::size_t{16} << 20U;
constexpr std::string_view k_stop = "stop";

struct Options : CommonOptions {
  std::string answers;
  std::string crops;
  std::string viewer;
};

struct Question {
  std::size_t reading = 0;
  std::string crop;  // name of the crop: verdict and label, "12-3"
};

struct SetToReview {
  StoredCheck stored;
  std::vector<Reading> readings;
  std::vector<Question> questions;
};

std::vector<SetToReview> sets_to_review(const Session& session, const Ledger& ledger) {
  std::vector<SetToReview> sets;
  for (StoredCheck& stored : checks_to_review(ledger)) {
    if (!stored.check.bag.empty() && is_withheld(ledger, stored.check.bag)) {
      session.warn(fmt::format("{}: no crops, because of a care flag.", printable(stored.check.set)));
      continue;
    }
    SetToReview set{std::move(stored), {}, {}};
    set.readings = readings_of(set.stored.check);
    for (const std::size_t index : readings_to_key(set.readings, ledger.standard()))
      set.questions.push_back({index, fmt::format("{}-{}", set.stored.id, index + 1)});
    if (!set.questions.empty()) sets.push_back(std::move(set));
  }
  return sets;
}

std::filesystem::path crop_file(const std::string& folder, const Question& question) {
  return std::filesystem::path{folder} / (question.crop + ".jpg");
}

// Whether the pictures that crops are cut from are still those that were checked. If not it is said, `code` is raised,
// and the set is left for when they are.
bool pictures_stand(const Session& session, const Ledger& ledger, const SetToReview& set, int& code) {
  std::set<std::string> images;
  for (const Question& question : set.questions) images.insert(set.readings[question.reading].image);
  try {
    for (const std::string& image : images) (void)read_kept_picture(session, set.stored.check, image, ledger.file());
    return true;
  } catch (const Error& error) {
    if (error.family() == ErrorFamily::internal) throw;
    session.warn("sherdmark: " + printable(error.what()));
    code = std::max(code, error.exit_code());
    return false;
  }
}

void write_crop(const Session& session, const Ledger& ledger, const SetToReview& set, const Question& question,
                const std::string& folder) {
  const Reading& reading = set.readings[question.reading];
  const Bytes bytes = read_kept_picture(session, set.stored.check, reading.image, ledger.file());
  const ColourPicture photograph = read_image_colour(bytes, reading.image, reading.page);
  const ColourPicture crop = is_of_carrier(reading) ? crop_carrier(photograph, reading, ledger.standard())
                                                    : crop_label(photograph, *reading.corners);
  session.write_file(crop_file(folder, question),
                     [&](const ByteSink& sink) { write_jpeg(crop, k_jpeg_quality, sink); });
}

// A picture viewer beside the terminal; it is not waited for. False when it cannot be started.
bool show(const std::string& viewer, const std::filesystem::path& file) {
  std::string program = viewer;
  std::string picture = file.string();
  char* words[] = {program.data(), picture.data(), nullptr};
  posix_spawn_file_actions_t actions{};
  posix_spawn_file_actions_init(&actions);
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO})
    posix_spawn_file_actions_addopen(&actions, stream, "/dev/null", O_RDWR, 0);
  pid_t child = 0;
  const int problem = posix_spawnp(&child, program.c_str(), &actions, nullptr, words, environ);
  posix_spawn_file_actions_destroy(&actions);
  return problem == 0;
}

// Crop name → what was keyed, from a table with the columns "crop" and "keyed".
std::map<std::string, std::string> read_answers(const Session& session, const std::string& file) {
  const Table table = read_table(session.seams().files.read(file, k_answers_limit_bytes), file);
  const auto column = [&table, &file](const std::string& name) {
    for (std::size_t i = 0; i < table.header.size(); ++i)
      if (to_lower_ascii(trim(table.header[i])) == name) return i;
    throw data_error(fmt::format("There is no column \"{}\".", name), {.file = file},
                     "Give a table with the columns crop and keyed, as review --crops writes it.");
  };
  const std::size_t crop = column("crop");
  const std::size_t keyed = column("keyed");
  std::map<std::string, std::string> answers;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const TableRow row = table.rows[i];
    if (row.size() <= std::max(crop, keyed)) continue;
    std::string name{trim(row[crop])};
    if (name.ends_with(".jpg")) name.resize(name.size() - 4);
    if (!answers.emplace(name, row[keyed]).second)
      throw data_error(fmt::format("The crop \"{}\" is answered twice.", printable(name)), {.file = file},
                       "Leave one answer for each crop.");
  }
  return answers;
}

class Reviewer {
 public:
  Reviewer(const Session& session, Ledger& ledger, const Options& options)
      : session_(session), ledger_(ledger), options_(options), actor_(ledger.actor(session.person(options))) {}

  // Answers from the table; a crop that is not in it stays unread, a set without any answer is left for later. An
  // answer that makes no sense keeps all of them out.
  void from_table(const std::vector<SetToReview>& sets) {
    const auto answers = read_answers(session_, options_.answers);
    std::vector<std::vector<KeyedAnswer>> keyed;  // set by set
    std::size_t used = 0;
    for (const SetToReview& set : sets) used += keyed.emplace_back(answers_to(set, answers)).size();
    for (std::size_t i = 0; i < sets.size(); ++i)
      if (!keyed[i].empty() && pictures_stand(session_, ledger_, sets[i], code_)) close(sets[i], keyed[i]);
    if (used < answers.size())
      session_.warn(fmt::format("{} answer(s) belong to no crop that waits for review.", answers.size() - used));
  }

  // One crop after another; "stop" ends the session, the set at hand is left for later.
  void at_the_terminal(const std::vector<SetToReview>& sets, const std::string& folder) {
    session_.say(
        "Key what stands on each label. Of a bag label or tag key the serial, eight characters behind \"print\" at its "
        "foot,\nand the bag's id.\n"
        "Nothing: you cannot read it either.  - : it is no label.  stop: go on another time.\n\n");
    for (const SetToReview& set : sets) {
      if (!pictures_stand(session_, ledger_, set, code_)) continue;
      std::vector<KeyedAnswer> keyed;
      for (const Question& question : set.questions) {
        write_crop(session_, ledger_, set, question, folder);
        const auto answer = ask(set, question, crop_file(folder, question));
        if (!answer) return;
        keyed.push_back({static_cast<std::int64_t>(question.reading), *answer});
      }
      close(set, keyed);
    }
  }

  [[nodiscard]] const std::vector<ReviewedSet>& reviewed() const { return reviewed_; }
  [[nodiscard]] int code() const { return code_; }  // of what was left out

 private:
  [[nodiscard]] Keyed understood(const SetToReview& set, const Question& question, const std::string& keyed) const {
    return understand_keyed(set.readings[question.reading], keyed, ledger_, ledger_.standard());
  }

  // Those of the table. Throws data_error for one that makes no sense.
  [[nodiscard]] std::vector<KeyedAnswer> answers_to(const SetToReview& set,
                                                    const std::map<std::string, std::string>& answers) const {
    std::vector<KeyedAnswer> keyed;
    for (const Question& question : set.questions) {
      const auto answer = answers.find(question.crop);
      if (answer == answers.end()) continue;
      if (const Keyed sense = understood(set, question, answer->second); sense.sense == KeyedSense::not_understood)
        throw data_error(
            fmt::format("The answer for crop {} makes no sense: \"{}\".", question.crop, printable(answer->second)),
            {.file = options_.answers}, sense.remedy);
      keyed.push_back({static_cast<std::int64_t>(question.reading), answer->second});
    }
    return keyed;
  }

  // std::nullopt: the person stops here.
  [[nodiscard]] std::optional<std::string> ask(const SetToReview& set, const Question& question,
                                               const std::filesystem::path& crop) {
    if (!options_.viewer.empty() && !show(options_.viewer, crop))
      session_.warn("sherdmark: the picture viewer \"" + printable(options_.viewer) + "\" could not be started.");
    for (;;) {
      session_.say(fmt::format("{}\n  reads: ", printable(crop.string())));
      session_.seams().out.flush();
      std::string line;
      if (!std::getline(session_.seams().in, line) || trim(line) == k_stop) return std::nullopt;
      const Keyed keyed = understood(set, question, line);
      if (keyed.sense != KeyedSense::not_understood) return std::string{trim(line)};
      session_.say("  " + keyed.remedy + "\n");
    }
  }

  // Judges anew with what was keyed, and keeps it.
  void close(const SetToReview& set, const std::vector<KeyedAnswer>& answers) {
    ReadingSet readings;
    readings.name = set.stored.check.set;
    readings.images = set.stored.check.images;
    if (!set.stored.check.place.empty()) readings.place_given = set.stored.check.place;
    readings.opened_and_counted = set.stored.check.counted.has_value();
    readings.counted_pieces = set.stored.check.counted;
    std::map<std::size_t, Keyed> keyed;
    std::size_t read = 0;
    for (const KeyedAnswer& answer : answers) {
      const auto index = static_cast<std::size_t>(answer.reading);
      keyed[index] = understood(set, {index, {}}, answer.keyed);
      read += keyed[index].sense == KeyedSense::understood ? 1 : 0;
    }
    readings.readings = readings_after_keying(set.readings, keyed);
    ReviewedSet one{set.stored.check.set, set.stored.check.verdict, judge(readings, ledger_, ledger_.standard()),
                    set.questions.size(), read};
    CheckRecord outcome = check_records(std::vector{one.outcome}).front();
    outcome.pictures = set.stored.check.pictures;
    record_review(ledger_, actor_, set.stored.id, answers, outcome);
    reviewed_.push_back(std::move(one));
  }

  const Session& session_;
  Ledger& ledger_;
  const Options& options_;
  Actor actor_;
  std::vector<ReviewedSet> reviewed_;
  int code_ = 0;
};

// Crops and an empty table of answers, for keying elsewhere and later.
int write_crops(const Session& session, const Ledger& ledger, const std::vector<SetToReview>& sets,
                const std::string& folder) {
  std::vector<std::vector<std::string>> rows;
  int code = 0;
  for (const SetToReview& set : sets) {
    if (!pictures_stand(session, ledger, set, code)) continue;
    for (const Question& question : set.questions) {
      write_crop(session, ledger, set, question, folder);
      rows.push_back({question.crop + ".jpg", ""});
    }
  }
  session.write_file(std::filesystem::path{folder} / "answers.csv", write_csv({"crop", "keyed"}, rows));
  session.say(
      fmt::format("{} crop{} written to {}. Key what each shows into answers.csv, then give it to review "
                  "--answers.\n",
                  rows.size(), rows.size() == 1 ? "" : "s", printable(folder)));
  return code;
}

int act(const Session& session, const Options& options) {
  if (!options.crops.empty() && options.answers.empty() && !session.environment().in_is_terminal) {
    const Ledger ledger = session.open_for_reading(options);
    return write_crops(session, ledger, sets_to_review(session, ledger), options.crops);
  }
  Ledger ledger = session.open_for_writing(options);
  const std::vector<SetToReview> sets = sets_to_review(session, ledger);
  Reviewer reviewer{session, ledger, options};
  if (!options.answers.empty()) {
    reviewer.from_table(sets);
  } else if (!sets.empty()) {
    reviewer.at_the_terminal(sets, options.crops.empty() ? "crops" : options.crops);
  }
  const auto& reviewed = reviewer.reviewed();
  const std::size_t waiting = sets.size() - reviewed.size();
  session.say(options.json ? review_json(reviewed) : review_text(reviewed, waiting));
  const bool all =
      std::ranges::all_of(reviewed, [](const ReviewedSet& one) { return one.outcome.verdict == Verdict::agree; });
  return std::max(reviewer.code(), all && waiting == 0 ? 0 : 1);
}

}  // namespace

Subcommand review_command(const Session& session) {
  return {"review",
          "Shows you, one by one, the labels that check --record could not read; you key what you see, blind; the sets "
          "are judged again.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.text("--answers", options->answers, "Keyed answers from a table with the columns crop and keyed",
                         "FILE");
            command.text("--crops", options->crops,
                         "Where the crops go (default: crops). Not at a terminal: only write them and an empty table",
                         "DIR");
            command.text("--viewer", options->viewer, "A picture viewer to open each crop in", "PROGRAM");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark review --viewer xdg-open --by \"R. Quill\"\n"
                "sherdmark review --crops crops < /dev/null\n"
                "sherdmark review --answers crops/answers.csv --by \"R. Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
