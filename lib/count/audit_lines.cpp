// Results as they are scanned or typed.
#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/count/audit.h"
#include "sherdmark/count/inventory.h"
#include "sherdmark/verify/print_match.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_wrong_place = "wrong place";
constexpr std::string_view k_label_wrong = "label wrong";

bool has_class(const AuditRecord& audit, std::string_view name) {
  return std::ranges::find(audit.design.errors, name, &AuditErrorClass::name) != audit.design.errors.end();
}

// "wet, all of it" begins with the words "wet"; "wetness" does not. Case does not matter.
bool begins_with_words(std::string_view text, std::string_view words) {
  if (to_lower_ascii(text.substr(0, words.size())) != to_lower_ascii(words)) return false;
  return text.size() <= words.size() || std::string_view{" \t:,;"}.find(text[words.size()]) != std::string_view::npos;
}

class ResultReader {
 public:
  ResultReader(const AuditRecord& audit, const Ledger& ledger) : audit_(audit), ledger_(ledger) {}

  AuditLines run(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    for (const std::string& whole : split(text, '\n')) {
      ++number_;
      line_ = trim(whole);
      if (line_.empty() || line_.starts_with("# ")) continue;
      if (!is_valid_utf8(line_))
        bad("this is no text", "check that the file is plain text, one result a line");
      else
        take();
    }
    return std::move(lines_);
  }

 private:
  void bad(std::string what, std::string remedy) {
    lines_.problems.push_back({number_, printable(line_), std::move(what), std::move(remedy)});
  }

  void take() {
    if (to_lower_ascii(line_.substr(0, 6)) == "place ") {
      const auto place = place_named(ledger_, std::string{trim(line_.substr(6))});
      if (!place) return bad("the ledger knows no such place", "write it as the ledger has it, from the outside in");
      place_ = *place;
      return;
    }
    if (const LinkReading code = parse_code_text(line_); code.status == LinkStatus::ours && code.link)
      return take_scan(*code.link);
    // What was drawn, then the outcome: the longest beginning that names a draw.
    const AuditDraw* draw = nullptr;
    std::string_view rest;
    for (std::size_t at = line_.size();; --at) {
      if (at == line_.size() || line_[at] == ' ' || line_[at] == '\t') draw = named(trim(line_.substr(0, at)));
      if (draw != nullptr) {
        rest = trim(line_.substr(at));
        break;
      }
      if (at == 0) break;
    }
    if (draw == nullptr) return bad("this was not drawn", "write \"#\" and its number in the list, its id or its name");
    take_outcome(*draw, rest);
  }

  const AuditDraw* named(std::string_view name) const {
    if (name.empty()) return nullptr;
    const auto by = [&](auto&& holds) -> const AuditDraw* {
      const auto found = std::ranges::find_if(audit_.draws, holds);
      return found == audit_.draws.end() ? nullptr : &*found;
    };
    if (name.front() == '#')
      if (const auto rank = parse_integer(name.substr(1)))
        return by([&](const AuditDraw& draw) { return draw.rank == *rank; });
    std::string known = parse_identity(IdentityKind::bag, name).value_or("");
    if (audit_.design.unit == AuditUnitKind::box) known = box_named(ledger_, std::string{name}).value_or("");
    return by([&](const AuditDraw& draw) { return draw.subject == name || (!known.empty() && draw.subject == known); });
  }

  // People write "not inspected: the shelf is wet".
  static std::string_view remark_behind(std::string_view words, std::size_t outcome) {
    std::string_view remark = trim(words.substr(outcome));
    remark.remove_prefix(std::min(remark.find_first_not_of(" \t:,;"), remark.size()));
    return remark;
  }

