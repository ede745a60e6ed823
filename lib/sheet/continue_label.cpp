// A label whose fields do not fit goes on, on further sheets.
#include <fmt/format.h>

#include <algorithm>

#include "sheet/carrier_label.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/sheet/continued_labels.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_least_divided = 80;  // characters

// Where a long text may be cut: behind "; " between things, else behind a space.
std::vector<std::size_t> cuts_of(const std::string& text) {
  std::vector<std::size_t> between_things, between_words;
  for (std::size_t i = 1; i < text.size(); ++i) {
    if (text[i - 1] != ' ') continue;
    between_words.push_back(i);
    if (i >= 2 && text[i - 2] == ';') between_things.push_back(i);
  }
  return between_things.empty() ? between_words : between_things;
}

class Continuation {
 public:
  Continuation(const CarrierLabelRequest& whole, const CarrierLabelMaker& maker) : whole_(whole), maker_(maker) {}

  std::vector<CarrierLabelRequest> split() {
    const auto overflow = maker_.overflow(whole_);
    if (!overflow) return {whole_};
    if (overflow->mm > k_largest_ordinal * maker_.design(whole_.role).height_mm) refuse();
    for (const CarrierField& field : whole_.fields) add(field);
    finish_sheet();
    for (std::size_t i = 0; i < sheets_.size(); ++i) {
      sheets_[i].sheet = static_cast<int>(i) + 1;
      sheets_[i].sheets = static_cast<int>(sheets_.size());
    }
    return std::move(sheets_);
  }

 private:
  // These stand on every sheet.
  static bool stands_apart(const CarrierField& field) { return field.name == "bag" || field.name == "repository"; }

  [[nodiscard]] CarrierLabelRequest sheet_with(const std::vector<CarrierField>& fields) const {
    CarrierLabelRequest sheet = whole_;
    sheet.fields.clear();
    for (const CarrierField& field : whole_.fields)
      if (stands_apart(field)) sheet.fields.push_back(field);
    sheet.fields.insert(sheet.fields.end(), fields.begin(), fields.end());
    sheet.sheet = sheet.sheets = k_largest_ordinal;  // the mark at its widest
    return sheet;
  }

  [[nodiscard]] bool fits_with(const CarrierField& field) const {
    std::vector<CarrierField> fields = fields_;
    fields.push_back(field);
    return !maker_.overflow(sheet_with(fields));
  }

  [[noreturn]] void refuse() const {
    throw data_error(fmt::format("the {} of {} would need more than {} labels.", to_text(whole_.role),
                                 printable(whole_.number), k_largest_ordinal),
                     {}, "Shorten its texts in the catalog, or leave fields out in the house standard.");
  }

  void finish_sheet() {
    if (fields_.empty()) return;
    sheets_.push_back(sheet_with(fields_));
    fields_.clear();
    if (sheets_.size() > static_cast<std::size_t>(k_largest_ordinal)) refuse();
  }

  void add(const CarrierField& field) {
    if (stands_apart(field) || trim(field.text).empty()) return;
    if (fits_with(field)) {
      fields_.push_back(field);
      return;
    }
    if (field.text.size() < k_least_divided) finish_sheet();  // a short field is not torn in two
    add_in_parts(field);
  }

  // As much as the sheet still holds, the rest on the next one, again and again.
  void add_in_parts(const CarrierField& field) {
    std::string rest = field.text;
    while (!fits_with({field.name, rest})) {
      const std::vector<std::size_t> cuts = cuts_of(rest);
      const auto too_long = std::partition_point(cuts.begin(), cuts.end(), [&](std::size_t cut) {
        return fits_with({field.name, rest.substr(0, cut)});
      });
      if (too_long == cuts.begin()) {
        if (fields_.empty()) {
          (void)maker_.compose(sheet_with({{field.name, rest}}));  // throws what does not fit
          throw internal_error("a field that does not fit was laid out.");
        }
        finish_sheet();
        continue;
      }
      const std::size_t cut = *(too_long - 1);
      fields_.push_back({field.name, std::string{trim(rest.substr(0, cut))}});
      finish_sheet();
      rest.erase(0, cut);
    }
    fields_.push_back({field.name, rest});
  }

  const CarrierLabelRequest& whole_;
  const CarrierLabelMaker& maker_;
  std::vector<CarrierField> fields_;
  std::vector<CarrierLabelRequest> sheets_;
};

}  // namespace

struct LabelContinuation::Fonts {
  explicit Fonts(const HouseStandard& standard) : maker{standard} {}
  CarrierLabelMaker maker;
};

LabelContinuation::LabelContinuation(const HouseStandard& standard) : fonts_(std::make_unique<Fonts>(standard)) {}

LabelContinuation::~LabelContinuation() = default;

std::vector<CarrierLabelRequest> LabelContinuation::split(const CarrierLabelRequest& whole) const {
  return Continuation{whole, fonts_->maker}.split();
}

std::vector<CarrierLabelRequest> continue_label(const CarrierLabelRequest& whole, const HouseStandard& standard) {
  return LabelContinuation{standard}.split(whole);
}

}  // namespace sherdmark
