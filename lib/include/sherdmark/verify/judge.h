// Readings → verdict. A pure function of readings, ledger records and house standard; the rules are in
// docs/verdicts.md and in the truth table tests/verify/truth_table.tsv that the tests run.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/base/picture.h"
#include "sherdmark/ledger/records.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

// large_print: of a bag label or tag only its large print was seen, no code; such a reading is never sure.
enum class ReadingSource { qr, micro_qr, data_matrix, text, keyed, large_print };
[[nodiscard]] constexpr bool is_code(ReadingSource source) {
  return source == ReadingSource::qr || source == ReadingSource::micro_qr || source == ReadingSource::data_matrix;
}

// One label seen in an image or heard from a scanner, already parsed. What could not be read surely has sure = false.
struct Reading {
  LabelRole role = LabelRole::artifact;
  bool sure = false;
  bool newer_format = false;                  // our code of a version this program does not know
  std::optional<std::string> collection_key;  // carriers only
  std::optional<std::string> number;
  std::optional<std::string> bag;
  std::optional<std::string> serial;
  std::optional<int> revision;
  std::optional<int> ordinal;
  std::optional<std::string> place;  // shelf labels
  ReadingSource source = ReadingSource::text;
  std::optional<double> margin;  // text only
  std::string image;
  int page = 1;
  std::optional<Corners> corners;
  std::optional<std::string> text;  // as read
  // A micro-code that lies on the same paper as a text reading; they must agree.
  std::optional<std::string> micro_number;
  bool number_is_opaque = false;  // a sensitive bag's code carries a key in place of the number
};

struct ReadingSet {
  std::string name;  // image or folder
  std::vector<Reading> readings;
  std::vector<std::string> images;
  std::optional<std::string> place_given;  // path of the place a person said, checked against the ledger
  bool opened_and_counted = false;         // a person opened the bag and counted the pieces
  std::optional<std::int64_t> counted_pieces;
  std::vector<std::string> notes;  // whole sentences, no part of the verdict: foreign codes …
};

enum class Verdict { disagree, unknown, unreadable, stale, incomplete, misplaced, agree };

enum class Evidence { nothing, seen_outside, bag_and_tag, bag_tag_and_artifacts, opened_and_counted };

// The closed list of reason codes: docs/verdicts.md. `text` is whole sentences for a person.
struct Reason {
  std::string code;  // "several-bags", "duplicate-label", "wrong-tag", "foreign-artifact" …
  std::string text;
  Verdict verdict = Verdict::disagree;  // the verdict this reason alone would give
};

struct SetVerdict {
  std::string set;
  std::optional<std::string> bag;
  std::optional<std::string> number;
  Verdict verdict = Verdict::incomplete;
  Evidence evidence = Evidence::nothing;
  std::int64_t expected = 0;               // labels expected: bag, tag and labelled artifacts
  std::int64_t seen = 0;                   // labels read surely
  std::optional<std::int64_t> unlabelled;  // pieces that carry no label; absent when not counted in the ledger
  bool place_checked = false;
  std::string place_given;                     // as in the set; empty: nobody said
  std::optional<std::int64_t> counted_pieces;  // by a person who opened the bag
  std::vector<Reason> reasons;                 // in order of verdicts, then of readings
  std::vector<Reading> readings;
  std::vector<std::string> images;
  std::vector<std::string> notes;  // those of the set
};

[[nodiscard]] SetVerdict judge(const ReadingSet& set, const CollectionView& records, const HouseStandard& standard);

// What no photograph of labels can show, said under every verdict: one or two whole sentences.
[[nodiscard]] std::string not_tested(const SetVerdict& verdict);

inline constexpr int k_verdicts = 7;  // number of values of Verdict
[[nodiscard]] std::string_view to_text(Verdict verdict);
[[nodiscard]] std::string_view to_text(Evidence evidence);
[[nodiscard]] std::string_view to_text(ReadingSource source);

}  // namespace sherdmark
