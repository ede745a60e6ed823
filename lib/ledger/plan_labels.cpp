#include "sherdmark/ledger/plan_labels.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <unordered_map>

#include "ledger/carrier_fields.h"
#include "ledger/fit_check.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/check_character.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

// The labels of one number, bag by bag; bags without a copy are left out.
std::vector<PlannedCopies> spread(const std::vector<std::string>& bags, const std::vector<std::int64_t>& copies) {
  std::vector<PlannedCopies> result;
  for (std::size_t i = 0; i < bags.size(); ++i)
    if (copies[i] > 0) result.push_back({bags[i], copies[i]});
  return result;
}

// a … z, aa, ab … in the part's own alphabet, from its shortest form on; empty when they are used up.
std::string letters_of(const SchemePart& part, std::int64_t index) {
  const std::u32string alphabet = decode_utf8(part.alphabet).value_or(std::u32string{});
  const auto base = static_cast<std::int64_t>(alphabet.size());
  if (base == 0) return {};
  std::int64_t rest = index;
  std::int64_t forms = base;
  for (int length = 1; length < part.shortest; ++length, forms *= base) rest += forms;
  std::u32string letters;
  for (; rest > 0; rest = (rest - 1) / base)
    letters.insert(letters.begin(), alphabet[static_cast<std::size_t>((rest - 1) % base)]);
  return static_cast<int>(letters.size()) > part.longest ? std::string{} : encode_utf8(letters);
}

class Planner {
 public:
  explicit Planner(const Ledger& ledger) : ledger_(ledger), standard_(ledger.standard()), fits_(standard_) {
    for (const LabelRole role : {LabelRole::bag, LabelRole::tag})
      for (LabelRecord& label : ledger.labels(role))
        if (label.copies > 1) continued_.emplace(std::pair{role, label.subject}, std::move(label));
    for (BagRecord& bag : ledger.bags()) {
      const std::string id = bag.id;
      order_.push_back(id);
      bags_.emplace(id, std::move(bag));
    }
  }

  Plan plan() {
    for (ItemRecord& item : ledger_.items()) {
      plan_item(item);
      const std::string number = item.row.number.text();
      items_.emplace(number, std::move(item));
    }
    for (const std::string& id : order_) plan_bag(bags_.at(id));
    return std::move(plan_);
  }

 private:
  void plan_item(const ItemRecord& item) {
    RuleOutcome outcome = decide_label(standard_, rule_subject(item.row));
    const std::string& number = item.row.number.text();
    if (const std::int64_t asked = refuse_too_many(outcome); asked > 0)
      plan_.warnings.push_back(
          fmt::format("{} should get {} artifact labels, more than the {} that are made for one item: it gets a tag "
                      "only. Put its count right in the catalog, or take it in as bulk.",
                      number, asked, k_most_labels_of_an_item));
    fits_.check(item.row, outcome, plan_.fitted);
    plan_.labels.decisions.push_back({number, outcome.decision, outcome.rule, outcome.reason, outcome.caution});
    if (!outcome.caution.empty()) cautions_[number] = outcome.caution;
    if (outcome.decision != LabelDecision::direct || outcome.labels <= 0) return;
    const std::vector<std::string> bags = item.bags.empty() ? std::vector<std::string>{""} : item.bags;
    const std::vector<std::int64_t> copies = share_out(outcome.labels, quantities_of(number, bags));
    if (outcome.numbering == Numbering::sub_numbered && plan_pieces(item.row.number, bags, copies)) return;
    plan_.labels.artifacts.push_back({number, number, artifact_text(standard_, item.row.number), spread(bags, copies)});
  }

  // Pieces are numbered through the bags in order. False (and a warning) when the scheme cannot number so many.
  bool plan_pieces(const Number& item, const std::vector<std::string>& bags, const std::vector<std::int64_t>& copies) {
    const Scheme& scheme = standard_.scheme(item.scheme());
    const std::int64_t all = std::accumulate(copies.begin(), copies.end(), std::int64_t{0});
    if (!piece_number(scheme, item, all)) {
      plan_.warnings.push_back(fmt::format(
          "{} should have {} pieces with numbers of their own, but scheme \"{}\" cannot number them; they share its "
          "number.",
          item.text(), all, scheme.name()));
      return false;
    }
    std::int64_t index = 0;
    for (std::size_t b = 0; b < bags.size(); ++b) {
      for (std::int64_t i = 0; i < copies[b]; ++i) {
        const Number piece = piece_number(scheme, item, ++index).value();
        plan_.labels.artifacts.push_back({item.text(), piece.text(), artifact_text(standard_, piece), {{bags[b], 1}}});
      }
    }
    return true;
  }

  std::vector<std::int64_t> quantities_of(const std::string& item, const std::vector<std::string>& bags) const {
    std::vector<std::int64_t> quantities;
    for (const std::string& id : bags) {
      std::int64_t quantity = -1;
      if (const auto bag = bags_.find(id); bag != bags_.end())
        for (const BagContent& content : bag->second.contents)
          if (content.item == item) quantity = content.quantity.value_or(-1);
      quantities.push_back(quantity);
    }
    return quantities;
  }

