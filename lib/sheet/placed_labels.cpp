#include "sherdmark/sheet/placed_labels.h"

#include <algorithm>
#include <stdexcept>
#include <string_view>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

// A count in as few bytes as it needs: seven bits a byte, the highest says whether another follows.
void put_count(std::string& bytes, std::size_t count) {
  for (; count >= 0x80; count >>= 7U) bytes.push_back(static_cast<char>(0x80U | (count & 0x7FU)));
  bytes.push_back(static_cast<char>(count));
}

void put_text(std::string& bytes, std::string_view text) {
  put_count(bytes, text.size());
  bytes += text;
}

// Reads what put_count and put_text wrote.
class Bytes {
 public:
  explicit Bytes(const char* at) : at_(at) {}

  std::size_t count() {
    std::size_t count = 0;
    for (unsigned shift = 0;; shift += 7) {
      const auto byte = static_cast<unsigned char>(*at_++);
      count |= static_cast<std::size_t>(byte & 0x7FU) << shift;
      if (byte < 0x80) return count;
    }
  }
  std::string_view text() {
    const std::size_t size = count();
    const std::string_view text{at_, size};
    at_ += size;
    return text;
  }

 private:
  const char* at_;
};

}  // namespace

std::uint32_t PlacedLabels::style_of(const PlacedLabel& label) {
  constexpr std::ptrdiff_t k_looked_back = 16;
  Style style{.role = label.role,
              .revision = label.revision,
              .font_pt = label.font_pt,
              .has_bag = label.bag.has_value(),
              .has_serial = label.serial.has_value(),
              .has_code = label.code.has_value()};
  if (label.code) {
    style.format = label.code->format;
    style.size_mm = label.code->size_mm;
    style.modules = label.code->modules;
    style.module_dots = label.code->module_dots;
  }
  const auto first = styles_.end() - std::min(k_looked_back, std::ssize(styles_));
  const auto known = std::find(first, styles_.end(), style);
  if (known == styles_.end()) {
    styles_.push_back(style);
    return static_cast<std::uint32_t>(styles_.size() - 1);
  }
  return static_cast<std::uint32_t>(known - styles_.begin());
}

// The number; what its lines have behind it (a check character) and how long each line is, or else the lines as they
// are; then what else there is.
PlacedLabels::Text PlacedLabels::add_text(const PlacedLabel& label) {
  std::string bytes;
  put_text(bytes, label.number);
  const std::string printed = join(label.lines, "");
  const bool begins = printed.starts_with(label.number);
  put_text(bytes, begins ? std::string_view{printed}.substr(label.number.size()) : std::string_view{printed});
  put_count(bytes, label.lines.size() * 2 + (begins ? 1 : 0));
  for (const std::string& line : label.lines) put_count(bytes, line.size());
  if (label.bag) put_text(bytes, *label.bag);
  if (label.serial) put_text(bytes, *label.serial);
  if (label.code) put_text(bytes, label.code->text);
  if (chunks_.empty() || chunks_.back().size() + bytes.size() > chunks_.back().capacity()) {
    chunks_.emplace_back();
    chunks_.back().reserve(std::max(k_chunk_bytes, bytes.size()));
  }
  texts_.push_back({static_cast<std::uint32_t>(chunks_.size() - 1), static_cast<std::uint32_t>(chunks_.back().size()),
                    style_of(label)});
  chunks_.back() += bytes;
  return static_cast<Text>(texts_.size() - 1);
}

PlacedLabel PlacedLabels::text(Text text) const {
  PlacedLabel label;
  const StoredText& stored = texts_[text];
  const Style& style = styles_[stored.style];
  Bytes bytes{chunks_[stored.chunk].data() + stored.offset};
  label.role = style.role;
  label.revision = style.revision;
  label.font_pt = style.font_pt;
  label.number = bytes.text();
  std::string printed{bytes.text()};
  const std::size_t lines = bytes.count();
  if (lines % 2 == 1) printed.insert(0, label.number);
  std::size_t at = 0;
  for (std::size_t i = 0; i < lines / 2; ++i) {
    const std::size_t size = bytes.count();
    label.lines.push_back(printed.substr(at, size));
    at += size;
  }
  if (style.has_bag) label.bag = bytes.text();
  if (style.has_serial) label.serial = bytes.text();
  if (style.has_code)
    label.code =
        PlacedCode{style.format, std::string{bytes.text()}, 0, 0, style.size_mm, style.modules, style.module_dots};
  return label;
}

void PlacedLabels::push_back(Text text, int copy, const PlacedBox& box, double code_x_mm, double code_y_mm) {
  const bool same_row = !rows_.empty() && rows_.back().page == box.page && rows_.back().stack == box.stack &&
                        rows_.back().y_mm == box.y_mm && rows_.back().h_mm == box.h_mm;
  if (!same_row) rows_.push_back({box.page, box.stack, box.y_mm, box.h_mm});
  Label label{box.x_mm, box.w_mm, static_cast<std::uint32_t>(rows_.size() - 1), text, copy, 0};
  if (styles_[texts_[text].style].has_code) {
    codes_.push_back({code_x_mm, code_y_mm});
    label.code = static_cast<std::uint32_t>(codes_.size());
  }
  labels_.push_back(label);
}

void PlacedLabels::push_back(const PlacedLabel& label) {
  const PlacedCode code = label.code.value_or(PlacedCode{});
  push_back(add_text(label), label.copy, {label.page, label.x_mm, label.y_mm, label.w_mm, label.h_mm, label.stack},
            code.x_mm, code.y_mm);
}

PlacedBox PlacedLabels::box(std::size_t index) const {
  const Label& label = labels_[index];
  const Row& row = rows_[label.row];
  return {row.page, label.x_mm, row.y_mm, label.w_mm, row.h_mm, row.stack};
}

PlacedLabel PlacedLabels::operator[](std::size_t index) const {
  const Label& stored = labels_[index];
  PlacedLabel label = text(stored.text);
  const PlacedBox where = box(index);
  label.page = where.page;
  label.copy = stored.copy;
  label.x_mm = where.x_mm;
  label.y_mm = where.y_mm;
  label.w_mm = where.w_mm;
  label.h_mm = where.h_mm;
  label.stack = where.stack;
  if (label.code) {
    label.code->x_mm = codes_[stored.code - 1][0];
    label.code->y_mm = codes_[stored.code - 1][1];
  }
  return label;
}

PlacedLabel PlacedLabels::at(std::size_t index) const {
  if (index >= size()) throw std::out_of_range{"there is no such placed label"};
  return (*this)[index];
}

}  // namespace sherdmark
