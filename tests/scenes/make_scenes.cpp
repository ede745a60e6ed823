// Takes rendered bench photographs of exactly the sheets that were printed, with planted faults, and later says which
// of the faults were found. Used by tools/demo and the end-to-end tests.
//
//   make_scenes take --ledger FILE --sheets DIR --out DIR [--faultless N] [--seed N] [--px-per-mm N]
//   make_scenes compare --truth scenes.tsv --verdicts check.json
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <fstream>
#include <iostream>
#include <map>
#include <mutex>
#include <nlohmann/json.hpp>

#include "scenes/bench_scene.h"
#include "scenes/scene_sets.h"
#include "scenes/trial.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/report/marked_picture.h"
#include "sherdmark/scan/image.h"

namespace {

using namespace sherdmark;
using namespace sherdmark::scenes;
namespace fs = std::filesystem;

// The drawn pages next to the placements files, decoded once each.
class Pages {
 public:
  explicit Pages(FileSystem& files) : files_(files) {}

  // The label as it leaves the trimmer.
  Paper cut(const SheetLabel& wanted) {
    const Page& page = find(wanted.placements_file, wanted.label.page);
    const auto px = [&](double mm) { return static_cast<int>(mm_to_dots(mm, page.dpi) + 0.5); };
    const GreyView part = page.grey.view().crop(px(wanted.label.x_mm), px(wanted.label.y_mm), px(wanted.label.w_mm),
                                                px(wanted.label.h_mm));
    GreyPicture copy{part.width_px, part.height_px};
    for (int y = 0; y < part.height_px; ++y) std::copy_n(part.row(y), part.width_px, copy.row(y));
    return Paper{std::move(copy), mm_to_dots(1, page.dpi)};
  }

 private:
  struct Page {
    GreyPicture grey;
    double dpi = 0;
  };

  const Page& find(const fs::path& placements_file, int number) {
    const fs::path file =
        placements_file.parent_path() / fmt::format("{}-page-{}.png", placements_file.stem().string(), number);
    const auto known = pages_.find(file);
    if (known != pages_.end()) return known->second;
    constexpr std::size_t k_limit_bytes = std::size_t{200} << 20U;
    Page page{std::move(read_image(files_.read(file, k_limit_bytes), file.string()).front().grey), 0};
    const Placements sheet = read_placements_json(read_text(files_, placements_file), placements_file.string());
    page.dpi = page.grey.width_px() * k_mm_per_inch / sheet.page_width_mm;
    return pages_.emplace(file, std::move(page)).first->second;
  }

