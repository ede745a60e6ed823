#include "ledger/intake_payload.h"

#include <algorithm>
#include <set>
#include <unordered_map>

#include "ledger/bag_finder.h"
#include "ledger/item_rows.h"
#include "ledger/json_text.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

// Texts by index, in order of first appearance. Rows of a catalog repeat what stood above, so the last is tried first.
class Index {
 public:
  // True when the key is new; `at()` then is its index.
  [[nodiscard]] bool add(std::string_view key) {
    if (any_ && key == last_key_) return false;
    last_key_ = key;
    any_ = true;
    const auto [entry, fresh] = indexes_.try_emplace(last_key_, static_cast<std::int64_t>(indexes_.size()));
    last_ = entry->second;
    return fresh;
  }
  [[nodiscard]] std::int64_t at() const { return last_; }

 private:
  std::unordered_map<std::string, std::int64_t> indexes_;
  std::string last_key_;
  std::int64_t last_ = 0;
  bool any_ = false;
};

struct AccessionLine {
  std::string name;
  std::string scheme;
  std::set<std::int64_t> sites;
};

using MaybeIndex = std::optional<std::int64_t>;

// A bag's mark and the accession or site it counts in; texts of the rows, which outlive the writer.
struct Mark {
  std::string_view scope;
  std::string_view mark;
  friend bool operator==(const Mark&, const Mark&) = default;
};

struct MarkHash {
  std::size_t operator()(const Mark& mark) const {
    const std::hash<std::string_view> hash;
    return hash(mark.mark) * 31 + hash(mark.scope);
  }
};

// New bags by their marks. Most catalogs count their bags up, so marks that follow all before them are kept in order
// and found by halving; only the others need a table.
class MarkedBags {
 public:
  explicit MarkedBags(std::size_t expected) { in_order_.reserve(expected); }

  // The bag of the mark, and whether it is new: then its number is for the caller to set.
  [[nodiscard]] std::pair<std::int64_t*, bool> find_or_add(const Mark& mark) {
    if (in_order_.empty() || follows(mark, in_order_.back().first)) {
      in_order_.emplace_back(mark, 0);
      return {&in_order_.back().second, true};
    }
    const auto found = std::ranges::lower_bound(
        in_order_, mark, [](const Mark& a, const Mark& b) { return follows(b, a); },
        &std::pair<Mark, std::int64_t>::first);
    if (found != in_order_.end() && found->first == mark) return {&found->second, false};
    const auto [other, is_new] = others_.try_emplace(mark);
    return {&other->second, is_new};
  }

 private:
  // Shorter before longer, then by bytes: B9 before B10.
  [[nodiscard]] static bool follows(const Mark& mark, const Mark& other) {
    if (mark.scope != other.scope) return other.scope < mark.scope;
    if (mark.mark.size() != other.mark.size()) return other.mark.size() < mark.mark.size();
    return other.mark < mark.mark;
  }

  std::vector<std::pair<Mark, std::int64_t>> in_order_;
  std::unordered_map<Mark, std::int64_t, MarkHash> others_;
};

class IntakeWriter {
 public:
  IntakeWriter(Database& db, const HouseStandard& standard, std::size_t rows)
      : db_(db), standard_(standard), finder_(db), marked_(rows) {
    for (JsonWriter* list : {&places_, &boxes_, &proveniences_, &lots_, &bags_, &sites_, &changed_})
      list->begin_array();
  }

  IntakePayload run(const std::string& station, std::span<const CatalogRow> rows, const IntakeDiff& diff,
                    const std::vector<std::string>& vanished, const std::string& source);

 private:
  struct RowLinks {
    MaybeIndex site, accession, place, box;
    std::int64_t provenience = 0;
    std::int64_t lot = 0;
    std::string_view lot_number{};  // good until the next row is linked
  };

  void find_sites_and_accessions(std::span<const CatalogRow> rows, const IntakeDiff& diff);
  void write_accessions(JsonWriter& out) const;

