#include <algorithm>
#include <memory>

#include "commands.h"
#include "pictures.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/regular_file.h"
#include "sherdmark/report/read_report.h"
#include "sherdmark/scan/image.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::vector<std::string> images;
};

struct FileResult {
  std::vector<ReadResult> pages;
  int code = 0;
};

FileResult read_file(const Session& session, const std::string& file) {
  FileResult result;
  try {
    const Bytes bytes = read_regular(session.seams().files, file, k_image_file_limit_bytes);
    for (const ImagePage& page : read_image(bytes, file))
      result.pages.push_back(make_read_result(file, page.page, read_codes(page.grey.view())));
  } catch (const Error& error) {
    if (error.family() == ErrorFamily::internal) throw;
    result.pages.push_back({file, 1, {}, error.what()});
    result.code = error.exit_code();
  }
  return result;
}

int act(const Session& session, const Options& options) {
  const std::vector<PictureSet> sets = find_pictures(session, options.images, false);
  std::vector<FileResult> files(sets.size());
  {
    Progress progress{session, "images", sets.size()};
    for_each_index(sets.size(), session.environment().workers, [&](std::size_t i) {
      files[i] = read_file(session, sets[i].files.front());
      progress.step();
    });
  }
  std::vector<ReadResult> results;
  int code = 0;
  for (FileResult& file : files) {
    code = std::max(code, file.code);
    for (ReadResult& page : file.pages) results.push_back(std::move(page));
  }
  session.say(options.json ? read_json(results) : read_report_text(results));
  return code;
}

}  // namespace

Subcommand read_command(const Session& session) {
  return {"read", "Reads every code in images, ours or foreign. Needs no ledger.", [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.required_many("image", options->images,
                                  "Images (JPEG, PNG, TIFF, HEIC, WebP, PDF) or folders of them");
            add_json_option(command, *options);
            command.example("sherdmark read photo.jpg\nsherdmark read photos --json");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
