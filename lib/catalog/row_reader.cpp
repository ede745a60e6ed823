#include "catalog/row_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <utility>

#include "catalog/cell_values.h"
#include "catalog/list_cells.h"
#include "catalog/unicode_text.h"
#include "sherdmark/base/nearness.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/edtf.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_put_right = "Nothing needs to be done; put the file right when you next open it.";
constexpr std::int64_t k_likely_pieces = 100'000;  // in one row; more are taken in, with a warning

std::size_t column_of(const std::vector<Column>& columns, Field field) {
  const auto found =
      std::find_if(columns.begin(), columns.end(), [field](const Column& column) { return column.field == field; });
  return static_cast<std::size_t>(found - columns.begin());
}

std::string letters_and_digits(std::string_view text) {
  std::string kept;
  for (const char c : to_lower_ascii(text))
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80) kept += c;
  return kept;
}

// Whether a flag that is not this one was probably meant for it: "sacred?", "not sacred", "human_remain".
bool is_nearly(std::string_view written, std::string_view flag) {
  constexpr std::size_t k_shortest = 4;  // shorter ones stand by chance in other words
  constexpr std::size_t k_letters_a_slip = 6;
  const std::string has = letters_and_digits(written);
  const std::string wanted = letters_and_digits(flag);
  if (wanted.size() < k_shortest) return has == wanted;
  return has.find(wanted) != std::string::npos ||
         letters_apart(has, wanted) <= std::max<std::size_t>(1, wanted.size() / k_letters_a_slip);
}

// Where a day-month or ISO date can only be damage: nobody numbers a level 2031-03-10.
bool never_a_date(Field field) {
  return field == Field::unit || field == Field::stratum || field == Field::level || field == Field::feature ||
         field == Field::bags || field == Field::box || field == Field::site;
}

// Where the text of a field stands; null for fields that are no text, and for columns without a field.
SharedText CatalogRow::*text_member(Field field) {
  switch (field) {
    case Field::accession:
      return &CatalogRow::accession;
    case Field::site:
      return &CatalogRow::site;
    case Field::object:
      return &CatalogRow::object;
    case Field::material:
      return &CatalogRow::material;
    case Field::surface:
      return &CatalogRow::surface;
    case Field::status:
      return &CatalogRow::status;
    case Field::field_number:
      return &CatalogRow::field_number;
    case Field::assembly:
      return &CatalogRow::assembly;
    case Field::unit:
      return &CatalogRow::unit;
    case Field::stratum:
      return &CatalogRow::stratum;
    case Field::level:
      return &CatalogRow::level;
    case Field::feature:
      return &CatalogRow::feature;
    case Field::date:
      return &CatalogRow::date;
    case Field::excavators:
      return &CatalogRow::excavators;
    case Field::place:
      return &CatalogRow::place;
    case Field::box:
      return &CatalogRow::box;
    case Field::remarks:
      return &CatalogRow::remarks;
    default:
      return nullptr;
  }
}

bool is_identifier(Field field) {
  return field == Field::accession || field == Field::site || field == Field::field_number ||
         field == Field::assembly || field == Field::unit || field == Field::stratum || field == Field::level ||
         field == Field::feature || field == Field::box;
}

}  // namespace

RowReader::RowReader(const Table& table, const HouseStandard& standard, const std::vector<Column>& columns,
                     std::vector<CatalogProblem>& problems)
    : table_(table),
      standard_(standard),
      columns_(columns),
      problems_(problems),
      accession_column_(column_of(columns, Field::accession)),
      above_(columns.size()) {}

void RowReader::report(Severity severity, std::string what, std::string remedy, std::string_view detail) {
  const bool restricted = place_.column != nullptr && place_.column->restricted;
  if (!restricted) what += detail;
  problems_.push_back({severity, table_.file, file_row_, place_.column == nullptr ? "" : place_.column->header,
                       restricted ? std::string{} : std::string{place_.value}, std::move(what), std::move(remedy)});
  if (severity == Severity::problem) outcome_.good = false;
}

void RowReader::problem(std::string what, std::string remedy, std::string_view detail) {
  report(Severity::problem, std::move(what), std::move(remedy), detail);
}

void RowReader::warn(std::string what, std::string remedy, std::string_view detail) {
  report(Severity::warning, std::move(what), std::move(remedy), detail);
}

void RowReader::set_place(Field field, std::size_t index) {
  const std::size_t at = column_of(columns_, field);
  place_ = at < columns_.size() ? Place{&columns_[at], table_.rows[index][at]} : Place{};
}