  [[nodiscard]] MaybeIndex site(std::string_view name);
  [[nodiscard]] MaybeIndex accession(const CatalogRow& row, MaybeIndex site_index);
  [[nodiscard]] MaybeIndex place(std::string_view path);
  [[nodiscard]] MaybeIndex box(std::string_view name, MaybeIndex place_index);
  [[nodiscard]] std::int64_t provenience(const CatalogRow& row);
  [[nodiscard]] const std::string& lot_number(const CatalogRow& row);
  [[nodiscard]] const RowLinks& link(const CatalogRow& row);
  void write_row(JsonWriter& out, const CatalogRow& row, const StoredItem* before);
  void write_former(JsonWriter& out, const CatalogRow& row);
  void write_shares(JsonWriter& out, const CatalogRow& row, const StoredItem* before, const RowLinks& links);
  void write_kept_shares(JsonWriter& out, const CatalogRow& row, const StoredItem& before);
  // Writes the reference to an existing bag or to a new one.
  void write_marked_bag(JsonWriter& out, const CatalogRow& row, const std::string& mark, const RowLinks& links);
  void write_marked_shares(JsonWriter& out, const CatalogRow& row, const RowLinks& links);
  void write_lot_bag(JsonWriter& out, const CatalogRow& row, const RowLinks& links);
  [[nodiscard]] std::int64_t new_bag(const CatalogRow& row, std::string_view mark, MaybeIndex lot,
                                     const RowLinks& links);
  [[nodiscard]] std::int64_t next_of(std::string_view sql, const std::string& station);

  Database& db_;
  const HouseStandard& standard_;
  BagFinder finder_;
  Index site_index_, accession_index_, place_index_, box_index_, provenience_index_, lot_index_;
  std::vector<AccessionLine> accession_lines_;
  MarkedBags marked_;
  std::unordered_map<std::string, std::int64_t> lot_bags_;
  JsonWriter places_, boxes_, proveniences_, lots_, bags_, sites_, changed_;
  std::int64_t bag_count_ = 0;
  const CatalogRow* row_above_ = nullptr;
  RowLinks links_;  // of that row
  std::string lot_above_;
  std::size_t lot_parts_ = 0;  // of the number above; 0 when its lot is not just one part shorter
  std::vector<std::string> without_bag_;
};

void write_index(JsonWriter& out, MaybeIndex index) { out.maybe(index); }

MaybeIndex IntakeWriter::site(std::string_view name) {
  if (name.empty()) return std::nullopt;
  if (site_index_.add(name)) sites_.text(name);
  return site_index_.at();
}

MaybeIndex IntakeWriter::accession(const CatalogRow& row, MaybeIndex site_index) {
  if (row.accession.empty()) return std::nullopt;
  if (accession_index_.add(row.accession)) accession_lines_.push_back({row.accession.str(), row.number.scheme(), {}});
  if (site_index) accession_lines_[static_cast<std::size_t>(accession_index_.at())].sites.insert(*site_index);
  return accession_index_.at();
}

// Parents first, so that a place's parent is always known before it.
MaybeIndex IntakeWriter::place(std::string_view path) {
  if (path.empty()) return std::nullopt;
  for (std::size_t slash = path.find('/'); slash != std::string::npos; slash = path.find('/', slash + 1))
    if (place_index_.add(path.substr(0, slash))) places_.text(path.substr(0, slash));
  if (place_index_.add(path)) places_.text(path);
  return place_index_.at();
}

MaybeIndex IntakeWriter::box(std::string_view name, MaybeIndex place_index) {
  if (name.empty()) return std::nullopt;
  if (box_index_.add(name)) {
    boxes_.begin_array().text(name);
    write_index(boxes_, place_index);
    boxes_.end_array();
  }
  return box_index_.at();
}

bool same_provenience(const CatalogRow& a, const CatalogRow& b) {
  return a.unit == b.unit && a.stratum == b.stratum && a.level == b.level && a.feature == b.feature &&
         a.depth_top_cm == b.depth_top_cm && a.depth_bottom_cm == b.depth_bottom_cm && a.date == b.date &&
         a.excavators == b.excavators;
}

