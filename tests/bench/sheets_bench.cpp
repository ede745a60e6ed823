// 10,000 artifact labels to a cut-ready PDF: seconds of processor time and the most memory that was in use. The labels
// come one number after the other, as from a ledger: what grows with their count is what the sheets themselves keep.
//   sheets_bench [LABELS]
#include <sys/resource.h>

#include <cstdio>
#include <ctime>
#include <string>

#include "sherdmark/base/error.h"
#include "sherdmark/base/files.h"
#include "sherdmark/sheet/cutting.h"
#include "sherdmark/sheet/sheets.h"
#include "support/test_support.h"

namespace {

using namespace sherdmark;  // NOLINT(google-build-using-namespace)

class InventedLabels final : public ArtifactLabelSource {
 public:
  InventedLabels(const HouseStandard& standard, int labels) : standard_(standard), numbers_((labels + 1) / 2) {}
  void rewind() override { next_ = 0; }
  bool next(ArtifactLabelRequest& request) override {
    if (next_ == numbers_) return false;
    const std::string lot = "16ZQ5/" + std::to_string(1 + next_ / 50);
    const auto number = standard_.parse_number(lot + "." + std::to_string(1 + next_ % 50 * 37));
    if (!number) throw internal_error("the bench invented a number that is none.");
    request = {number->number, lot, 1, 2};
    ++next_;
    return true;
  }

 private:
  const HouseStandard& standard_;
  int numbers_;
  int next_ = 0;
};

}  // namespace

int main(int argc, char** argv) {
  try {
    const int wanted = argc > 1 ? std::stoi(argv[1]) : 10'000;
    const HouseStandard standard = parse_house_standard(
        read_text(real_file_system(), testing::sample("standards/quillow_ferry.toml")), "quillow_ferry.toml");
    InventedLabels labels{standard, wanted};
    const std::clock_t start = std::clock();
    const Placements placements = lay_out_artifact_labels(labels, standard, "R7KM00001");
    const double laid_out = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    std::size_t bytes = 0;
    const SheetHeader header{.run = "R7KM00001",
                             .title = "Artifact labels",
                             .repository = standard.repository,
                             .date = "2031-05-20",
                             .instructions = {"Print at 100 %."},
                             .cautions = standard.cautions};
    draw_pdf(placements, {}, header, standard, [&bytes](std::span<const std::byte> part) { bytes += part.size(); });
    const double all = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    const CuttingPlan plan = plan_cutting(placements, standard.trimmer);
    std::printf("%zu labels on %d pages, %zu bytes: layout %.2f s, all %.2f s, %ld MB at most; %d strokes (bound %d)\n",
                placements.labels.size(), placements.pages, bytes, laid_out, all, usage.ru_maxrss / 1024, plan.strokes,
                plan.strokes_bound);
    return 0;
  } catch (const Error& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return error.exit_code();
  }
}