// The scheme that the house standard names for the row's accession; null when it names none.
const Scheme* RowReader::scheme_for(std::size_t index) {
  if (accession_column_ >= columns_.size()) return nullptr;
  const std::string_view accession = trim(table_.rows[index][accession_column_]);
  if (accession == known_accession_) return known_scheme_;
  known_accession_ = std::string{accession};
  const auto found = standard_.accession_scheme.find(known_accession_);
  known_scheme_ = found == standard_.accession_scheme.end() ? nullptr : &standard_.scheme(found->second);
  return known_scheme_;
}

RowReader::Outcome RowReader::read(std::size_t index, CatalogRow& row) {
  outcome_ = {};
  file_row_ = table_.row_numbers[index];
  row.row = file_row_;
  const TableRow cells = table_.rows[index];
  const Scheme* scheme = scheme_for(index);
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    const Column& column = columns_[i];
    const std::string_view cell = i < cells.size() ? trim(cells[i]) : std::string_view{};
    place_ = {&column, i < cells.size() ? std::string_view{cells[i]} : std::string_view{}};
    if (cell.empty()) {
      if (column.required)
        problem(fmt::format("The cell is empty, but every row needs {}.",
                            column.field == Field::number ? "a catalog number" : column.name),
                "Fill it in.");
      continue;
    }
    if (cell[0] == '#') {
      const std::string_view damage = general_damage(cell);
      if (!damage.empty()) {
        problem(std::string{damage}, "Open the original spreadsheet, put it right, and save the catalog again.");
        continue;
      }
    }
    if (SharedText CatalogRow::*const member = text_member(column.field); member != nullptr) {
      read_shared(i, cell, row.*member);
      continue;
    }
    if (column.field != Field::number) {
      read_cell(column, cell, row);
      continue;
    }
    NumberReading reading = read_number(cell, standard_, scheme);
    if (!reading.number) {
      problem(std::move(reading.problem), std::move(reading.remedy), reading.detail);
      continue;
    }
    if (!reading.corrections.empty())
      warn("The number was put right, because the scheme leaves no other reading.", std::string{k_put_right},
           fmt::format(" Read as \"{}\": {}.", reading.number->text(), join(reading.corrections, "; ")));
    row.number = std::move(*reading.number);
    outcome_.has_number = true;
    if (row.number.level() < NumberLevel::item)
      problem(fmt::format("The number names a whole {}, not an item.", to_text(row.number.level())),
              "Add the part that numbers the item.");
  }
  if (outcome_.has_number) check_whole_row(row);
  return outcome_;
}

void RowReader::read_shared(std::size_t column, std::string_view cell, SharedText& target) {
  Above& above = above_[column];
  if (cell != above.cell) {
    const std::size_t problems = problems_.size();
    above.text = read_text_of(columns_[column].field, cell);
    above.cell = problems_.size() == problems ? cell : std::string_view{};  // what was odd is told for each row
  }
  target = above.text;
}

std::string RowReader::read_text_of(Field field, std::string_view cell) {
  if (field == Field::date) return read_date_cell(cell);
  if (field == Field::place) return read_place(cell);
  return is_identifier(field) ? read_identifier(cell) : read_text(cell);
}

void RowReader::read_cell(const Column& column, std::string_view cell, CatalogRow& row) {
  switch (column.field) {
    case Field::kind:
      return read_kind(cell, row);
    case Field::flags:
      return read_list(cell, row.flags);
    case Field::former_numbers:
      return read_list(cell, row.former_numbers);
    case Field::bags:
      return read_bag_cell(cell, row);
    case Field::depth_range_cm:
      return read_depths(cell, row);
    case Field::extra: {
      std::string text = read_text(cell);
      if (!text.empty()) row.extra.emplace_back(column.name, std::move(text));
      return;
    }
    default:
      return read_numeric(cell, row);
  }
}

// NFC, without what hides. Reports what it finds.
std::string RowReader::clean(std::string_view cell, bool identifier) {
  std::string text = to_nfc(cell);
  const HiddenCharacters hidden = find_hidden(text);
  if (!hidden.direction.empty())
    problem("The cell holds characters that change the direction of text, so it does not read as it is stored.",
            "Type the cell again.", fmt::format(" They are {}.", join(hidden.direction, ", ")));
  if (!hidden.lost.empty())
    problem("Characters of the cell were destroyed, or it holds control characters.",
            "Type the cell again from the original.", fmt::format(" They are {}.", join(hidden.lost, ", ")));
  if (hidden.mis_decoded)
    warn("The cell looks like UTF-8 that was once opened as Windows-1252.",
         "Look at the accented letters, and save the original again as CSV UTF-8.");
  if (mixes_alphabets(text)) {
    const TypedText latin = as_typed(text, true);
    problem("Letters of two alphabets that look alike stand in one word.", "Type it again with one keyboard.",
            fmt::format(" {}.", join(latin.changes, "; ")));
  }
  if (!identifier) {
    if (!hidden.invisible.empty())
      warn("Invisible characters were removed.", std::string{k_put_right},
           fmt::format(" They were {}.", join(hidden.invisible, ", ")));
    return std::string{trim(without_invisible(text))};
  }
  TypedText typed = as_typed(text, false);
  if (!typed.changes.empty())
    warn("Characters of no keyboard were replaced.", std::string{k_put_right},
         fmt::format(" {}.", join(typed.changes, "; ")));
  return std::move(typed.text);
}