std::int64_t IntakeWriter::provenience(const CatalogRow& row) {
  if (row_above_ != nullptr && same_provenience(*row_above_, row)) return provenience_index_.at();
  JsonWriter line;
  line.begin_array().text(row.unit).text(row.stratum).text(row.level).text(row.feature);
  line.maybe(row.depth_top_cm).maybe(row.depth_bottom_cm).text(row.date).text(row.excavators).end_array();
  if (provenience_index_.add(line.str())) proveniences_.raw(line.str());
  return provenience_index_.at();
}

// Whether `count` parts are all of `above` but its last, and `number` begins with them and goes on.
bool same_first_parts(const Number& number, const Number& above, std::size_t count) {
  if (above.part_count() != count + 1 || number.part_count() <= count) return false;
  for (std::size_t i = 0; i < count; ++i)
    if (number.part(i) != above.part(i)) return false;
  return true;
}

// Rows of one lot stand together: a number that differs only in its last part from the one above is of the same lot.
const std::string& IntakeWriter::lot_number(const CatalogRow& row) {
  if (row_above_ != nullptr && lot_parts_ > 0 && row_above_->number.scheme() == row.number.scheme() &&
      same_first_parts(row.number, row_above_->number, lot_parts_))
    return lot_above_;
  const auto lot = standard_.scheme(row.number.scheme()).up_to(row.number, NumberLevel::lot);
  lot_parts_ = lot && lot->part_count() + 1 == row.number.part_count() ? lot->part_count() : 0;
  lot_above_ = lot_of(row, standard_);
  return lot_above_;
}

// What is the same as in the row above is not looked up again.
const IntakeWriter::RowLinks& IntakeWriter::link(const CatalogRow& row) {
  RowLinks& links = links_;
  const CatalogRow* above = row_above_;
  if (above == nullptr || above->site != row.site || above->accession != row.accession) {
    links.site = site(row.site);
    links.accession = accession(row, links.site);
  }
  if (above == nullptr || above->place != row.place || above->box != row.box) {
    links.place = place(row.place);
    links.box = box(row.box, links.place);
  }
  links.provenience = provenience(row);
  links.lot_number = lot_number(row);
  if (lot_index_.add(links.lot_number)) {
    lots_.begin_array().text(links.lot_number).text(row.number.scheme());
    write_index(lots_, links.accession);
    write_index(lots_, links.site);
    lots_.integer(links.provenience).end_array();
  }
  links.lot = lot_index_.at();
  row_above_ = &row;
  return links;
}

void IntakeWriter::write_former(JsonWriter& out, const CatalogRow& row) {
  out.begin_array();
  for (const std::string& written : distinct(row.former_numbers)) {
    const auto parsed = standard_.parse_number(written);
    out.begin_array().text(written).text(parsed ? parsed->number.text() : std::string{}).end_array();
  }
  out.end_array();
}

void IntakeWriter::write_row(JsonWriter& out, const CatalogRow& row, const StoredItem* before) {
  const RowLinks& links = link(row);
  out.begin_array().text(row.number.text()).integer(links.lot).integer(links.provenience);
  write_index(out, links.accession);
  write_index(out, links.site);
  out.text(to_text(row.kind)).text(row.object).text(row.material).text(row.surface);
  out.maybe(row.count).maybe(row.weight_g).maybe(row.volume_ml).maybe(row.largest_mm).text(row.status);
  out.begin_array();
  for (const std::string& flag : row.flags) out.text(flag);
  out.end_array();
  write_former(out, row);
  out.text(row.field_number).text(row.assembly);
  write_index(out, links.place);
  write_index(out, links.box);
  out.text(row.remarks).begin_array();
  for (const auto& [header, value] : row.extra) out.begin_array().text(header).text(value).end_array();
  out.end_array();
  write_shares(out, row, before, links);
  out.end_array();
}

