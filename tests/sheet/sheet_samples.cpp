#include "sheet/sheet_samples.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "sherdmark/base/files.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/code/link_code.h"
#include "support/test_support.h"

namespace sherdmark::testing {
namespace {

bool is_inch(const HouseStandard& standard) { return standard.default_scheme == "site numbers"; }

std::string lot_of(const HouseStandard& standard, const Number& number) {
  const auto lot = standard.scheme(number.scheme()).up_to(number, NumberLevel::lot);
  return lot ? lot->text() : number.text();
}

}  // namespace

HouseStandard sample_standard(const std::string& name) {
  const auto file = sample("standards/" + name + ".toml");
  return parse_house_standard(read_text(real_file_system(), file), name + ".toml");
}

const std::vector<std::string>& sample_standard_names() {
  static const std::vector<std::string> k_names{"quillow_ferry", "ostervane"};
  return k_names;
}

ArtifactLabelRequest artifact_request(const HouseStandard& standard, const std::string& number, int copies) {
  const auto parsed = standard.parse_number(number);
  if (!parsed) throw std::runtime_error("not a number of the sample standard: " + number);
  return {parsed->number, lot_of(standard, parsed->number), 1, copies};
}

std::vector<ArtifactLabelRequest> sample_artifacts(const HouseStandard& standard) {
  std::vector<ArtifactLabelRequest> labels;
  const bool inch = is_inch(standard);
  for (int lot = 1; lot <= 9; ++lot)
    for (int item = 1; item <= 6; ++item) {
      const int copies = item == 3 ? 9 : 1 + lot % 2;
      const std::string number = inch ? fmt::format("16ZQ{}/{}.{}", lot < 6 ? 5 : 1066, lot * 11, item * 33)
                                      : fmt::format("2031-{}-{}", 110 + lot, item * 33);
      labels.push_back(artifact_request(standard, number, copies));
      if (item == 5)
        for (int piece = 1; piece <= 3; ++piece)
          labels.push_back(artifact_request(
              standard, inch ? fmt::format("{}-{}", number, piece) : fmt::format("{}{}", number, "abc"[piece - 1])));
    }
  labels.push_back(artifact_request(standard, inch ? "16ZQ1066/999.9999-9999" : "2031-999-99999zz", 2));
  return labels;
}

std::vector<ArtifactLabelRequest> sample_collection(const HouseStandard& standard, const std::string& name) {
  const auto file = sample(name + "/catalog.csv");
  const CatalogReading reading =
      read_catalog(read_table(real_file_system().read(file, k_text_file_limit_bytes), "catalog.csv"), standard);
  if (!reading.good() || reading.rows.empty()) throw std::runtime_error("the sample catalog is not clean: " + name);
  std::vector<ArtifactLabelRequest> labels;
  for (const CatalogRow& row : reading.rows) {
    const RuleOutcome outcome = decide_label(standard, {row.kind, row.material.str(), row.object.str(),
                                                        row.surface.str(), row.largest_mm, row.flags, row.count});
    const std::string number = row.number.text();
    if (outcome.labels == 1 || (outcome.labels > 0 && outcome.numbering == Numbering::shared)) {
      labels.push_back(artifact_request(standard, number, static_cast<int>(outcome.labels)));
      labels.back().largest_mm = row.largest_mm;
      continue;
    }
    for (int piece = 1; piece <= outcome.labels; ++piece) {
      labels.push_back(artifact_request(standard, is_inch(standard)
                                                      ? fmt::format("{}-{}", number, piece)
                                                      : number + "abcdefghjkmnpqrstuvwxyz"[(piece - 1) % 23]));
      labels.back().largest_mm = row.largest_mm;
    }
  }
  return labels;
}

CarrierLabelRequest carrier_request(const HouseStandard& standard, LabelRole role, const std::string& number,
                                    int ordinal) {
  CarrierLabelRequest request;
  request.role = role;
  request.bag = fmt::format("7KM{:05}", ordinal);
  request.number = number;
  request.serial = fmt::format("7KM{}{:04}", role == LabelRole::tag ? 'T' : 'P', ordinal);
  request.revision = 1 + ordinal % 3;
  request.code_text = write_link_code({.collection_key = "K7QD",
                                       .role = role,
                                       .subject = request.bag,
                                       .number = number,
                                       .number_is_opaque = false,
                                       .ordinal = 1,
                                       .serial = request.serial,
                                       .revision = request.revision});
  const std::vector<CarrierField> all{
      {"bag", fmt::format("7KM {:05}, bag {} of 2", ordinal, 1 + ordinal % 2)},
      {"site", "Cutler's Landing"},
      {"accession", "2031.4"},
      {"unit", "N512 E498"},
      {"stratum", "II"},
      {"level", "3"},
      {"feature", "17, refuse pit"},
      {"depth", "30–40 cm"},
      {"date", "2031-05-14"},
      {"excavators", "M. Thibodeaux, J. Núñez-Ólafsdóttir"},
      {"object", ordinal % 3 == 0 ? "bowl rim sherds with an incised band below the lip, mended in three places"
                                  : "bowl rim sherd"},
      {"material", "earthenware"},
      {"count", "12 of 347"},
      {"weight", "1240.5 g"},
      {"field_number", "FS 204"},
      {"remarks", "found beneath the second hearth; see the field notes of the day"},
      {"repository", standard.repository}};
  for (const std::string& name : (role == LabelRole::tag ? standard.tag : standard.bag).fields)
    for (const CarrierField& field : all)
      if (field.name == name) request.fields.push_back(field);
  return request;
}

std::vector<CarrierLabelRequest> sample_carriers(const HouseStandard& standard, LabelRole role, int count) {
  std::vector<CarrierLabelRequest> labels;
  for (int i = 1; i <= count; ++i) {
    const std::string number = is_inch(standard)
                                   ? fmt::format("16ZQ{}/{}.{}", i % 4 == 0 ? 1066 : 5, i * 7 % 900 + 1, i)
                                   : fmt::format("2031-{}-{}", 100 + i % 90, i);
    labels.push_back(carrier_request(standard, role, number, i));
  }
  return labels;
}

SheetHeader sample_header(const HouseStandard& standard, LabelRole role) {
  const bool artifact = role == LabelRole::artifact;
  return {.run = "R7KM00003",
          .title = artifact                 ? "Artifact labels"
                   : role == LabelRole::bag ? "Bag labels"
                                            : "Interior tags",
          .repository = standard.repository,
          .date = "2031-05-20",
          .instructions = {"Print at 100 %, never \"fit to page\"; the bar below must measure what it says.",
                           artifact ? "Laser printer only. Cut along the shared lines. Keep each label with its bag "
                                      "until it is glued."
                                    : "Cut along the shared lines. One label outside on each bag, text and code flat."},
          .cautions = artifact ? standard.cautions : std::vector<std::string>{}};
}

std::string pdf_bytes(const MadeSheets& sheets, const HouseStandard& standard) {
  std::string bytes;
  draw_pdf(sheets.placements, sheets.carriers, sheets.header, standard, [&bytes](std::span<const std::byte> part) {
    bytes.append(reinterpret_cast<const char*>(part.data()), part.size());
  });
  return bytes;
}

MadeSheets make_artifact_sheets(const HouseStandard& standard, const std::vector<ArtifactLabelRequest>& labels,
                                const std::filesystem::path& pdf) {
  MadeSheets sheets{
      lay_out_artifact_labels(labels, standard, "R7KM00003"), {}, sample_header(standard, LabelRole::artifact), pdf};
  write_text_atomic(real_file_system(), pdf, pdf_bytes(sheets, standard));
  return sheets;
}

MadeSheets make_carrier_sheets(const HouseStandard& standard, const std::vector<CarrierLabelRequest>& labels,
                               const std::filesystem::path& pdf) {
  MadeSheets sheets{lay_out_carrier_labels(labels, standard, "R7KM00003"), labels,
                    sample_header(standard, labels.front().role), pdf};
  write_text_atomic(real_file_system(), pdf, pdf_bytes(sheets, standard));
  return sheets;
}

std::vector<std::filesystem::path> rasterise(const std::filesystem::path& pdf, int dpi) {
  const std::filesystem::path root = pdf.parent_path() / fmt::format("{}-{}dpi", pdf.stem().string(), dpi);
  const RunResult made = run({"pdftoppm", "-r", std::to_string(dpi), "-gray", pdf.string(), root.string()});
  if (made.exit_code != 0) throw std::runtime_error("pdftoppm: " + made.err);
  std::vector<std::filesystem::path> pages;
  for (const auto& entry : std::filesystem::directory_iterator(pdf.parent_path()))
    if (entry.path().string().starts_with(root.string() + "-") && entry.path().extension() == ".pgm")
      pages.push_back(entry.path());
  std::sort(pages.begin(), pages.end());
  return pages;
}

}  // namespace sherdmark::testing
