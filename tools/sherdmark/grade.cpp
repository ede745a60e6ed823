#include <algorithm>
#include <memory>

#include "commands.h"
#include "pictures.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/regular_file.h"
#include "sherdmark/report/grade_report.h"
#include "sherdmark/scan/image.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::vector<std::string> images;
  std::string least = "C";
  int scan_dpi = 0;
  std::vector<std::string> placements;
};

struct FileResult {
  std::vector<GradeResult> pages;
  int code = 0;
};

FileResult grade_file(const Session& session, const std::string& file) {
  FileResult result;
  try {
    const Bytes bytes = read_regular(session.seams().files, file, k_image_file_limit_bytes);
    for (const ImagePage& page : read_image(bytes, file)) {
      const GreyView view = page.grey.view();
      result.pages.push_back({file, page.page, grade_codes(view, read_codes(view)), {}});
    }
  } catch (const Error& error) {
    if (error.family() == ErrorFamily::internal) throw;
    result.pages.push_back({file, 1, {}, error.what()});
    result.code = error.exit_code();
  }
  return result;
}

// Sizes of what stands on the sheets that were named.
void measure(const Session& session, const Options& options, std::vector<GradeResult>& results) {
  if (options.placements.empty()) return;
  if (options.scan_dpi == 0)
    throw usage_error("--placements needs the scan's resolution.",
                      "say it, as --dpi 600; a photograph has none: leave --placements out");
  std::vector<Placements> sheets;
  for (const std::string& file : options.placements)
    sheets.push_back(read_placements_json(read_text(session.seams().files, file), file));
  for (GradeResult& result : results)
    for (const PrintGrade& grade : result.grades) result.sizes.push_back(printed_size(grade, options.scan_dpi, sheets));
}

int least_grade(const std::string& letter) { return 4 - static_cast<int>(std::string_view{"ABCDF"}.find(letter)); }

int act(const Session& session, const Options& options) {
  const std::vector<PictureSet> sets = find_pictures(session, options.images, false);
  std::vector<FileResult> files(sets.size());
  {
    Progress progress{session, "grading", sets.size()};
    for_each_index(sets.size(), session.environment().workers, [&](std::size_t i) {
      files[i] = grade_file(session, sets[i].files.front());
      progress.step();
    });
  }
  std::vector<GradeResult> results;
  int code = 0;
  for (FileResult& file : files) {
    code = std::max(code, file.code);
    for (GradeResult& page : file.pages) results.push_back(std::move(page));
  }
  measure(session, options, results);
  session.say(options.json ? grade_json(results) : grade_text(results));
  const auto lowest = lowest_grade(results);
  const bool good = lowest && *lowest >= least_grade(options.least);
  return std::max(code, good ? 0 : 1);
}

}  // namespace

Subcommand grade_command(const Session& session) {
  return {"grade",
          "Estimates the print quality of every QR, Micro QR and Data Matrix symbol in images, and says what holds it "
          "down. Needs no ledger.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.required_many("image", options->images, "Images (JPEG, PNG, TIFF, HEIC, WebP, PDF) or folders");
            command.one_of("--least", options->least, {"A", "B", "C", "D", "F"},
                           "Exit with 1 when a symbol is below this grade (default: C)");
            command.number("--dpi", options->scan_dpi, 100, 4800,
                           "Resolution of the flatbed scan; with --placements the size of the print is measured", "N");
            command.many("--placements", options->placements,
                         "The JSON file that labels wrote beside the sheets: how large each code was drawn", "FILE");
            add_json_option(command, *options);
            command.example("sherdmark grade scan-600dpi.png\nsherdmark grade scans --least B --json");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