std::int64_t IntakeWriter::new_bag(const CatalogRow& row, std::string_view mark, MaybeIndex lot,
                                   const RowLinks& links) {
  bags_.begin_array().text(mark_scope(row)).text(mark);
  write_index(bags_, lot);
  write_index(bags_, links.place);
  write_index(bags_, links.box);
  bags_.end_array();
  return bag_count_++;
}

// `mark` is a text of the row.
void IntakeWriter::write_marked_bag(JsonWriter& out, const CatalogRow& row, const std::string& mark,
                                    const RowLinks& links) {
  const std::string_view scope = mark_scope(row);
  if (const auto existing = finder_.by_mark(scope, mark)) {
    out.text(*existing);
    return;
  }
  const auto [bag, is_new] = marked_.find_or_add({scope, mark});
  if (is_new) *bag = new_bag(row, mark, std::nullopt, links);
  out.integer(*bag);
}

void IntakeWriter::write_marked_shares(JsonWriter& out, const CatalogRow& row, const RowLinks& links) {
  if (row.bags.size() == 1) {  // most rows: nothing to complete but the quantity
    out.begin_array();
    write_marked_bag(out, row, row.bags.front().mark, links);
    out.maybe(row.bags.front().quantity ? row.bags.front().quantity : row.count).end_array();
    return;
  }
  for (const BagShare& share : completed_shares(row.bags, row.count)) {
    out.begin_array();
    write_marked_bag(out, row, std::ranges::find(row.bags, share.mark, &BagShare::mark)->mark, links);
    out.maybe(share.quantity).end_array();
  }
}

void IntakeWriter::write_lot_bag(JsonWriter& out, const CatalogRow& row, const RowLinks& links) {
  if (const auto bag = finder_.of_lot(links.lot_number)) {
    out.text(*bag);
    return;
  }
  const auto [entry, is_new] = lot_bags_.try_emplace(std::string{links.lot_number});
  if (is_new) entry->second = new_bag(row, "", links.lot, links);
  out.integer(entry->second);
}

// A row that names no bag leaves the item where it is; what the one bag holds follows the count.
void IntakeWriter::write_kept_shares(JsonWriter& out, const CatalogRow& row, const StoredItem& before) {
  struct Kept {
    std::string bag;
    std::optional<std::int64_t> quantity;
  };
  std::vector<Kept> kept;
  Statement shares = db_.prepare(
      "SELECT b.code, c.quantity FROM bag_contents c JOIN bags b ON b.id = c.bag WHERE c.item = ? ORDER BY b.id");
  shares.with(before.id);
  while (shares.step()) kept.push_back({shares.text(0), shares.maybe_integer(1)});
  if (kept.size() == 1 && kept.front().quantity == before.row.count) kept.front().quantity = row.count;
  for (const Kept& share : kept) out.begin_array().text(share.bag).maybe(share.quantity).end_array();
}

void IntakeWriter::write_shares(JsonWriter& out, const CatalogRow& row, const StoredItem* before,
                                const RowLinks& links) {
  out.begin_array();
  if (!row.bags.empty()) {
    write_marked_shares(out, row, links);
  } else if (before != nullptr) {
    write_kept_shares(out, row, *before);
  } else if (standard_.bagging == Bagging::by_column) {
    without_bag_.push_back(row.number.text());
  } else {
    out.begin_array();
    if (standard_.bagging == Bagging::one_bag_per_lot)
      write_lot_bag(out, row, links);
    else
      out.integer(new_bag(row, "", std::nullopt, links));
    out.maybe(row.count).end_array();
  }
  out.end_array();
}

std::int64_t IntakeWriter::next_of(std::string_view sql, const std::string& station) {
  return 1 + db_.find_integer(sql, station).value_or(0);
}

void write_changes(JsonWriter& out, const std::vector<FieldChange>& fields) {
  out.begin_array();
  for (const FieldChange& change : fields) {
    out.begin_array().text(change.field);
    if (!change.restricted) out.text(change.before).text(change.after);
    out.end_array();
  }
  out.end_array();
}

