// A workroom beside its ledger: bags, pieces and papers as they lie there, whatever the ledger says of them. Acts are
// done to both, by the ledger's own functions and by hand; what the ledger refuses in words is not done by hand either.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "ledger/ledger_samples.h"
#include "sherdmark/base/random.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark::histories {

// One label that came out of the printer.
struct Paper {
  LabelRole role = LabelRole::bag;
  std::string subject;  // bag id; item number at the time for artifact labels
  std::string number;   // as printed
  std::string says;     // all that stands on it but its serial
  std::string code;     // text of its code; empty for artifact labels
  std::string serial;
  std::string run;
  int page = 1;
  bool confirmed = false;  // somebody told the ledger that it came out well
  bool given_up = false;   // void, spoiled, or printed again since
};

struct Piece {
  int item = 0;  // which of the workroom's items it belongs to in truth, whatever its number is
  std::optional<Paper> label;
};

struct Bag {
  std::optional<Paper> label;
  std::optional<Paper> tag;
  std::vector<Piece> pieces;
  bool lent = false;
  bool gone = false;  // emptied into another
};

class Workroom {
 public:
  // `shared`: all pieces of an item carry its number; otherwise each has one of its own.
  Workroom(bool shared, std::uint64_t seed);

  // One act, chosen at random. False: the ledger refused it.
  bool act(RandomSource& random);
  // Everything that is due is planned, printed, confirmed and put where it belongs.
  void label_everything(RandomSource& random);

  [[nodiscard]] Ledger& ledger() { return fresh_.ledger; }
  [[nodiscard]] const std::map<std::string, Bag>& bags() const { return bags_; }
  [[nodiscard]] const std::vector<Paper>& waste() const { return waste_; }  // taken off, torn, or never hung
  [[nodiscard]] const std::string& number_of(int item) const { return numbers_.at(static_cast<std::size_t>(item)); }
  // Where the ledger counts other pieces than lie there; empty: nowhere.
  [[nodiscard]] std::string miscounted() const;
  [[nodiscard]] bool restricted(int item) const { return restricted_.contains(item); }

 private:
  void change_catalog(RandomSource& random);
  void put_where_the_catalog_says(const std::string& number);
  void print_role(RandomSource& random);
  void confirm(RandomSource& random);
  void hang_and_glue(RandomSource& random);
  void print_again(RandomSource& random);
  void void_or_spoil(RandomSource& random);
  void revise(RandomSource& random);
  void move(RandomSource& random);
  void lend(RandomSource& random);
  void take_back(RandomSource& random);
  void split(RandomSource& random);
  void combine(RandomSource& random);
  void recount(RandomSource& random);
  void renumber(RandomSource& random);
  void restrict(RandomSource& random);

  void print(LabelRole role, const PrintRun& run);
  void hang(const Paper& paper);
  void glue(const std::string& bag_id, Bag& bag);
  void give_up(const std::function<bool(const Paper&)>& which);
  void for_each_paper(const std::function<void(Paper&)>& visit);
  [[nodiscard]] const std::string& any_bag(RandomSource& random) const;
  [[nodiscard]] int any_item_in(const Bag& bag, RandomSource& random) const;

  testing::FreshLedger fresh_;
  std::map<std::string, Bag> bags_;
  std::vector<std::string> numbers_;  // of the items, current
  std::set<int> restricted_;
  std::vector<Paper> tray_;  // printed, not hung or glued yet
  std::vector<Paper> waste_;
};

}  // namespace sherdmark::histories