  void plan_bag(const BagRecord& bag) {
    if (bag.state != BagState::active || bag.contents.empty()) return;
    std::vector<BagLine> contents;
    bool withheld = false;
    for (const BagContent& content : bag.contents) {
      const ItemRecord& item = items_.at(content.item);
      const auto caution = cautions_.find(content.item);
      contents.push_back({&item, content.quantity, caution == cautions_.end() ? std::string{} : caution->second});
      withheld = withheld || has_care_flag(standard_, item.row.flags);
    }
    if (withheld) {
      plan_.withheld.push_back(bag.id);
      return;
    }
    for (const LabelRole role : {LabelRole::bag, LabelRole::tag}) {
      const CarrierDesign& design = role == LabelRole::bag ? standard_.bag : standard_.tag;
      std::string text = write_carrier_text(carrier_fields(standard_, design, bag, contents));
      const int sheets = sheets_of(role, bag.id, text);
      plan_.labels.carriers.push_back(
          {role, bag.id, carrier_number(standard_, bag, contents), std::move(text), sheets});
    }
  }

  // As the last run of labels found: a text that stays the same needs as many sheets as before.
  int sheets_of(LabelRole role, const std::string& bag, const std::string& text) const {
    const auto label = continued_.find({role, bag});
    return label != continued_.end() && label->second.text == text ? static_cast<int>(label->second.copies) : 1;
  }

  const Ledger& ledger_;
  const HouseStandard& standard_;
  FitCheck fits_;
  std::vector<std::string> order_;
  std::unordered_map<std::string, BagRecord> bags_;
  std::unordered_map<std::string, ItemRecord> items_;
  std::unordered_map<std::string, std::string> cautions_;
  std::map<std::pair<LabelRole, std::string>, LabelRecord> continued_;  // labels of several sheets
  Plan plan_;
};

}  // namespace

RuleSubject rule_subject(const CatalogRow& row) {
  return {.kind = row.kind,
          .material = row.material.str(),
          .object = row.object.str(),
          .surface = row.surface.str(),
          .largest_mm = row.largest_mm,
          .flags = row.flags,
          .count = row.count};
}

Plan plan_labels(const Ledger& ledger) { return Planner{ledger}.plan(); }

bool is_withheld(const Ledger& ledger, const std::string& bag) {
  const auto record = ledger.find_bag(bag);
  if (!record) return false;
  return std::any_of(record->contents.begin(), record->contents.end(), [&](const BagContent& content) {
    const auto item = ledger.find_item(content.item);
    return item && has_care_flag(ledger.standard(), item->row.flags);
  });
}

std::vector<std::int64_t> share_out(std::int64_t labels, const std::vector<std::int64_t>& quantities) {
  std::vector<std::int64_t> shares(quantities.size(), 0);
  std::vector<std::size_t> unknown;
  std::int64_t known = 0;
  for (std::size_t i = 0; i < quantities.size(); ++i) {
    if (quantities[i] < 0) unknown.push_back(i);
    known += std::max<std::int64_t>(quantities[i], 0);
  }
  const std::int64_t for_known = std::clamp<std::int64_t>(labels, 0, known);
  std::vector<std::pair<std::int64_t, std::size_t>> remainders;  // negated: a plain sort puts the largest first
  std::int64_t given = 0;
  for (std::size_t i = 0; i < quantities.size(); ++i) {
    if (quantities[i] <= 0) continue;
    shares[i] = for_known * quantities[i] / known;
    given += shares[i];
    remainders.emplace_back(-(for_known * quantities[i] % known), i);
  }
  std::sort(remainders.begin(), remainders.end());
  for (std::size_t r = 0; given < for_known; ++r, ++given) ++shares[remainders[r].second];
  std::int64_t rest = std::max<std::int64_t>(labels - for_known, 0);
  for (std::size_t u = 0; u < unknown.size(); ++u) {
    const auto bags_left = static_cast<std::int64_t>(unknown.size() - u);
    shares[unknown[u]] = (rest + bags_left - 1) / bags_left;
    rest -= shares[unknown[u]];
  }
  return shares;
}

std::optional<Number> piece_number(const Scheme& scheme, const Number& item, std::int64_t index) {
  const std::size_t place = item.part_count();
  if (index < 1 || place >= scheme.parts().size() || scheme.parts()[place].level != NumberLevel::piece)
    return std::nullopt;
  const SchemePart& part = scheme.parts()[place];
  std::string text;
  switch (part.kind) {
    case PartKind::integer:
    case PartKind::year:
      if (index > part.largest - part.smallest + 1) return std::nullopt;
      text = fmt::format("{:0{}}", part.smallest + index - 1, std::max(part.pad_to_digits, 1));
      break;
    case PartKind::letters:
      text = letters_of(part, index);
      if (text.empty()) return std::nullopt;
      break;
    case PartKind::one_of:
      if (index > static_cast<std::int64_t>(part.choices.size())) return std::nullopt;
      text = part.choices[static_cast<std::size_t>(index - 1)];
      break;
    default:
      return std::nullopt;
  }
  std::vector<std::string> parts = item.parts();
  parts.push_back(text);
  return scheme.format(parts);
}

std::string artifact_text(const HouseStandard& standard, const Number& number) {
  if (!standard.artifact.check_character) return number.text();
  return printed_text(number, mod_37_36_check(check_character_data(number)));
}

}  // namespace sherdmark