void write_list(JsonWriter& out, const std::vector<std::string>& texts) {
  out.begin_array();
  for (const std::string& text : texts) out.text(text);
  out.end_array();
}

void write_revised(JsonWriter& out, const std::vector<StaleLabel>& stale) {
  out.begin_array();
  for (const StaleLabel& label : stale)
    out.begin_array()
        .text(to_text(label.role))
        .text(label.role == LabelRole::artifact ? label.number : label.subject)
        .end_array();
  out.end_array();
}

// Accessions stand before the rows in the payload, so their sites are found first, in the order of the rows.
void IntakeWriter::find_sites_and_accessions(std::span<const CatalogRow> rows, const IntakeDiff& diff) {
  const CatalogRow* above = nullptr;
  const auto find = [&](const CatalogRow& row) {
    if (above == nullptr || above->site != row.site || above->accession != row.accession)
      (void)accession(row, site(row.site));
    above = &row;
  };
  for (const std::size_t index : diff.added) find(rows[index]);
  for (const RowChange& change : diff.changed) find(rows[change.index]);
}

void IntakeWriter::write_accessions(JsonWriter& out) const {
  out.begin_array();
  for (const AccessionLine& line : accession_lines_) {
    out.begin_array().text(line.name).text(line.scheme).begin_array();
    for (const std::int64_t index : line.sites) out.integer(index);
    out.end_array().end_array();
  }
  out.end_array();
}

IntakePayload IntakeWriter::run(const std::string& station, std::span<const CatalogRow> rows, const IntakeDiff& diff,
                                const std::vector<std::string>& vanished, const std::string& source) {
  constexpr std::size_t k_bytes_a_row = 160;
  constexpr std::size_t k_bytes_a_bag = 48;
  find_sites_and_accessions(rows, diff);
  JsonWriter out;
  out.reserve(diff.added.size() * (k_bytes_a_row + k_bytes_a_bag) + (std::size_t{1} << 16U));
  bags_.reserve(diff.added.size() * k_bytes_a_bag);
  out.begin_object().key("accessions");
  write_accessions(out);
  out.key("added").begin_array();
  for (const std::size_t index : diff.added) write_row(out, rows[index], nullptr);
  out.end_array();
  for (const RowChange& change : diff.changed) {
    const std::optional<StoredItem> before = find_stored_item(db_, change.number);
    changed_.begin_array();
    write_row(changed_, rows[change.index], before ? &*before : nullptr);
    write_changes(changed_, change.fields);
    changed_.end_array();
  }
  for (JsonWriter* list : {&places_, &boxes_, &proveniences_, &lots_, &bags_, &sites_, &changed_}) list->end_array();
  out.key("bags").raw(bags_.str()).key("boxes").raw(boxes_.str());
  out.key("changed").raw(changed_.str());
  out.key("first_bag").integer(next_of("SELECT bags FROM stations WHERE code = ?", station));
  out.key("first_box").integer(next_of("SELECT boxes FROM stations WHERE code = ?", station));
  out.key("first_place").integer(next_of("SELECT places FROM stations WHERE code = ?", station));
  out.key("lots").raw(lots_.str()).key("places").raw(places_.str());
  out.key("proveniences").raw(proveniences_.str()).key("revised");
  write_revised(out, diff.stale);
  out.key("sites").raw(sites_.str()).key("source").text(source).key("vanished");
  write_list(out, vanished);
  out.end_object();
  return {out.take(), static_cast<std::size_t>(bag_count_), std::move(without_bag_)};
}

}  // namespace

IntakePayload write_intake(Database& database, const HouseStandard& standard, const std::string& station,
                           std::span<const CatalogRow> rows, const IntakeDiff& diff,
                           const std::vector<std::string>& vanished, const std::string& source) {
  return IntakeWriter{database, standard, diff.added.size()}.run(station, rows, diff, vanished, source);
}

}  // namespace sherdmark
