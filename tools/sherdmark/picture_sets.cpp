#include "picture_sets.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <iterator>

#include "interrupt.h"
#include "pictures.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/regular_file.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/check_report.h"
#include "sherdmark/verify/picture_groups.h"
#include "sherdmark/verify/read_labels.h"
#include "sherdmark/verify/readings.h"

namespace sherdmark {
namespace {

struct FileReadings {
  std::vector<ImageReadings> pages;
  std::string problem;  // empty: read
  int code = 0;
  bool left_out = false;  // the person wished to end before it
  std::string sha256{};   // when asked for

  [[nodiscard]] bool read() const { return problem.empty() && !left_out; }
};

// Beside the readings.
struct Wanted {
  bool hashes = false;
  bool grades = false;
};

DecodedPicture decode_file(const Session& session, const std::string& file, bool with_hash) {
  const Bytes bytes = read_regular(session.seams().files, file, k_image_file_limit_bytes);
  return {read_image(bytes, file), with_hash ? sha256_hex(bytes) : std::string{}};
}

FileReadings read_file(const Session& session, const std::string& file, const AskReader& reader,
                       const HouseStandard& standard, const Wanted& wanted, unsigned threads, EarlyPicture* early) {
  try {
    std::optional<DecodedPicture> picture;
    if (early != nullptr) picture = early->take(file);
    if (!picture) picture = decode_file(session, file, wanted.hashes);
    FileReadings readings;
    readings.pages = read_labels(picture->pages, file, reader, standard, wanted.grades, threads);
    readings.sha256 = std::move(picture->sha256);
    return readings;
  } catch (const Error& error) {
    if (error.family() == ErrorFamily::internal) throw;
    return {{}, error.what(), error.exit_code()};
  }
}

std::vector<FileReadings> read_files(const Session& session, const std::vector<std::string>& files,
                                     const HouseStandard& standard, const Wanted& wanted, EarlyPicture* early) {
  std::vector<FileReadings> readings(files.size());
  Progress progress{session, "reading", files.size()};
  const unsigned workers = session.environment().workers == 0 ? worker_count() : session.environment().workers;
  // One picture in hand: all work on it. Many: each works on its own.
  const unsigned threads = files.size() == 1 ? workers : 1;
  // The reader's models are made while the one picture is decoded; for many they are there before the first.
  const Beside<LabelTextReader> reader{[&standard] { return LabelTextReader{standard}; }, threads > 1};
  if (threads == 1) (void)reader.get();
  const AskReader ask_reader = [&reader]() -> const LabelTextReader& { return reader.get(); };
  const EndOnInterrupt end_on_interrupt;
  for_each_index(files.size(), workers, [&](std::size_t i) {
    if (EndOnInterrupt::asked()) {
      readings[i].left_out = true;
      return;
    }
    readings[i] = read_file(session, files[i], ask_reader, standard, wanted, threads, early);
    progress.step();
  });
  (void)reader.get();  // a font that is missing is no fault of the picture's
  return readings;
}

void say_problems(const Session& session, const std::vector<FileReadings>& readings, int& code) {
  for (const FileReadings& file : readings) {
    code = std::max(code, file.code);
    if (!file.problem.empty()) session.warn("sherdmark: " + printable(file.problem));
  }
  const auto left_out = std::count_if(readings.begin(), readings.end(), [](const auto& file) { return file.left_out; });
  if (left_out == 0) return;
  code = std::max(code, static_cast<int>(ErrorFamily::environment));
  session.warn(fmt::format("sherdmark: interrupted. {} of {} pictures were read; what needs the others has no verdict.",
                           readings.size() - static_cast<std::size_t>(left_out), readings.size()));
}

void say_not_whole(const Session& session, const std::string& set) {
  session.warn("sherdmark: no verdict on the set " + printable(set) + ", because a picture of it could not be read.");
}

// All pictures of each named set together. A set with an image that could not be read gets no verdict, nor one that a
// divider card says is two.
std::vector<ReadingSet> sets_as_named(const Session& session, const std::vector<PictureSet>& pictures,
                                      std::vector<FileReadings> readings, int& code) {
  std::vector<ReadingSet> sets;
  auto next = readings.begin();
  for (const PictureSet& set : pictures) {
    std::vector<ImageReadings> pages;
    bool whole = true;
    for (std::size_t i = 0; i < set.files.size(); ++i, ++next) {
      whole = whole && next->read();
      std::move(next->pages.begin(), next->pages.end(), std::back_inserter(pages));
    }
    if (const auto divided = divided_at(pages)) {
      code = std::max(code, static_cast<int>(ErrorFamily::data));
      session.warn(
          fmt::format("sherdmark: no verdict on the set {}: in {} a divider card begins another set. Leave out "
                      "--set, or take the card's picture out.",
                      printable(set.name), printable(*divided)));
      continue;
    }
    if (whole) {
      sets.push_back(build_set(set.name, pages));
    } else {
      say_not_whole(session, set.name);
    }
  }
  return sets;
}

// Each picture by itself, or what lies between two divider cards.
std::vector<ReadingSet> sets_of_the_stream(const Session& session, const std::vector<std::string>& files,
                                           std::vector<FileReadings> readings) {
  std::vector<PictureFile> stream;
  for (std::size_t i = 0; i < files.size(); ++i)
    stream.push_back({files[i], std::move(readings[i].pages), readings[i].read()});
  std::vector<ReadingSet> sets;
  for (const PictureGroup& group : group_pictures(std::move(stream))) {
    if (group.whole) {
      sets.push_back(build_set(group.name, group.pages));
    } else {
      say_not_whole(session, group.name);
    }
  }
  return sets;
}

void list_unread(const std::vector<std::string>& files, const std::vector<FileReadings>& readings,
                 std::vector<UnreadPicture>& unread) {
  for (std::size_t i = 0; i < files.size(); ++i)
    if (!readings[i].read())
      unread.push_back({files[i], readings[i].left_out ? "interrupted before it was read" : readings[i].problem});
}

constexpr std::string_view k_grading_method = "ISO/IEC 15415 estimate from a picture";

void keep_grades(const std::vector<FileReadings>& readings, std::vector<SeenGrade>& grades) {
  std::vector<ImageReadings> pages;
  for (const FileReadings& file : readings) pages.insert(pages.end(), file.pages.begin(), file.pages.end());
  for (const auto& [serial, grade] : grades_of_labels(pages))
    grades.push_back({serial, static_cast<double>(grade), std::string{k_grading_method}});
}

}  // namespace

EarlyPicture::EarlyPicture(const Session& session, const std::vector<std::string>& images, bool with_hash) {
  const unsigned workers = session.environment().workers == 0 ? worker_count() : session.environment().workers;
  std::error_code ignored;
  if (workers < 2 || images.size() != 1 || !std::filesystem::is_regular_file(images.front(), ignored)) return;
  file_ = images.front();
  picture_.emplace([this, &session, with_hash] { return decode_file(session, file_, with_hash); });
}

std::optional<DecodedPicture> EarlyPicture::take(const std::string& file) {
  if (!picture_ || file != file_) return std::nullopt;
  return std::make_optional(std::move(picture_->get()));
}

std::vector<ReadingSet> read_picture_sets(const Session& session, const HouseStandard& standard,
                                          const std::vector<std::string>& images, bool folder_is_set, int& code,
                                          PictureHashes* hashes, std::vector<SeenGrade>* grades, EarlyPicture* early,
                                          std::vector<UnreadPicture>* unread) {
  const std::vector<PictureSet> pictures = find_pictures(session, images, folder_is_set);
  std::vector<std::string> files;
  for (const PictureSet& set : pictures) files.insert(files.end(), set.files.begin(), set.files.end());
  std::vector<FileReadings> readings =
      read_files(session, files, standard, {hashes != nullptr, grades != nullptr}, early);
  say_problems(session, readings, code);
  if (hashes != nullptr)
    for (std::size_t i = 0; i < files.size(); ++i) hashes->emplace(files[i], readings[i].sha256);
  if (grades != nullptr) keep_grades(readings, *grades);
  if (unread != nullptr) list_unread(files, readings, *unread);
  return folder_is_set ? sets_as_named(session, pictures, std::move(readings), code)
                       : sets_of_the_stream(session, files, std::move(readings));
}

}  // namespace sherdmark
