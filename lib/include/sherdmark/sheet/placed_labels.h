// Labels on their pages, in the order of the pages. Runs of a hundred thousand are kept in a few dozen bytes a label:
// a row's place is held once for all its labels, a text once for all its copies, and a label is put together when it
// is asked for. So the container gives values, never references.
#pragma once

#include <array>
#include <compare>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <iterator>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "sherdmark/code/symbol.h"
#include "sherdmark/standard/label_role.h"

namespace sherdmark {

struct PlacedCode {
  SymbolFormat format = SymbolFormat::qr;
  std::string text;
  double x_mm = 0;  // top left of the symbol with its quiet zone
  double y_mm = 0;
  double size_mm = 0;  // with its quiet zone
  int modules = 0;     // per side, without quiet zone
  int module_dots = 0;
};

struct PlacedLabel {
  int page = 1;
  LabelRole role = LabelRole::artifact;
  std::string number;  // canonical number; the bag id where a bag holds several
  std::optional<std::string> bag;
  std::optional<std::string> serial;
  int revision = 1;
  int copy = 1;  // of those with the same text in this run, from 1
  double x_mm = 0;
  double y_mm = 0;
  double w_mm = 0;
  double h_mm = 0;
  std::vector<std::string> lines;  // artifact: the text lines as printed
  double font_pt = 0;
  std::optional<PlacedCode> code;
  int stack = 0;  // over 0: cut together with all strips of this number, and then in working order
};

// Where a label lies, without what it says.
struct PlacedBox {
  int page = 1;
  double x_mm = 0;
  double y_mm = 0;
  double w_mm = 0;
  double h_mm = 0;
  int stack = 0;
};

class PlacedLabels {
 public:
  class Iterator;
  using value_type = PlacedLabel;
  using const_iterator = Iterator;

  // What labels share that say the same: all of a PlacedLabel but its place, its copy and where its code lies.
  using Text = std::uint32_t;
  [[nodiscard]] Text add_text(const PlacedLabel& label);
  // What labels of that text say, without a place.
  [[nodiscard]] PlacedLabel text(Text text) const;
  // A label that says `text`; its code, if the text has one, lies at (code_x_mm, code_y_mm).
  void push_back(Text text, int copy, const PlacedBox& box, double code_x_mm = 0, double code_y_mm = 0);
  void push_back(const PlacedLabel& label);

  [[nodiscard]] std::size_t size() const { return labels_.size(); }
  [[nodiscard]] bool empty() const { return labels_.empty(); }
  [[nodiscard]] PlacedBox box(std::size_t index) const;
  // Equal for labels that say the same and were added as the same text; texts count from 0 in the order of adding.
  [[nodiscard]] Text text_of(std::size_t index) const { return labels_[index].text; }
  [[nodiscard]] int copy_of(std::size_t index) const { return labels_[index].copy; }
  [[nodiscard]] PlacedLabel operator[](std::size_t index) const;
  [[nodiscard]] PlacedLabel at(std::size_t index) const;  // throws std::out_of_range
  [[nodiscard]] PlacedLabel front() const { return (*this)[0]; }
  [[nodiscard]] PlacedLabel back() const { return (*this)[size() - 1]; }
  [[nodiscard]] Iterator begin() const;
  [[nodiscard]] Iterator end() const;

 private:
  struct Row {  // labels side by side
    int page = 1;
    int stack = 0;
    double y_mm = 0;
    double h_mm = 0;
  };
  struct Label {
    double x_mm = 0;
    double w_mm = 0;
    std::uint32_t row = 0;
    Text text = 0;
    std::int32_t copy = 1;
    std::uint32_t code = 0;  // its place, from 1; 0: none
  };
  struct Style {  // what few texts differ in
    LabelRole role = LabelRole::artifact;
    int revision = 1;
    double font_pt = 0;
    bool has_bag = false;
    bool has_serial = false;
    bool has_code = false;
    SymbolFormat format = SymbolFormat::qr;
    double size_mm = 0;
    int modules = 0;
    int module_dots = 0;
    friend bool operator==(const Style&, const Style&) = default;
  };
  struct StoredText {
    std::uint32_t chunk = 0;
    std::uint32_t offset = 0;
    std::uint32_t style = 0;
  };
  static constexpr std::size_t k_chunk_bytes = 1U << 16U;

  [[nodiscard]] std::uint32_t style_of(const PlacedLabel& label);

  std::deque<Label> labels_;
  std::deque<Row> rows_;
  std::deque<std::array<double, 2>> codes_;
  std::deque<StoredText> texts_;
  std::vector<Style> styles_;
  std::deque<std::string> chunks_;
};

class PlacedLabels::Iterator {
 public:
  using iterator_concept = std::random_access_iterator_tag;
  using iterator_category = std::input_iterator_tag;
  using value_type = PlacedLabel;
  using difference_type = std::ptrdiff_t;
  using reference = PlacedLabel;
  using pointer = void;

  Iterator() = default;
  Iterator(const PlacedLabels* labels, std::size_t index) : labels_(labels), index_(index) {}
  PlacedLabel operator*() const { return (*labels_)[index_]; }
  PlacedLabel operator[](difference_type n) const { return *(*this + n); }
  Iterator& operator++() { return *this += 1; }
  Iterator& operator--() { return *this -= 1; }
  Iterator operator++(int) { return std::exchange(*this, *this + 1); }
  Iterator operator--(int) { return std::exchange(*this, *this - 1); }
  Iterator& operator+=(difference_type n) {
    index_ = static_cast<std::size_t>(static_cast<difference_type>(index_) + n);
    return *this;
  }
  Iterator& operator-=(difference_type n) { return *this += -n; }
  friend Iterator operator+(Iterator at, difference_type n) { return at += n; }
  friend Iterator operator+(difference_type n, Iterator at) { return at += n; }
  friend Iterator operator-(Iterator at, difference_type n) { return at -= n; }
  friend difference_type operator-(const Iterator& a, const Iterator& b) {
    return static_cast<difference_type>(a.index_) - static_cast<difference_type>(b.index_);
  }
  friend bool operator==(const Iterator& a, const Iterator& b) { return a.index_ == b.index_; }
  friend std::strong_ordering operator<=>(const Iterator& a, const Iterator& b) { return a.index_ <=> b.index_; }

 private:
  const PlacedLabels* labels_ = nullptr;
  std::size_t index_ = 0;
};

inline PlacedLabels::Iterator PlacedLabels::begin() const { return {this, 0}; }
inline PlacedLabels::Iterator PlacedLabels::end() const { return {this, size()}; }

}  // namespace sherdmark
