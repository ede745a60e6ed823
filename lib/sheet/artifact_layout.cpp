#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <numeric>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "sheet/artifact_block.h"
#include "sheet/artifact_label.h"
#include "sheet/page_frame.h"
#include "sherdmark/base/error.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {
namespace {

// Up to so many labels a run is planned as one; above, in blocks of whole lots, so that memory does not grow with it.
constexpr std::size_t k_most_at_once = 20'000;
constexpr std::size_t k_block_labels = 8'000;

// Lots in the order in which they first come, in each the numbers likewise: identical labels come to lie together.
class InLotOrder final : public ArtifactLabelSource {
 public:
  explicit InLotOrder(const std::vector<ArtifactLabelRequest>& labels) {
    std::map<std::string_view, std::vector<const ArtifactLabelRequest*>> lots;
    std::vector<std::string_view> order;
    for (const ArtifactLabelRequest& label : labels) {
      if (label.copies < 1) continue;
      const auto [lot, is_new] = lots.try_emplace(label.lot);
      if (is_new) order.push_back(label.lot);
      lot->second.push_back(&label);
    }
    for (const std::string_view name : order) {
      auto& lot = lots.at(name);
      std::unordered_map<std::string_view, std::size_t> numbers;
      for (const ArtifactLabelRequest* label : lot) numbers.try_emplace(label->number.text(), numbers.size());
      std::ranges::stable_sort(lot, {}, [&](const auto* label) { return numbers.at(label->number.text()); });
      ordered_.insert(ordered_.end(), lot.begin(), lot.end());
      std::vector<const ArtifactLabelRequest*>{}.swap(lot);
    }
  }

  void rewind() override { next_ = 0; }
  bool next(ArtifactLabelRequest& request) override {
    if (next_ == ordered_.size()) return false;
    request = *ordered_[next_++];
    return true;
  }

 private:
  std::vector<const ArtifactLabelRequest*> ordered_;
  std::size_t next_ = 0;
};

std::size_t count_labels(ArtifactLabelSource& source) {
  std::size_t count = 0;
  source.rewind();
  for (ArtifactLabelRequest request; source.next(request);)
    count += static_cast<std::size_t>(std::max(0, request.copies));
  return count;
}

// The run cut into blocks: between lots, or within a lot that alone is as long as two.
class Blocks {
 public:
  Blocks(ArtifactLabelSource& source, std::size_t labels, const ArtifactBlock& empty)
      : source_(source), most_(labels <= k_most_at_once ? labels : k_block_labels), empty_(empty) {
    source_.rewind();
    has_next_ = read();
  }

  [[nodiscard]] bool done() const { return !has_next_; }
  // std::nullopt when all labels have been given out.
  std::optional<ArtifactBlock> next() {
    if (!has_next_) return std::nullopt;
    ArtifactBlock block = empty_;
    std::string lot = request_.lot;
    for (bool first = true; has_next_; first = false) {
      const bool full = block.labels() >= most_ && (request_.lot != lot || block.labels() >= 2 * most_);
      if (!first && full && !block.ends_with(request_.number)) break;
      lot = request_.lot;
      block.add(request_);
      has_next_ = read();
    }
    return block;
  }

 private:
  bool read() {
    while (source_.next(request_))
      if (request_.copies > 0) return true;
    return false;
  }

  ArtifactLabelSource& source_;
  std::size_t most_;
  const ArtifactBlock& empty_;
  ArtifactLabelRequest request_;
  bool has_next_ = false;
};

// Labels strictly in bench order if the house wants it; else the least time among plans whose strips come off in bench
// order, and where that saves no whole stroke the stricter order.
CutOrder choose_order(const ArtifactBlock::Costs& costs, const Trimmer& trimmer) {
  if (trimmer.keep_order) return CutOrder::labels;
  double least = costs.labels;
  CutOrder order = CutOrder::labels;
  const auto saves_a_stroke = [&](double seconds) { return seconds <= least - trimmer.stroke_seconds + 1e-9; };
  if (saves_a_stroke(costs.lots)) {
    least = costs.lots;
    order = CutOrder::lots;
  }
  if (saves_a_stroke(costs.strips)) order = CutOrder::strips;
  return order;
}

}  // namespace

Placements lay_out_artifact_labels(ArtifactLabelSource& labels, const HouseStandard& standard, const std::string& run) {
  const Typeface face = Typeface::find(standard.artifact.font);
  const PageFrame frame = page_frame(standard.artifact_stock, LabelRole::artifact, standard.printer.dpi);
  const std::size_t count = count_labels(labels);
  if (count == 0)
    throw data_error("there is no artifact label to make.", {},
                     "Ask the plan which items get a label, and whether their labels are printed already.");
  const ArtifactBlock empty{standard, face, strip_space(frame, standard.trimmer), count <= k_most_at_once};
  Blocks blocks{labels, count, empty};
  ArtifactBlock first = blocks.next().value();
  ArtifactBlock::Costs costs = first.costs();
  const bool alone = blocks.done();
  while (auto block = blocks.next()) costs += block->costs();
  Placements placements{.run = run,
                        .page_width_mm = frame.paper.width_mm,
                        .page_height_mm = frame.paper.height_mm,
                        .dpi = standard.printer.dpi,
                        .pages = 1,
                        .labels = {},
                        .order = choose_order(costs, standard.trimmer)};
  StripPages pages{strip_space(frame, standard.trimmer)};
  first.place(pages, placements);
  if (!alone) {
    Blocks again{labels, count, empty};
    (void)again.next();
    while (auto block = again.next()) block->place(pages, placements);
  }
  placements.pages = pages.count();
  return placements;
}

Placements lay_out_artifact_labels(const std::vector<ArtifactLabelRequest>& labels, const HouseStandard& standard,
                                   const std::string& run) {
  InLotOrder source{labels};
  return lay_out_artifact_labels(source, standard, run);
}

}  // namespace sherdmark
