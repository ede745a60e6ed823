#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <set>

#include "commands.h"
#include "picture_sets.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/regular_file.h"
#include "sherdmark/base/text.h"
#include "sherdmark/count/inventory_readings.h"
#include "sherdmark/ledger/places.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/ledger/scan_log.h"
#include "sherdmark/report/check_report.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/marked_picture.h"
#include "sherdmark/scan/image.h"
#include "watch.h"

namespace sherdmark {
namespace {

constexpr int k_jpeg_quality = 88;
constexpr int k_longest_idle_s = 86'400;
constexpr int k_most_pieces = 1'000'000'000;

struct Options : CommonOptions {
  std::vector<std::string> images;
  bool folder_is_set = false;
  std::string marked;
  std::string place;
  int counted = -1;
  bool csv = false;
  std::string save;
  bool record = false;
  std::string inventory;
  std::string watch;
  int until_idle = 0;
};

// What a person said about the sets.
void complete(std::vector<ReadingSet>& sets, const Options& options) {
  for (ReadingSet& set : sets) {
    if (!options.place.empty()) set.place_given = place_as_kept(options.place);
    set.opened_and_counted = options.counted >= 0;
    if (set.opened_and_counted) set.counted_pieces = options.counted;
  }
  if (options.counted >= 0 && sets.size() > 1)
    throw usage_error("--counted is for one bag, but there are several sets.", "Check that bag alone.");
}

// Draws every picture of the sets into the folder asked for. What the care flags protect gets no picture.
class Marker {
 public:
  Marker(const Session& session, const Options& options, const Ledger& ledger)
      : session_(session), folder_(options.marked), ledger_(ledger) {}

  void mark(const std::vector<SetVerdict>& verdicts) {
    std::vector<Job> jobs;
    for (const SetVerdict& verdict : verdicts) {
      if (verdict.bag && is_withheld(ledger_, *verdict.bag)) {
        session_.warn(fmt::format("{}: no marked picture, because of a care flag.", printable(verdict.set)));
        continue;
      }
      for (const ImagePlace& image : pictures_of(verdict)) jobs.push_back({&verdict, image, name_for(image)});
    }
    Progress progress{session_, "marking", jobs.size()};
    for_each_index(jobs.size(), session_.environment().workers, [&](std::size_t i) {
      draw(jobs[i]);
      progress.step();
    });
  }

 private:
  struct ImagePlace {
    std::string image;
    int page = 1;
  };
  struct Job {
    const SetVerdict* verdict;
    ImagePlace image;
    std::filesystem::path file;
  };

  static std::vector<ImagePlace> pictures_of(const SetVerdict& verdict) {
    std::vector<ImagePlace> places;
    for (const std::string& image : verdict.images) {
      std::set<int> pages;
      for (const Reading& reading : verdict.readings)
        if (reading.image == image) pages.insert(reading.page);
      if (pages.empty()) pages.insert(1);
      for (const int page : pages) places.push_back({image, page});
    }
    return places;
  }

  // photo.jpg → photo-marked.jpg; images of one name from several folders are numbered.
  std::filesystem::path name_for(const ImagePlace& image) {
    const std::string stem = std::filesystem::path{image.image}.stem().string() +
                             (image.page > 1 ? fmt::format("-page-{}", image.page) : "") + "-marked";
    std::string name = stem;
    for (int copy = 2; !names_.insert(name).second; ++copy) name = fmt::format("{}-{}", stem, copy);
    return folder_ / (name + ".jpg");
  }

  void draw(const Job& job) const {
    const Bytes bytes = read_regular(session_.seams().files, job.image.image, k_image_file_limit_bytes);
    const ColourPicture marked = mark_picture(read_image_colour(bytes, job.image.image, job.image.page), *job.verdict,
                                              job.image.image, job.image.page);
    session_.write_file(job.file, [&](const ByteSink& sink) { write_jpeg(marked, k_jpeg_quality, sink); });
  }

