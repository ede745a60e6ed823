// The text inside a printed code (docs/formats/link-code.md). Only 0-9 and A-Z; frozen once printed.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "sherdmark/standard/label_role.h"

namespace sherdmark {

// Limits of format version 1, frozen. Lengths in characters (code points).
inline constexpr std::size_t k_longest_subject = 32;
inline constexpr std::size_t k_longest_number = 64;
inline constexpr int k_largest_ordinal = 35;
inline constexpr int k_largest_revision = 36 * 36 - 1;
inline constexpr std::size_t k_shortest_opening = 12;  // a shorter text is foreign, whatever it begins with

// Bag, tag, box, shelf, field tag … Every text field is arbitrary UTF-8 (escaped in the code), except where noted.
struct LinkCode {
  std::string collection_key;  // 4 characters 0-9A-Z
  LabelRole role = LabelRole::bag;
  std::string subject;  // bag id, place id …; 0-9A-Z only; never empty for bag, tag, box and shelf
  std::string number;   // provenience number in canonical form; an opaque key where the site is sensitive; may be empty
  bool number_is_opaque = false;
  int ordinal = 1;     // sheet ordinal of a continued label, 1 … 35
  std::string serial;  // print serial, 8 characters 0-9A-Z
  int revision = 1;    // 1 … 1295
  friend bool operator==(const LinkCode&, const LinkCode&) = default;
};

// The artifact's micro-code carries the whole number and a check, nothing else.
struct MicroCodeText {
  std::string number;
  friend bool operator==(const MicroCodeText&, const MicroCodeText&) = default;
};

enum class LinkStatus {
  ours,     // whole and valid
  foreign,  // somebody else's code: not an error
  newer,    // ours by its opening, of a format version this program does not know
  damaged   // ours by its opening, but the check characters or the fields are wrong; never said of a micro-code
};

struct LinkReading {
  LinkStatus status = LinkStatus::foreign;
  std::optional<LinkCode> link;        // set when ours and not a micro-code
  std::optional<MicroCodeText> micro;  // set when ours and a micro-code
  int version = 0;                     // format version when ours or newer
};

// Throws data_error when a field breaks the limits above.
[[nodiscard]] std::string write_link_code(const LinkCode& link);
[[nodiscard]] std::string write_micro_code(const MicroCodeText& micro);

// Total: any bytes give an answer, nothing throws. parse(write(x)) == x, and no second text parses to the same x.
[[nodiscard]] LinkReading parse_code_text(std::string_view bytes) noexcept;

}  // namespace sherdmark
