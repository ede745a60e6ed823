#include "sherdmark/report/report_pages.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "report/page_slices.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr double k_left_mm = 20;  // room for the holes of a file
constexpr double k_right_mm = 14;
constexpr double k_top_mm = 11;
constexpr double k_foot_mm = 12;
constexpr double k_title_pt = 14;
constexpr double k_scope_pt = 9.5;
constexpr double k_about_pt = 7;
constexpr double k_rule_mm = 0.5;
constexpr int k_dpi = 600;

// The head of every page: title and page, scope, who and when, which ledger.
class Head {
 public:
  Head(const ReportHead& head, const PageText& page) : head_(head), page_(page) {
    std::vector<std::string> about;
    if (!head.repository.empty()) about.push_back(head.repository);
    if (!head.date.empty()) about.push_back(head.date);
    if (!head.person.empty()) about.push_back("by " + head.person);
    if (!head.station.empty()) about.push_back("station " + head.station);
    about_ = join(about, "  ·  ");
    const double width = page.width_mm;
    title_mm_ = page_.height(page.style(k_title_pt, true), head.title, width - 30) + 0.6;
    scope_mm_ = head.scope.empty() ? 0 : page_.height(page.style(k_scope_pt), head.scope, width) + 0.8;
    about_mm_ = page_.height(page.style(k_about_pt), about_, width) + 0.3;
    ledger_mm_ = head.ledger.empty() ? 0 : page_.height(page.style(k_about_pt), "Ledger: " + head.ledger, width) + 0.3;
  }

  [[nodiscard]] double height() const { return title_mm_ + scope_mm_ + about_mm_ + ledger_mm_ + 1.2 + k_rule_mm + 3; }

  void draw(Canvas& canvas, int number, int of) const {
    const double width = page_.width_mm;
    double y = k_top_mm;
    canvas.paragraph(page_.style(k_title_pt, true), head_.title, {k_left_mm, y}, width - 30);
    TextStyle right = page_.style(8.5, true);
    right.right_aligned = true;
    canvas.paragraph(right, fmt::format("page {} of {}", number, of), {k_left_mm + width - 30, y + 1.4}, 30);
    y += title_mm_;
    if (scope_mm_ > 0) canvas.paragraph(page_.style(k_scope_pt), head_.scope, {k_left_mm, y}, width);
    y += scope_mm_;
    if (!about_.empty()) canvas.paragraph(page_.style(k_about_pt), about_, {k_left_mm, y}, width);
    y += about_mm_;
    if (ledger_mm_ > 0) canvas.paragraph(page_.style(k_about_pt), "Ledger: " + head_.ledger, {k_left_mm, y}, width);
    y += ledger_mm_ + 1.2;
    canvas.rectangles(std::array{RectMm{k_left_mm, y, width, k_rule_mm}});
  }

 private:
  const ReportHead& head_;
  const PageText& page_;
  std::string about_;
  double title_mm_ = 0, scope_mm_ = 0, about_mm_ = 0, ledger_mm_ = 0;
};

// What people typed may turn the text round or mean nothing on paper: such characters are written out.
void make_printable(std::initializer_list<std::string*> texts) {
  for (std::string* text : texts) *text = printable_lines(*text);
}

void make_printable(ReportBlock& block) {
  if (auto* heading = std::get_if<ReportHeading>(&block)) make_printable({&heading->text});
  if (auto* text = std::get_if<ReportText>(&block)) make_printable({&text->text});
  if (auto* notice = std::get_if<ReportNotice>(&block)) make_printable({&notice->text});
  if (auto* facts = std::get_if<ReportFacts>(&block))
    for (ReportFact& fact : facts->facts) make_printable({&fact.value});
  if (auto* bars = std::get_if<ReportBars>(&block))
    for (ReportBar& bar : bars->bars) make_printable({&bar.label, &bar.note});
  if (auto* bounds = std::get_if<ReportBounds>(&block))
    for (ReportBound& bound : bounds->bounds) make_printable({&bound.label, &bound.note});
  if (auto* table = std::get_if<ReportTable>(&block))
    for (std::vector<std::string>& row : table->rows)
      for (std::string& cell : row) make_printable({&cell});
}

Report printable_report(Report report) {
  make_printable({&report.head.title, &report.head.scope, &report.head.person, &report.head.repository});
  for (ReportBlock& block : report.blocks) make_printable(block);
  return report;
}

// A table that goes on on another page says there under which heading it began.
std::vector<Slice> cut_all(const std::vector<ReportBlock>& blocks, const PageText& page) {
  std::vector<Slice> slices;
  std::string title;
  for (const ReportBlock& block : blocks) {
    const std::size_t first = slices.size();
    std::visit([&](const auto& one) { cut(one, page, slices); }, block);
    if (const auto* heading = std::get_if<ReportHeading>(&block)) title = heading->text;
    if (title.empty() || !std::holds_alternative<ReportTable>(block)) continue;
    std::shared_ptr<const Slice> head;
    for (std::size_t i = first; i < slices.size(); ++i)
      if (slices[i].head) {
        if (!head) head = continued(slices[i].head, title, page);
        slices[i].head = head;
      }
  }
  return slices;
}

struct Placed {
  std::size_t slice = 0;
  double y_mm = 0;
  bool head = false;  // the head of its table, again
};
using Page = std::vector<Placed>;