  const Session& session_;
  std::filesystem::path folder_;
  const Ledger& ledger_;
  std::set<std::string> names_;
};

std::string written(const Options& options, const std::vector<SetVerdict>& verdicts,
                    const std::vector<UnreadPicture>& unread) {
  if (options.json) return check_json(verdicts, unread);
  return options.csv ? check_csv(verdicts) : check_text(verdicts);
}

struct InventoryTarget {
  std::string id;
  std::string place;  // as the ledger has it
};

// Settled before anything is written.
std::optional<InventoryTarget> inventory_target(const Options& options, const Ledger& ledger) {
  if (options.inventory.empty()) return std::nullopt;
  const InventoryRecord record = need_inventory(ledger, options.inventory == "open" ? "" : options.inventory);
  if (!record.open())
    throw usage_error(fmt::format("the inventory {} is closed.", group_identity(record.id)), "Name one that is open.");
  if (options.place.empty()) return InventoryTarget{record.id, {}};
  auto place = place_named(ledger, options.place);
  if (!place)
    throw usage_error(fmt::format("the ledger knows no place \"{}\".", printable(options.place)),
                      "Write it as the ledger has it, from the outside in: \"Room 2/Range A/Shelf 3\".");
  return InventoryTarget{record.id, *std::move(place)};
}

// What the pictures show is seen in the inventory, too.
TakenIn take_into_inventory(const Options& options, Ledger& ledger, const Actor& actor,
                            const InventoryTarget& inventory, const std::vector<SetVerdict>& verdicts,
                            const std::vector<std::string>& images) {
  std::optional<std::int64_t> counted;
  if (options.counted >= 0) counted = options.counted;
  std::vector<InventoryReading> readings;
  for (const SetVerdict& verdict : verdicts)
    for (InventoryReading& reading : inventory_readings(verdict, ledger, inventory.place, {}, counted))
      readings.push_back(std::move(reading));
  return take_in(ledger, actor, inventory.id, readings, join(images, ", "));
}

// The verdicts, the grades of their labels and what was seen for the inventory: all or nothing.
void keep(const Session& session, const Options& options, Ledger& ledger, const std::vector<SetVerdict>& verdicts,
          const PictureHashes& hashes, std::vector<SeenGrade> grades, const std::optional<InventoryTarget>& inventory,
          const std::vector<std::string>& images) {
  const Actor actor = ledger.actor(session.person(options));
  std::erase_if(grades, [&ledger](const SeenGrade& grade) { return !ledger.find_print(grade.serial); });
  std::optional<TakenIn> taken;
  write_as_one(ledger, [&] {
    ledger.record_checks(actor, records_with_pictures(verdicts, hashes, session.ledger_file(options)));
    record_grades(ledger, actor, grades);
    if (inventory) taken = take_into_inventory(options, ledger, actor, *inventory, verdicts, images);
  });
  if (taken)
    session.warn(fmt::format("{} reading{} taken into the inventory {}.", taken->readings,
                             taken->readings == 1 ? "" : "s", group_identity(inventory->id)));
}

int check_pictures(const Session& session, const Options& options, const std::vector<std::string>& images) {
  const bool record = options.record || !options.inventory.empty();
  EarlyPicture early{session, images, record};
  Ledger ledger = record ? session.open_for_writing(options) : session.open_for_reading(options);
  const std::optional<InventoryTarget> inventory = inventory_target(options, ledger);
  int code = 0;
  std::vector<SeenGrade> grades;
  PictureHashes hashes;
  std::vector<UnreadPicture> unread;
  std::vector<ReadingSet> sets =
      read_picture_sets(session, ledger.standard(), images, options.folder_is_set, code, record ? &hashes : nullptr,
                        record ? &grades : nullptr, &early, &unread);
  complete(sets, options);
  std::vector<SetVerdict> verdicts;
  for (const ReadingSet& set : sets) verdicts.push_back(judge(set, ledger, ledger.standard()));
  if (!options.marked.empty()) Marker{session, options, ledger}.mark(verdicts);
  if (record && !verdicts.empty())
    keep(session, options, ledger, verdicts, hashes, std::move(grades), inventory, images);
  if (!options.save.empty()) session.write_file(options.save, check_json(verdicts, unread));
  session.say(written(options, verdicts, unread));
  return std::max(code, all_agree(verdicts) ? 0 : 1);
}

int act(const Session& session, const Options& options) {
  if (options.json && options.csv) throw usage_error("--json and --csv were both asked for.", "Choose one.");
  if (options.watch.empty() == options.images.empty())
    throw usage_error("name either pictures or, with --watch, a folder.", "Say for instance: sherdmark check photos");
  if (options.watch.empty()) return check_pictures(session, options, options.images);
  if (options.counted >= 0) throw usage_error("--counted is for one bag, not for a watch.", "Check that bag alone.");
  return watch_folder(session, options.watch, options.until_idle,
                      [&](const std::vector<std::string>& files) { return check_pictures(session, options, files); });
}

}  // namespace

Subcommand check_command(const Session& session) {
  return {
      "check",
      "Judges from photographs whether bag, tag and artifacts belong together: \"agree\", or exactly what does not.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.many(
            "image", options->images,
            "Images (JPEG, PNG, TIFF, HEIC, WebP, PDF) or folders of them; each image is a set, or all between "
            "two divider cards");
        command.text("--watch", options->watch, "Check each picture that comes into this folder; Ctrl-C ends", "DIR");
        command.number("--until-idle", options->until_idle, 1, k_longest_idle_s,
                       "End the watch when nothing new has come for so many seconds", "SECONDS");
        command.flag("--set", options->folder_is_set, "All images named, or all of a folder, are one set");
        command.text("--marked", options->marked, "Write each picture here with what was read drawn on it", "DIR");
        command.text("--place", options->place, "Where the bags were seen, as the ledger writes places", "PLACE");
        command.number("--counted", options->counted, 0, k_most_pieces,
                       "You opened this one bag and counted so many pieces", "N");
        command.flag("--record", options->record,
                     "Keep the verdicts, and how well the labels are printed, in the ledger");
        command.text("--inventory", options->inventory,
                     "Also take what was seen into this inventory (\"open\": the one that is open); keeps the verdicts",
                     "ID");
        command.text("--save", options->save, "Also write the verdicts here, as JSON", "FILE");
        command.flag("--csv", options->csv, "Write CSV instead of text, one line a set");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example("sherdmark check photos --marked marked\nsherdmark check front.jpg back.jpg --set --json");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
