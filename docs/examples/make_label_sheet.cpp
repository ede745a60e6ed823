// Artifact labels for the numbers named, as a PDF at true size and a JSON file of where each label lies.
//   make_label_sheet STANDARD.toml SHEET NUMBER…      writes SHEET.pdf and SHEET.json
#include <sherdmark/base/error.h>
#include <sherdmark/base/files.h>
#include <sherdmark/sheet/placement.h>
#include <sherdmark/sheet/sheets.h>
#include <sherdmark/standard/house_standard.h>
#include <iostream>

int main(int argc, char** argv) {
  if (argc < 4) {
    std::cerr << "make_label_sheet STANDARD.toml SHEET NUMBER…\n";
    return 2;
  }
  try {
    sherdmark::FileSystem& files = sherdmark::real_file_system();
    const sherdmark::HouseStandard standard =
        sherdmark::parse_house_standard(sherdmark::read_text(files, argv[1]), argv[1]);

    std::vector<sherdmark::ArtifactLabelRequest> labels;
    for (int i = 3; i < argc; ++i) {
      const auto parsed = standard.parse_number(argv[i]);
      if (!parsed) {
        std::cerr << argv[i] << " is not a number of this house standard\n";
        return 3;
      }
      labels.push_back({.number = parsed->number, .lot = "", .revision = 1, .copies = 1});
    }

    // Layout says where each label lies; drawing adds nothing and moves nothing.
    const sherdmark::Placements sheet = sherdmark::lay_out_artifact_labels(labels, standard, "RUN1");
    const sherdmark::SheetHeader header{.run = "RUN1",
                                        .title = "Artifact labels",
                                        .repository = standard.repository,
                                        .date = "2031-05-20",
                                        .instructions = {"Print at 100 %."},
                                        .cautions = standard.cautions};
    const std::string name = argv[2];
    files.write_atomic(name + ".pdf", [&](const sherdmark::ByteSink& sink) {
      sherdmark::draw_pdf(sheet, {}, header, standard, sink);
    });
    sherdmark::write_text_atomic(files, name + ".json", sherdmark::write_placements_json(sheet));
    std::cout << sheet.labels.size() << " labels on " << sheet.pages << (sheet.pages == 1 ? " page\n" : " pages\n");
    return 0;
  } catch (const sherdmark::Error& error) {
    std::cerr << error.what() << '\n';
    return error.exit_code();
  }
}