// Slices one under the other; what must stay together goes to the next page together. A row that is higher than a page
// is shortened: what somebody once typed must not keep a whole report from being printed.
class Flow {
 public:
  Flow(std::vector<Slice>& slices, double top_mm, double end_mm)
      : slices_(slices), top_mm_(top_mm), end_mm_(end_mm), y_mm_(top_mm) {}

  std::vector<Page> run() {
    pages_.emplace_back();
    for (std::size_t i = 0; i < slices_.size(); ++i) {
      const Slice& slice = slices_[i];
      if (slice.page_break) {
        if (!pages_.back().empty()) new_page();
        continue;
      }
      if (!pages_.back().empty() && y_mm_ + slice.before_mm + together(i) > end_mm_) {
        new_page();
        if (slice.head) put(i, true, slice.head->height_mm);
      }
      if (slice.shorter && y_mm_ + slice.height_mm > end_mm_ + 0.01) shorten(slices_[i]);
      if (y_mm_ + slice.height_mm > end_mm_ + 0.01)
        throw data_error("a line of the report is higher than a page.", {}, "Shorten the remarks it shows.");
      if (!pages_.back().empty()) y_mm_ += slice.before_mm;
      put(i, false, slice.height_mm);
    }
    return std::move(pages_);
  }

 private:
  [[nodiscard]] double together(std::size_t first) const {
    double height = slices_[first].height_mm;
    for (std::size_t i = first; slices_[i].with_next && i + 1 < slices_.size() && !slices_[i + 1].page_break; ++i)
      height += slices_[i + 1].before_mm + slices_[i + 1].height_mm;
    return std::min(height, end_mm_ - top_mm_);
  }
  void shorten(Slice& slice) const {
    Slice shorter = slice.shorter(end_mm_ - y_mm_);
    shorter.head = slice.head;
    slice = std::move(shorter);
  }
  void new_page() {
    pages_.emplace_back();
    y_mm_ = top_mm_;
  }
  void put(std::size_t slice, bool head, double height_mm) {
    pages_.back().push_back({slice, y_mm_, head});
    y_mm_ += height_mm;
  }

  std::vector<Slice>& slices_;
  double top_mm_;
  double end_mm_;
  double y_mm_;
  std::vector<Page> pages_;
};

}  // namespace

ReportPaper report_paper(const HouseStandard& standard) {
  return {standard.carrier_stock.width_mm, standard.carrier_stock.height_mm, standard.carrier_font};
}

std::string heads_text(const std::vector<StationHead>& heads) {
  std::vector<std::string> parts;
  for (const StationHead& head : heads)
    parts.push_back(fmt::format("{} event {}, {}", head.station, head.sequence, head.hash));
  return join(parts, "; ");
}

std::string heads_hash(const std::vector<StationHead>& heads) {
  return heads.size() == 1 ? heads.front().hash : sha256_hex(heads_text(heads));
}

ReportHead report_head(const Ledger& ledger, std::string title, std::string scope, std::string_view time,
                       std::string person, std::string station) {
  const std::vector<StationHead> heads = ledger.heads();
  std::string date{time.substr(0, std::min<std::size_t>(16, time.size()))};
  std::replace(date.begin(), date.end(), 'T', ' ');
  if (!date.empty()) date += " UTC";
  const std::string state = heads.size() == 1 ? fmt::format("{}, {}", ledger.collection_key(), heads_text(heads))
                                              : fmt::format("{}, {} stations, all heads {}", ledger.collection_key(),
                                                            heads.size(), heads_hash(heads));
  return {std::move(title),
          std::move(scope),
          std::move(date),
          std::move(person),
          std::move(station),
          state,
          ledger.standard().repository};
}

std::vector<std::string> sheet_made(const Ledger& ledger, const std::string& person, const std::string& station) {
  constexpr std::size_t k_digits = 16;
  const std::vector<StationHead> heads = ledger.heads();
  std::vector<std::string> parts;
  if (!person.empty()) parts.push_back("by " + person);
  if (!station.empty()) parts.push_back("station " + station);
  parts.push_back(fmt::format("ledger {}, {} {}", ledger.collection_key(),
                              heads.size() == 1 ? fmt::format("event {}", heads.front().sequence)
                                                : fmt::format("heads of {} stations", heads.size()),
                              heads_hash(heads).substr(0, k_digits)));
  return parts;
}

void write_report_pdf(const Report& report, const ReportPaper& paper, const ByteSink& sink) {
  if (report.blocks.empty()) throw usage_error("the report has nothing to show.", "Ask for something it can show.");
  const Report shown = printable_report(report);
  const RunningText text;
  const PageText page{text, paper.font, paper.width_mm - k_left_mm - k_right_mm};
  const Head head{shown.head, page};
  std::vector<Slice> slices = cut_all(shown.blocks, page);
  const std::vector<Page> pages = Flow{slices, k_top_mm + head.height(), paper.height_mm - k_foot_mm}.run();
  const int count = static_cast<int>(pages.size());
  write_pdf(
      whole_dots(paper.width_mm, paper.height_mm, k_dpi), PrinterDescription{.dpi = k_dpi}, count, shown.head.title,
      [&](Canvas& canvas, int number) {
        head.draw(canvas, number, count);
        for (const Placed& placed : pages[static_cast<std::size_t>(number - 1)]) {
          const Slice& slice = slices[placed.slice];
          (placed.head ? *slice.head : slice).draw(canvas, {k_left_mm, placed.y_mm});
        }
      },
      sink);
}

}  // namespace sherdmark
