// Texts of the verdict enums. They stand in JSON and in the ledger: frozen.
#include "sherdmark/base/error.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

std::string_view to_text(Verdict verdict) {
  switch (verdict) {
    case Verdict::disagree:
      return "disagree";
    case Verdict::unknown:
      return "unknown";
    case Verdict::unreadable:
      return "unreadable";
    case Verdict::stale:
      return "stale";
    case Verdict::incomplete:
      return "incomplete";
    case Verdict::misplaced:
      return "misplaced";
    case Verdict::agree:
      return "agree";
  }
  throw internal_error("a verdict without a text");
}

std::string_view to_text(Evidence evidence) {
  switch (evidence) {
    case Evidence::nothing:
      return "none";
    case Evidence::seen_outside:
      return "seen outside";
    case Evidence::bag_and_tag:
      return "bag and tag";
    case Evidence::bag_tag_and_artifacts:
      return "bag, tag and artifacts";
    case Evidence::opened_and_counted:
      return "opened and counted";
  }
  throw internal_error("a level of evidence without a text");
}

std::string_view to_text(ReadingSource source) {
  switch (source) {
    case ReadingSource::qr:
      return "qr";
    case ReadingSource::micro_qr:
      return "micro-qr";
    case ReadingSource::data_matrix:
      return "data-matrix";
    case ReadingSource::text:
      return "text";
    case ReadingSource::keyed:
      return "keyed";
    case ReadingSource::large_print:
      return "large-print";
  }
  throw internal_error("a source of readings without a text");
}

std::string not_tested(const SetVerdict& verdict) {
  std::string text = "Not tested: that each object is the object its label names.";
  if (!verdict.unlabelled) {
    text += " How many pieces carry no label is not recorded.";
  } else if (*verdict.unlabelled > 0) {
    text += " " + std::to_string(*verdict.unlabelled) +
            (*verdict.unlabelled == 1 ? " piece carries no label and was not tested at all."
                                      : " pieces carry no label and were not tested at all.");
  }
  return text;
}

}  // namespace sherdmark