void RowReader::check_identifier_damage(std::string_view text) {
  if (text.find_first_of("-/+") == std::string_view::npos) return;
  const Damage damage = find_damage(text);
  if (damage.kind == Damage::Kind::none || damage.kind == Damage::Kind::day_number) return;
  const bool date = damage.kind == Damage::Kind::date;
  const bool iso = date && text.size() == 10 && text[4] == '-';
  const std::string what = date ? "A spreadsheet turned this into a date."
                                : "A spreadsheet took an E for a power of ten, or shortened a long number.";
  const std::string remedy = "Look it up, format the whole column as text, and type it again.";
  const std::string detail =
      damage.originals.empty() ? std::string{} : fmt::format(" It may have been \"{}\".", damage.originals.front());
  if ((iso || text.find('/') != std::string_view::npos) && !never_a_date(place_.column->field))
    warn("This looks like a date that a spreadsheet made.", "If it is right as it stands, leave it.", detail);
  else
    problem(what, remedy, detail);
}

std::string RowReader::read_identifier(std::string_view cell) {
  std::string text = is_plain_ascii(cell) ? std::string{cell} : clean(cell, true);
  check_identifier_damage(text);
  return text;
}

std::string RowReader::read_text(std::string_view cell) {
  return is_plain_ascii(cell) ? std::string{cell} : clean(cell, false);
}

// As the ledger keeps it: labels print "Room 2 / Shelf 3", and people type what they read.
std::string RowReader::read_place(std::string_view cell) {
  std::vector<std::string> parts = split(read_text(cell), '/');
  for (std::string& part : parts) part = std::string{trim(part)};
  if (std::ranges::find(parts, std::string{}) != parts.end())
    problem("This is not a place, for a part of it has no name.",
            "Name it from the outside in, as \"Room 2/Range A/Shelf 3\".");
  return join(parts, "/");
}

void RowReader::read_list(std::string_view cell, std::vector<std::string>& target) {
  const std::string text = is_plain_ascii(cell) ? std::string{cell} : clean(cell, false);
  target = split_list(text);
  if (place_.column->field == Field::former_numbers)
    for (const std::string& part : target) check_identifier_damage(part);
  if (place_.column->field == Field::flags)
    for (const std::string& part : target) check_care_flag(part);
}

// A care flag that is misspelt would let its object be labelled, drawn and photographed.
void RowReader::check_care_flag(std::string_view written) {
  const std::vector<std::string>& flags = standard_.care_flags;
  if (std::ranges::any_of(flags, [&](const std::string& flag) { return same_flag(written, flag); })) return;
  const auto meant = std::ranges::find_if(flags, [&](const std::string& flag) { return is_nearly(written, flag); });
  if (meant != flags.end())
    problem("This is nearly a care flag of the house standard, but not it, so the object would be labelled.",
            "Write the flag as the standard has it, with ; between two; what means something else, in other words.",
            fmt::format(" The flag is \"{}\".", *meant));
}

void RowReader::read_numeric(std::string_view cell, CatalogRow& row) {
  const Column& column = *place_.column;
  const std::string text = is_plain_ascii(cell) ? std::string{} : as_typed(to_nfc(cell), false).text;
  const std::string_view ascii = text.empty() ? cell : std::string_view{text};
  const auto take = [this](auto reading, auto& target) {
    if (!reading.problem.empty()) return problem(std::move(reading.problem), std::move(reading.remedy));
    if (!reading.warning.empty()) warn(std::move(reading.warning), std::string{k_put_right});
    target = reading.value;
  };
  switch (column.field) {
    case Field::count:
      take(read_count(ascii), row.count);
      if (row.count && *row.count > k_likely_pieces)
        warn(fmt::format("This is a count of more than {} pieces in one row.", k_likely_pieces),
             "See whether it is right.");
      return;
    case Field::weight_g:
      return take(read_quantity(ascii, column), row.weight_g);
    case Field::volume_ml:
      return take(read_quantity(ascii, column), row.volume_ml);
    case Field::largest_mm:
      return take(read_quantity(ascii, column), row.largest_mm);
    case Field::depth_top_cm:
      return take(read_quantity(ascii, column), row.depth_top_cm);
    default:
      return take(read_quantity(ascii, column), row.depth_bottom_cm);
  }
}