  void take_outcome(const AuditDraw& draw, std::string_view words) {
    const std::string lower = to_lower_ascii(words);
    if (lower.empty() || lower == k_correct) return add(draw, std::string{k_correct}, {}, "seen by the auditor");
    if (lower.starts_with(k_not_inspected)) {
      const std::string_view reason = remark_behind(words, k_not_inspected.size());
      if (reason.empty()) return bad("no reason is given", "say why it was not inspected");
      return add(draw, std::string{k_not_inspected}, std::string{reason}, {});
    }
    std::string_view name = words;
    if (lower.starts_with("error ")) name = trim(words.substr(6));
    const AuditErrorClass* meant = nullptr;
    for (const AuditErrorClass& one : audit_.design.errors)
      if (begins_with_words(name, one.name) && (meant == nullptr || one.name.size() > meant->name.size())) meant = &one;
    if (meant != nullptr)
      return add(draw, meant->name, std::string{remark_behind(name, meant->name.size())}, "the auditor's finding");
    bad("this is no outcome of this audit", "write correct, not inspected with a reason, or a class of error");
  }

  // Right print and right place; anything else that a scan shows is an error of its class.
  void take_scan(const LinkCode& link) {
    if (link.collection_key != ledger_.collection_key())
      return bad("this is a label of another collection", "lay it aside; scan what stands in the list");
    if (link.role == LabelRole::shelf) {
      if (const auto place = place_named(ledger_, link.subject)) place_ = *place;
      return;
    }
    const AuditDraw* draw = named(link.subject);
    if (draw == nullptr) return bad("this was not drawn", "put it back; scan what stands in the list");
    const auto print = ledger_.find_print(link.serial);
    const bool live = print && print->subject == link.subject &&
                      (print->state == PrintState::printed || print->state == PrintState::applied);
    if (!live) return add_error(*draw, k_label_wrong, "its print is not valid any more");
    if (const std::string field = field_unlike_print(link, *print, ledger_); !field.empty())
      return add_error(*draw, k_label_wrong,
                       fmt::format("its {} is not the one that was printed under its serial", field));
    if (const auto bag = ledger_.find_bag(link.subject); bag && bag->lent)
      return add_error(*draw, k_wrong_place, "it is recorded as lent");
    if (!place_.empty() && !draw->place.empty() && !places_agree(place_, draw->place))
      return add_error(*draw, k_wrong_place, "found at " + place_);
    add(*draw, std::string{k_correct}, {}, place_.empty() ? "label scanned" : "label scanned at its place");
  }

  void add_error(const AuditDraw& draw, std::string_view name, std::string reason) {
    if (!has_class(audit_, name))
      return bad(fmt::format("this audit has no class \"{}\"", name), "write which class of error it is");
    add(draw, std::string{name}, std::move(reason), "label scanned");
  }

  void add(const AuditDraw& draw, std::string outcome, std::string reason, std::string evidence) {
    lines_.results.push_back({draw.rank, draw.subject, std::move(outcome), std::move(reason), std::move(evidence)});
  }

  const AuditRecord& audit_;
  const Ledger& ledger_;
  AuditLines lines_;
  std::size_t number_ = 0;
  std::string_view line_;
  std::string place_;
};

}  // namespace

AuditLines read_audit_lines(std::string_view text, const AuditRecord& audit, const Ledger& ledger) {
  return ResultReader{audit, ledger}.run(text);
}

std::optional<AuditResult> audit_result(const SetVerdict& verdict, const AuditRecord& audit) {
  if (!verdict.bag) return std::nullopt;
  const auto draw = std::ranges::find(audit.draws, *verdict.bag, &AuditDraw::subject);
  if (draw == audit.draws.end()) return std::nullopt;
  std::vector<std::string> codes;
  for (const Reason& reason : verdict.reasons)
    if (std::ranges::find(codes, reason.code) == codes.end()) codes.push_back(reason.code);
  AuditResult result{draw->rank, draw->subject, {}, join(codes, " "), std::string{to_text(verdict.evidence)}};
  switch (verdict.verdict) {
    case Verdict::agree:
      result.outcome = k_correct;
      break;
    case Verdict::misplaced:
      result.outcome = k_wrong_place;
      break;
    case Verdict::disagree:
    case Verdict::stale:
    case Verdict::unknown:
      result.outcome = k_label_wrong;
      break;
    default:
      return std::nullopt;
  }
  if (result.outcome != k_correct && !has_class(audit, result.outcome)) return std::nullopt;
  return result;
}

}  // namespace sherdmark
