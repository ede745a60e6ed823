// Characters beyond ASCII: what they would be on an old typewriter, and which of them hide. ICU stands behind this.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

// Printable ASCII only: nothing here needs to look at it.
[[nodiscard]] bool is_plain_ascii(std::string_view text);

[[nodiscard]] std::string to_nfc(std::string_view text);

// UTS #39 skeleton: two texts that look alike have the same. For comparing only, never for showing.
[[nodiscard]] std::string look_alike_key(std::string_view text);

// Characters that have no place in any cell.
struct HiddenCharacters {
  std::vector<std::string> direction;  // bidi controls: the text does not read in the order it is stored
  std::vector<std::string> lost;       // U+FFFD and control characters: something was destroyed before
  std::vector<std::string> invisible;  // zero-width characters, soft hyphens, byte order marks
  bool mis_decoded = false;            // UTF-8 that was once read as Windows-1252
  [[nodiscard]] bool none() const { return direction.empty() && lost.empty() && invisible.empty() && !mis_decoded; }
};
[[nodiscard]] HiddenCharacters find_hidden(std::string_view text);

// Removes what find_hidden calls invisible and turns every kind of space into a plain one.
[[nodiscard]] std::string without_invisible(std::string_view text);

// An identifier as it would be typed on a plain keyboard: dashes become -, spaces plain, digits of any script and
// full-width forms ASCII; letters of other alphabets that look like a Latin letter become it when `letters` is set.
struct TypedText {
  std::string text;
  std::vector<std::string> changes;  // in words, each kind once
  bool letters_changed = false;
};
[[nodiscard]] TypedText as_typed(std::string_view text, bool letters);

// Latin letters or digits stand beside look-alike letters of another alphabet in one word.
[[nodiscard]] bool mixes_alphabets(std::string_view text);

}  // namespace sherdmark
