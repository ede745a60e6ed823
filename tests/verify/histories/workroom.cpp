#include "verify/histories/workroom.h"

#include <algorithm>
#include <iterator>

#include "ledger/carrier_requests.h"
#include "sherdmark/base/error.h"
#include "sherdmark/ledger/care.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/ledger/renumber.h"

namespace sherdmark::histories {
namespace {

constexpr int k_items = 9;
constexpr int k_items_of_a_lot = 3;
constexpr int k_bags = 5;
constexpr int k_labels_of_a_page = 4;

bool one_in(std::uint64_t n, RandomSource& random) { return random.below(n) == 0; }

template <class List>
auto& any_of(List& list, RandomSource& random) {
  return list[random.below(std::size(list))];
}

HouseStandard standard_of(bool shared) {
  std::string text = read_text(real_file_system(), testing::sample("standards/quillow_ferry.toml"));
  const std::string own = "numbering = \"sub-numbered\"\nreason = \"Sound";
  if (const std::size_t at = text.find(own); at == std::string::npos)
    throw internal_error("the sample standard has no rule for sound artifacts");
  else if (shared)
    text.replace(at, own.find('\n'), "numbering = \"shared\"");
  return parse_house_standard(text, "quillow_ferry");
}

}  // namespace

Workroom::Workroom(bool shared, std::uint64_t seed) : fresh_(standard_of(shared), seed) {
  SeededRandom random{seed};
  std::vector<CatalogRow> rows;
  for (int i = 0; i < k_items; ++i) {
    const std::string number = "16ZQ5/" + std::to_string(1 + i / k_items_of_a_lot) + "." + std::to_string(1 + i);
    const auto count = static_cast<std::int64_t>(1 + random.below(4));
    CatalogRow row = testing::row(fresh_.standard, number, "pottery", count);
    row.largest_mm = 60;
    const std::uint64_t bag = random.below(k_bags);
    row.bags.push_back({"B" + std::to_string(bag), count});
    if (shared && count > 1 && one_in(3, random)) {
      row.bags.front().quantity = 1;
      row.bags.push_back({"B" + std::to_string((bag + 1) % k_bags), count - 1});
    }
    rows.push_back(row);
    numbers_.push_back(row.number.text());
  }
  (void)testing::take_in(ledger(), fresh_.ana, rows);
  for (const BagRecord& record : ledger().bags())
    for (const BagContent& content : record.contents) {
      const auto item = std::ranges::find(numbers_, content.item) - numbers_.begin();
      bags_[record.id].pieces.insert(bags_[record.id].pieces.end(), static_cast<std::size_t>(content.quantity.value()),
                                     {static_cast<int>(item), {}});
    }
}

bool Workroom::act(RandomSource& random) {
  using Act = void (Workroom::*)(RandomSource&);
  static constexpr Act k_acts[] = {
      &Workroom::change_catalog, &Workroom::print_role,    &Workroom::print_role,    &Workroom::confirm,
      &Workroom::confirm,        &Workroom::hang_and_glue, &Workroom::hang_and_glue, &Workroom::print_again,
      &Workroom::void_or_spoil,  &Workroom::revise,        &Workroom::move,          &Workroom::lend,
      &Workroom::take_back,      &Workroom::take_back,     &Workroom::split,         &Workroom::combine,
      &Workroom::recount,        &Workroom::renumber,      &Workroom::restrict};
  try {
    (this->*any_of(k_acts, random))(random);
    return true;
  } catch (const Error& error) {
    if (error.family() != ErrorFamily::usage) throw;
    return false;
  }
}

void Workroom::label_everything(RandomSource& random) {
  for (const LabelRole role : {LabelRole::artifact, LabelRole::bag, LabelRole::tag}) {
    (void)ledger().store_plan(fresh_.ana, plan_labels(ledger()).labels);
    try {
      print(role, ledger().start_run(fresh_.ana, role));
    } catch (const Error& error) {
      if (error.family() != ErrorFamily::usage) throw;  // nothing is due
    }
  }
  std::set<std::string> runs;
  for (const Paper& paper : tray_) runs.insert(paper.run);
  for (const std::string& run : runs) {
    (void)ledger().confirm_printed(fresh_.ana, run, {});
    for_each_paper([&](Paper& paper) { paper.confirmed = paper.confirmed || paper.run == run; });
  }
  hang_and_glue(random);
}

void Workroom::change_catalog(RandomSource& random) {
  std::vector<CatalogRow> rows = ledger().catalog_rows();
  const CatalogRow chosen = any_of(rows, random);
  const std::string word = "as seen " + std::to_string(random.below(4));
  const std::uint64_t what = random.below(8);
  for (CatalogRow& row : rows) {
    const bool same_lot =
        row.unit == chosen.unit && row.number.text().substr(0, 8) == chosen.number.text().substr(0, 8);
    if (what == 0 && same_lot) row.level = word;
    if (what == 1 && same_lot) row.unit = word;
    if (what == 2 && row.box == chosen.box) row.box = word;
    if (row.number != chosen.number) continue;
    if (what == 3) row.object = word;
    if (what == 4) row.place = "Room " + std::to_string(random.below(3));
    if (what == 5) row.remarks = word;
    if (what == 6 && row.bags.size() == 1) row.bags.front().mark = "B" + std::to_string(random.below(k_bags + 1));
    if (what == 7 && row.count && row.bags.size() == 1) row.bags.front().quantity = ++*row.count;
  }
  (void)ledger().apply_intake(fresh_.ana, rows, ledger().diff_catalog(rows), {"finds.csv", false});
  if (what >= 6 && chosen.bags.size() == 1) put_where_the_catalog_says(chosen.number.text());
}

// The catalog is right: all pieces of the item go into its one bag, and one more is found or one is gone.
void Workroom::put_where_the_catalog_says(const std::string& number) {
  const int item = static_cast<int>(std::ranges::find(numbers_, number) - numbers_.begin());
  std::vector<Piece> pieces;
  for (auto& [id, bag] : bags_) {
    for (const Piece& piece : bag.pieces)
      if (piece.item == item) pieces.push_back(piece);
    std::erase_if(bag.pieces, [item](const Piece& piece) { return piece.item == item; });
  }
  const std::string home = ledger().bags_of_item(number).at(0);
  pieces.resize(static_cast<std::size_t>(ledger().find_item(number)->row.count.value()), Piece{item, {}});
  bags_[home].pieces.insert(bags_[home].pieces.end(), pieces.begin(), pieces.end());
  bags_[home].gone = false;
  for (auto& [id, bag] : bags_) {
    if (bag.gone || !bag.pieces.empty()) continue;
    for (const auto& paper : {bag.label, bag.tag})
      if (paper) waste_.push_back(*paper);
    bag = Bag{};
    bag.gone = true;
  }
}

void Workroom::print_role(RandomSource& random) {
  static constexpr LabelRole k_roles[] = {LabelRole::artifact, LabelRole::bag, LabelRole::tag};
  if (!one_in(4, random)) (void)ledger().store_plan(fresh_.ana, plan_labels(ledger()).labels);
  const LabelRole role = any_of(k_roles, random);
  print(role, ledger().start_run(fresh_.ana, role));
}

// Each print takes the place of all that were made of its label before, except where one number is due in copies.
void Workroom::print(LabelRole role, const PrintRun& run) {
  std::vector<int> pages;
  for (std::size_t i = 0; i < run.prints.size(); ++i) pages.push_back(1 + static_cast<int>(i) / k_labels_of_a_page);
  ledger().record_pages(fresh_.ana, run.id, pages, {"labels.pdf"});
  std::map<std::string, std::string> texts;
  for (const LabelRecord& label : ledger().labels(role)) texts[label.subject + "\n" + label.number] = label.text;
  for (std::size_t i = 0; i < run.prints.size(); ++i) {
    const PrintRecord& print = run.prints[i].print;
    if (role != LabelRole::artifact)
      give_up([&](const Paper& paper) { return paper.role == role && paper.subject == print.subject; });
    Paper paper;
    paper.role = role;
    paper.subject = print.subject;
    paper.number = print.number;
    paper.says = print.number + "\n" + texts.at(print.subject + "\n" + print.number);
    if (role != LabelRole::artifact) paper.code = carrier_code(ledger(), print);
    paper.serial = print.serial;
    paper.run = run.id;
    paper.page = pages[i];
    tray_.push_back(paper);
  }
}

void Workroom::confirm(RandomSource& random) {
  if (tray_.empty()) return;
  const Paper chosen = any_of(tray_, random);
  const bool page_only = one_in(2, random);
  (void)ledger().confirm_printed(fresh_.ana, chosen.run,
                                 page_only ? std::vector<int>{chosen.page} : std::vector<int>{});
  for_each_paper([&](Paper& paper) {
    if (paper.run == chosen.run && (!page_only || paper.page == chosen.page)) paper.confirmed = true;
  });
}

// Most people hang what was confirmed; some do not wait for that.
void Workroom::hang_and_glue(RandomSource& random) {
  const bool hasty = one_in(6, random);
  std::vector<Paper> later;
  for (const Paper& paper : tray_) {
    if (paper.role == LabelRole::artifact)
      later.push_back(paper);
    else if (paper.confirmed || hasty)
      hang(paper);
    else
      later.push_back(paper);
  }
  tray_ = std::move(later);
  for (auto& [id, bag] : bags_) glue(id, bag);
}

void Workroom::hang(const Paper& paper) {
  Bag& bag = bags_.at(paper.subject);
  std::optional<Paper>& place = paper.role == LabelRole::bag ? bag.label : bag.tag;
  if (bag.gone || paper.given_up) {
    waste_.push_back(paper);
    return;
  }
  if (place) waste_.push_back(*place);
  place = paper;
}

// Bag by bag: what the records say each number has is glued on pieces of that item that have no label, or another's.
void Workroom::glue(const std::string& bag_id, Bag& bag) {
  for (const ExpectedArtifact& expected : ledger().expected_artifacts(bag_id)) {
    std::int64_t wanted = expected.copies;
    for (const Piece& piece : bag.pieces) wanted -= piece.label && piece.label->number == expected.number ? 1 : 0;
    for (Piece& piece : bag.pieces) {
      const bool ours = number_of(piece.item) == expected.item;
      const bool keeps = piece.label && piece.label->subject == expected.item;
      if (wanted <= 0 || !ours || keeps) continue;
      const auto paper = std::ranges::find_if(tray_, [&](const Paper& one) {
        return one.role == LabelRole::artifact && one.number == expected.number && one.confirmed;
      });
      if (paper == tray_.end()) break;
      piece.label = *paper;
      tray_.erase(paper);
      --wanted;
    }
  }
}

void Workroom::print_again(RandomSource& random) {
  if (tray_.empty()) return;
  const Paper chosen = any_of(tray_, random);
  const PrintRun again = ledger().reprint(fresh_.ana, chosen.run, {chosen.page});
  print(chosen.role, again);
}

void Workroom::void_or_spoil(RandomSource& random) {
  std::vector<std::string> serials;
  for_each_paper([&](const Paper& paper) {
    if (paper.role != LabelRole::artifact) serials.push_back(paper.serial);
  });
  if (serials.empty()) return;
  const std::string serial = any_of(serials, random);
  if (one_in(2, random))
    ledger().void_prints(fresh_.ana, {serial}, "torn");
  else
    ledger().spoil_prints(fresh_.ana, {serial}, "smeared");
  give_up([&](const Paper& paper) { return paper.serial == serial; });
}

void Workroom::revise(RandomSource& random) {
  static constexpr LabelRole k_roles[] = {LabelRole::bag, LabelRole::tag};
  const LabelRole role = any_of(k_roles, random);
  const std::vector<LabelRecord> labels = ledger().labels(role);
  if (labels.empty()) return;
  const LabelRecord& label = any_of(labels, random);
  ledger().revise(fresh_.ana, role, label.subject, label.number, "smudged type");
  give_up([&](const Paper& paper) { return paper.role == role && paper.subject == label.subject; });
}

void Workroom::move(RandomSource& random) {
  ledger().move(fresh_.ana, {any_bag(random), "Room " + std::to_string(random.below(3)), one_in(2, random), ""});
}

void Workroom::lend(RandomSource& random) {
  const std::string& bag = any_bag(random);
  (void)ledger().lend(fresh_.ana, {bag}, "Borrower", "");
  bags_.at(bag).lent = true;
}

void Workroom::take_back(RandomSource& random) {
  const std::vector<LoanRecord> loans = ledger().loans();
  if (loans.empty()) return;
  const LoanRecord& loan = any_of(loans, random);
  if (loan.out.empty()) return;
  ledger().take_back(fresh_.ana, loan.id, loan.out);
  for (const std::string& bag : loan.out) bags_.at(bag).lent = false;
}

void Workroom::split(RandomSource& random) {
  const std::string from = any_bag(random);
  Bag& bag = bags_.at(from);
  if (bag.pieces.empty()) return;
  const int item = any_item_in(bag, random);
  const std::int64_t quantity = 1 + static_cast<std::int64_t>(random.below(2));
  const std::string made = ledger().split(fresh_.ana, from, number_of(item), quantity, "too full");
  for (std::int64_t taken = 0; taken < quantity; ++taken) {
    const auto piece = std::ranges::find(bag.pieces, item, &Piece::item);
    bags_[made].pieces.push_back(*piece);
    bag.pieces.erase(piece);
  }
}

void Workroom::combine(RandomSource& random) {
  const std::string from = any_bag(random);
  const std::string into = any_bag(random);
  ledger().combine(fresh_.ana, from, into, "one is enough");
  Bag& emptied = bags_.at(from);
  Bag& filled = bags_.at(into);
  filled.pieces.insert(filled.pieces.end(), emptied.pieces.begin(), emptied.pieces.end());
  for (const auto& paper : {emptied.label, emptied.tag})
    if (paper) waste_.push_back(*paper);
  emptied = Bag{};
  emptied.gone = true;
}

void Workroom::recount(RandomSource& random) {
  const std::string id = any_bag(random);
  Bag& bag = bags_.at(id);
  if (bag.pieces.empty()) return;
  const int item = any_item_in(bag, random);
  const std::int64_t before = std::ranges::count(bag.pieces, item, &Piece::item);
  const std::int64_t after = before + (one_in(2, random) ? 1 : -1);
  ledger().recount(fresh_.ana, id, number_of(item), after, "counted again");
  if (after > before)
    bag.pieces.push_back({item, {}});
  else
    bag.pieces.erase(std::ranges::find(bag.pieces, item, &Piece::item));
}

void Workroom::renumber(RandomSource& random) {
  const int item = static_cast<int>(random.below(numbers_.size()));
  const std::string to = "16ZQ5/" + std::to_string(1 + random.below(4)) + "." + std::to_string(20 + random.below(400));
  numbers_.at(static_cast<std::size_t>(item)) = renumber_item(ledger(), fresh_.ana, number_of(item), to, "wrong lot");
}

void Workroom::restrict(RandomSource& random) {
  if (!one_in(6, random)) return;
  const int item = static_cast<int>(random.below(numbers_.size()));
  (void)restrict_item(ledger(), fresh_.ana, number_of(item), "sacred", "consultation");
  restricted_.insert(item);
}

std::string Workroom::miscounted() const {
  for (const BagRecord& record : fresh_.ledger.bags()) {
    if (record.state == BagState::retired) continue;
    const auto there = bags_.find(record.id);
    if (there == bags_.end()) return record.id;
    std::int64_t pieces = 0;
    for (const BagContent& content : record.contents) {
      pieces += content.quantity.value();
      if (content.quantity != std::ranges::count_if(there->second.pieces, [&](const Piece& piece) {
            return number_of(piece.item) == content.item;
          }))
        return record.id + ", " + content.item;
    }
    if (pieces != std::ssize(there->second.pieces)) return record.id;
  }
  return {};
}

void Workroom::give_up(const std::function<bool(const Paper&)>& which) {
  for_each_paper([&](Paper& paper) { paper.given_up = paper.given_up || which(paper); });
}

void Workroom::for_each_paper(const std::function<void(Paper&)>& visit) {
  for (Paper& paper : tray_) visit(paper);
  for (Paper& paper : waste_) visit(paper);
  for (auto& [id, bag] : bags_) {
    if (bag.label) visit(*bag.label);
    if (bag.tag) visit(*bag.tag);
    for (Piece& piece : bag.pieces)
      if (piece.label) visit(*piece.label);
  }
}

const std::string& Workroom::any_bag(RandomSource& random) const {
  return std::next(bags_.begin(), static_cast<std::ptrdiff_t>(random.below(bags_.size())))->first;
}

int Workroom::any_item_in(const Bag& bag, RandomSource& random) const { return any_of(bag.pieces, random).item; }

}  // namespace sherdmark::histories
