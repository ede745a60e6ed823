// Many labels looked at for whether they fit: continue_label (sheet/sheets.h) with the fonts found once.
#pragma once

#include <memory>
#include <vector>

#include "sherdmark/sheet/sheets.h"

namespace sherdmark {

class LabelContinuation {
 public:
  // `standard` must outlive this. environment_error for a missing font.
  explicit LabelContinuation(const HouseStandard& standard);
  ~LabelContinuation();
  LabelContinuation(const LabelContinuation&) = delete;
  LabelContinuation& operator=(const LabelContinuation&) = delete;
  LabelContinuation(LabelContinuation&&) = delete;
  LabelContinuation& operator=(LabelContinuation&&) = delete;

  [[nodiscard]] std::vector<CarrierLabelRequest> split(const CarrierLabelRequest& whole) const;

 private:
  struct Fonts;
  std::unique_ptr<Fonts> fonts_;
};

}  // namespace sherdmark
