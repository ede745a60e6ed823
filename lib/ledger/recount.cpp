#include "sherdmark/ledger/recount.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "ledger/core.h"
#include "ledger/custody_checks.h"
#include "ledger/item_rows.h"
#include "ledger/stale_labels.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr double k_scale_g = 0.1;
constexpr double k_scale_share = 0.01;
constexpr double k_heaviest_g = 1e6;

const BagContent& content_of(const BagRecord& bag, const std::string& item) {
  const auto content = std::ranges::find(bag.contents, item, &BagContent::item);
  if (content == bag.contents.end())
    throw usage_error(fmt::format("the bag {} does not hold {}", group_identity(bag.id), printable(item)),
                      "check the number");
  return *content;
}

void check_weight(const Recount& recount, const std::vector<std::string>& bags) {
  if (!(*recount.weight_g > 0 && *recount.weight_g <= k_heaviest_g))
    throw usage_error("this is no weight", "give the weight in grams, more than nothing");
  if (bags.size() > 1)
    throw usage_error(fmt::format("{} lies in {} bags, and its recorded weight is that of all of them",
                                  printable(recount.item), bags.size()),
                      "count its pieces here, or take the weight of all into the catalog");
}

void check_pieces(const Recount& recount, const BagContent& content, const std::optional<std::int64_t>& of_item) {
  if (!content.quantity)
    throw usage_error(
        fmt::format("how many pieces of {} are in bag {} is not recorded", printable(recount.item), recount.bag),
        "take a catalog in that gives the quantity first");
  if (*recount.pieces < 0) throw usage_error("a count cannot be less than nothing", "give the number of pieces");
  if (of_item && *of_item + *recount.pieces - *content.quantity < 1)
    throw usage_error(fmt::format("no piece of {} would be left", printable(recount.item)),
                      "give the item the status \"missing\" instead");
}

std::string payload_of(Database& db, const Recount& recount, const BagContent& content, const RecountResult& result,
                       const std::string& reason, bool weight_changes) {
  const std::optional<std::int64_t> quantity = recount.pieces ? recount.pieces : content.quantity;
  JsonWriter out;
  out.begin_object().key("bag").text(recount.bag).key("before").maybe(content.quantity);
  out.key("forget_plan").boolean(quantity && content.labelled > *quantity).key("item").text(recount.item);
  out.key("quantity").maybe(quantity).key("reason").text(reason).key("revised");
  write_label_names(out, carrier_labels_of(db, stale_when_counted(db, recount.bag, recount.item)));
  if (weight_changes)
    out.key("weight_before_g").maybe(result.weight_before_g).key("weight_g").decimal(*recount.weight_g);
  out.end_object();
  return out.take();
}

}  // namespace

bool same_weight(double recorded_g, double weighed_g) {
  return std::abs(recorded_g - weighed_g) <= std::max(k_scale_g, k_scale_share * recorded_g);
}

RecountResult recount_item(Ledger& ledger, const Actor& actor, const Recount& recount) {
  LedgerCore& core = core_of(ledger);
  if (!recount.pieces && !recount.weight_g)
    throw usage_error("neither a count nor a weight is given", "say how many pieces there are, or what they weigh");
  const BagRecord bag = need_bag(ledger, recount.bag);
  const BagContent& content = content_of(bag, recount.item);
  const StoredItem item = find_stored_item(core.db, recount.item).value();
  if (recount.pieces) check_pieces(recount, content, item.row.count);
  if (recount.weight_g) check_weight(recount, bags_holding(core.db, item.id));

  RecountResult result{content.quantity, item.row.weight_g, false, false};
  const bool pieces_change = recount.pieces && recount.pieces != content.quantity;
  result.weight_conserved = recount.weight_g && item.row.weight_g && same_weight(*item.row.weight_g, *recount.weight_g);
  const bool weight_changes = recount.weight_g && !result.weight_conserved;
  if (!pieces_change && !weight_changes) return result;
  std::string reason{trim(recount.reason)};
  const bool first_weight = weight_changes && !item.row.weight_g;
  if (reason.empty() && result.weight_conserved)
    reason = fmt::format("the weight is the same: {:.1f} g, recorded {:.1f} g", *recount.weight_g, *item.row.weight_g);
  if (reason.empty() && first_weight && !pieces_change) reason = "weighed for the first time";
  if (reason.empty())
    throw usage_error(
        weight_changes && !first_weight
            ? fmt::format("the weight is another: {:.1f} g, recorded {:.1f} g", *recount.weight_g, *item.row.weight_g)
            : "a recount needs a reason",
        "say why with --reason; a count alone needs none when the weight is the same");
  core.write(actor, weight_changes ? "weighed" : "recounted",
             payload_of(core.db, recount, content, result, reason, weight_changes));
  result.changed = true;
  return result;
}

}  // namespace sherdmark