void RowReader::read_depths(std::string_view cell, CatalogRow& row) {
  const std::string text = is_plain_ascii(cell) ? std::string{cell} : as_typed(to_nfc(cell), false).text;
  const Damage damage = find_damage(text);
  if (damage.kind == Damage::Kind::date)
    return problem(
        "A spreadsheet turned the depths into a date.",
        "Look the depths up, format the whole column as text, and type them again.",
        damage.originals.empty() ? std::string{} : fmt::format(" They may have been {}.", damage.originals.front()));
  CellReading<DepthRange> reading = read_depth_range(text, *place_.column);
  if (!reading.value) return problem(std::move(reading.problem), std::move(reading.remedy));
  if (!reading.warning.empty()) warn(std::move(reading.warning), std::string{k_put_right});
  row.depth_top_cm = reading.value->top_cm;
  row.depth_bottom_cm = reading.value->bottom_cm;
}

std::string RowReader::read_date_cell(std::string_view cell) {
  const std::string text = is_plain_ascii(cell) ? std::string{} : as_typed(to_nfc(cell), false).text;
  DateReading reading = read_date(text.empty() ? cell : std::string_view{text}, standard_.date_order);
  if (!reading.problem.empty()) problem(std::move(reading.problem), std::move(reading.remedy));
  if (!reading.warning.empty()) warn(std::move(reading.warning), std::string{k_put_right});
  return std::move(reading.edtf);
}

void RowReader::read_kind(std::string_view cell, CatalogRow& row) {
  const std::string text = is_plain_ascii(cell) ? std::string{cell} : clean(cell, true);
  const auto kind = parse_item_kind(to_lower_ascii(text));
  if (!kind) return problem("This is no kind of item.", "Write artifact, bulk, sample, assembly or record.");
  row.kind = *kind;
}

void RowReader::read_bag_cell(std::string_view cell, CatalogRow& row) {
  const std::string text = is_plain_ascii(cell) ? std::string{cell} : clean(cell, true);
  BagList list = read_bags(text);
  if (!list.problem.empty()) return problem(std::move(list.problem), std::move(list.remedy));
  for (const BagShare& bag : list.bags) check_identifier_damage(bag.mark);
  row.bags = std::move(list.bags);
}

// A column that says the site or accession against the number that holds it: "16WC6" beside 16WC5/12.3.
void RowReader::check_prefix(CatalogRow& row, const Scheme& scheme, NumberLevel level, SharedText& column_text,
                             Field field) {
  const std::string_view prefix = prefix_of(row.number, scheme, level);
  if (prefix.empty() || column_text == prefix) return;
  if (column_text.empty()) {
    if (column_of(columns_, field) == columns_.size()) column_text = prefix;  // a blank cell stays blank
    return;
  }
  // The column's text with the rest of the number behind it: if that is a number, the column means the same kind of
  // thing as the number's own part, and both must be the same.
  const auto outcome = scheme.parse(column_text.str() + row.number.text().substr(prefix.size()));
  const auto* parsed = std::get_if<ParsedNumber>(&outcome);
  if (parsed == nullptr) return;
  if (prefix_of(parsed->number, scheme, level) == prefix) {
    column_text = prefix;
    return;
  }
  set_place(field,
            static_cast<std::size_t>(std::lower_bound(table_.row_numbers.begin(), table_.row_numbers.end(), file_row_) -
                                     table_.row_numbers.begin()));
  problem(fmt::format("The {} is not the one that the catalog number names.", to_text(level)),
          "Look at the object and the accession file, and put one of the two right.",
          fmt::format(" The number says {}.", prefix));
}

void RowReader::check_whole_row(CatalogRow& row) {
  const Scheme& scheme = standard_.scheme(row.number.scheme());
  check_prefix(row, scheme, NumberLevel::accession, row.accession, Field::accession);
  check_prefix(row, scheme, NumberLevel::site, row.site, Field::site);
  place_ = {};
  if (row.depth_top_cm && row.depth_bottom_cm && *row.depth_top_cm > *row.depth_bottom_cm)
    problem("The top of the depths lies below their bottom.",
            "Depths count downward from the surface or datum; exchange the two, or look them up.");
  const bool all_counted = !row.bags.empty() && std::all_of(row.bags.begin(), row.bags.end(), [](const BagShare& bag) {
    return bag.quantity.has_value();
  });
  if (!all_counted || !row.count) return;
  const std::int64_t bagged =
      std::accumulate(row.bags.begin(), row.bags.end(), std::int64_t{0},
                      [](std::int64_t sum, const BagShare& bag) { return sum + *bag.quantity; });
  if (bagged != *row.count)
    problem(fmt::format("The bags hold {} {} together, but the count is {}.", bagged, bagged == 1 ? "piece" : "pieces",
                        *row.count),
            "Count again, or put the bags right.");
}

}  // namespace sherdmark