  FileSystem& files_;
  std::map<fs::path, Page> pages_;
};

std::vector<Paper> cut_all(Pages& pages, const std::vector<SheetLabel>& labels) {
  std::vector<Paper> papers;
  for (const SheetLabel& label : labels) papers.push_back(pages.cut(label));
  return papers;
}

std::vector<const Paper*> pointers(const std::vector<Paper>& papers) {
  std::vector<const Paper*> all;
  for (const Paper& paper : papers) all.push_back(&paper);
  return all;
}

struct Cut {
  std::vector<Paper> bags;
  std::vector<Paper> tags;
  std::vector<Paper> artifacts;
};

Cut cut_set(Pages& pages, const PlantedSet& set, const HouseStandard& standard) {
  Cut cut{cut_all(pages, set.bag_labels), cut_all(pages, set.tags), cut_all(pages, set.artifacts)};
  const Typeface face = Typeface::find(standard.artifact.font);
  for (const std::string& number : set.invented)
    cut.artifacts.push_back(
        draw_label(lines_of(standard, standard.parse_number(number)->number), standard.artifact, face, {}));
  return cut;
}

struct TakeOptions {
  std::string ledger;
  std::vector<std::string> sheets;
  std::string out;
  std::size_t faultless = 6;
  std::uint64_t seed = 1;
  double px_per_mm = Camera{}.px_per_mm;  // 16.3 gives 12 megapixels
};

int take(const TakeOptions& options) {
  FileSystem& files = real_file_system();
  const Ledger ledger = Ledger::open_read_only(options.ledger);
  const SheetLabels labels{files, {options.sheets.begin(), options.sheets.end()}};
  const std::vector<PlantedSet> sets = plant_sets(ledger, labels, options.faultless);
  Pages pages{files};
  Camera camera;
  camera.px_per_mm = options.px_per_mm;
  std::vector<Cut> cuts;
  for (const PlantedSet& set : sets) cuts.push_back(cut_set(pages, set, ledger.standard()));
  for_each_index(sets.size(), 0, [&](std::size_t i) {
    SeededRandom random{options.seed * 1000 + i};
    const ColourPicture picture =
        photograph({pointers(cuts[i].bags), pointers(cuts[i].tags), pointers(cuts[i].artifacts)}, camera, random);
    files.write_atomic(fs::path{options.out} / sets[i].image,
                       [&](const ByteSink& sink) { write_jpeg(picture, 90, sink); });
  });
  std::string truth = "image\tbag\tnumber\tplanted\texpected\n";
  for (const PlantedSet& set : sets)
    truth += fmt::format("{}\t{}\t{}\t{}\t{}\n", set.image, set.bag, set.number, to_text(set.fault),
                         expected_verdict(set.fault));
  write_text_atomic(files, fs::path{options.out} / "scenes.tsv", truth);
  std::cout << fmt::format("{} pictures of the bench, {} with a planted fault\n", sets.size(),
                           sets.size() - options.faultless);
  return 0;
}

struct CompareOptions {
  std::string truth;
  std::string verdicts;
};

int compare(const CompareOptions& options) {
  FileSystem& files = real_file_system();
  const auto document = nlohmann::json::parse(read_text(files, options.verdicts));
  std::map<std::string, std::pair<std::string, std::string>> said;  // picture → verdict, reason codes
  for (const auto& set : document.at("sets")) {
    std::string reasons;
    for (const auto& reason : set.at("reasons"))
      reasons += (reasons.empty() ? "" : " ") + reason.at("code").get<std::string>();
    for (const auto& image : set.at("images"))
      said[fs::path{image.get<std::string>()}.filename().string()] = {set.at("verdict").get<std::string>(), reasons};
  }
  std::size_t planted = 0, found = 0, faultless = 0, agreed = 0, wrongly_agreed = 0;
  std::cout << fmt::format("{:<14}{:<26}{:<12}{}\n", "picture", "planted", "verdict", "reasons");
  const std::vector<std::string> lines = split(read_text(files, options.truth), '\n');
  for (std::size_t i = 1; i < lines.size(); ++i) {
    const std::vector<std::string> row = split(lines[i], '\t');
    if (row.size() < 5) continue;
    const auto& [verdict, reasons] = said[row[0]];
    const bool as_expected = verdict == row[4];
    if (row[3] == "none") {
      ++faultless;
      agreed += as_expected ? 1 : 0;
    } else {
      ++planted;
      found += as_expected ? 1 : 0;
      wrongly_agreed += verdict == "agree" ? 1 : 0;
    }
    std::cout << fmt::format("{:<14}{:<26}{:<12}{}{}\n", row[0], row[3], verdict.empty() ? "(none)" : verdict, reasons,
                             as_expected ? "" : fmt::format("   <-- expected {}", row[4]));
  }
  std::cout << fmt::format(
      "\nPlanted faults found: {} of {}. Faultless sets that agree: {} of {}. Wrong \"agree\": {}.\n", found, planted,
      agreed, faultless, wrongly_agreed);
  return found == planted && agreed == faultless && planted > 0 ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app{"Rendered bench photographs with planted faults"};
  app.require_subcommand(1);
  TakeOptions take_options;
  CLI::App* take_command = app.add_subcommand("take", "Render the photographs and their list, scenes.tsv");
  take_command->add_option("--ledger", take_options.ledger)->required();
  take_command->add_option("--sheets", take_options.sheets)->required();
  take_command->add_option("--out", take_options.out)->required();
  take_command->add_option("--faultless", take_options.faultless);
  take_command->add_option("--seed", take_options.seed);
  take_command->add_option("--px-per-mm", take_options.px_per_mm)->check(CLI::Range(4.0, 40.0));
  CompareOptions compare_options;
  CLI::App* compare_command = app.add_subcommand("compare", "Say which planted faults were found");
  compare_command->add_option("--truth", compare_options.truth)->required();
  compare_command->add_option("--verdicts", compare_options.verdicts)->required();
  CLI11_PARSE(app, argc, argv);
  try {
    return take_command->parsed() ? take(take_options) : compare(compare_options);
  } catch (const Error& error) {
    std::cerr << error.what() << '\n';
    return error.exit_code();
  } catch (const std::exception& error) {
    std::cerr << "unexpected: " << error.what() << '\n';
    return 70;
  }
}
