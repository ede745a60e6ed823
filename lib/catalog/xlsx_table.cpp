#include "catalog/xlsx_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstdint>
#include <map>
#include <optional>
#include <string_view>
#include <utility>

#include "catalog/number_format.h"
#include "catalog/xml_stream.h"
#include "catalog/zip_archive.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

struct Sheet {
  std::string name;
  std::string relation;
  std::string part;
  bool hidden = false;
};

bool is_true(std::string_view text) { return text == "1" || text == "true" || text == "on"; }

std::size_t to_size(std::string_view text) {
  std::size_t value = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
  return problem == std::errc{} && end == text.data() + text.size() ? value : 0;
}

// Column of a reference such as "AB12", from 1; 0 if there is none.
std::size_t column_of(std::string_view reference) {
  std::size_t column = 0;
  for (const char c : reference.substr(0, 4)) {
    if (c < 'A' || c > 'Z') break;
    column = column * 26 + static_cast<std::size_t>(c - 'A' + 1);
  }
  return column;
}

// Characters XML cannot hold are written _xHHHH_ (ECMA-376 part 1, 22.9.2.19).
std::string unescape(std::string text) {
  std::size_t at = 0;
  while ((at = text.find("_x", at)) != std::string::npos) {
    unsigned code = 0;
    if (at + 7 > text.size() || text[at + 6] != '_') {
      at += 2;
      continue;
    }
    const auto [end, problem] = std::from_chars(&text[at + 2], &text[at + 6], code, 16);
    if (problem == std::errc{} && end == &text[at + 6] && code < 0x80) text.replace(at, 7, 1, static_cast<char>(code));
    ++at;
  }
  return text;
}

class Workbook {
 public:
  Workbook(std::span<const std::byte> bytes, const std::string& file_name, const TableLimits& limits)
      : zip_(bytes, file_name), file_name_(file_name), limits_(limits) {
    if (!zip_.has("xl/workbook.xml")) throw not_xlsx();
    read_sheets();
    read_relations();
    read_styles();
    read_shared_strings();
  }

  [[nodiscard]] const std::vector<Sheet>& sheets() const { return sheets_; }
  [[nodiscard]] XlsxTable read(const Sheet& sheet);

 private:
  friend class SheetReader;

  [[nodiscard]] Error not_xlsx() {
    const bool open_document = zip_.has("content.xml");
    return data_error(
        open_document ? "This is an OpenDocument spreadsheet (.ods)." : "This zip file is not an .xlsx workbook.",
        {.file = file_name_}, "Save the catalog as .xlsx or as CSV in UTF-8.");
  }

  bool parse(const std::string& part, XmlHandler handler) {
    XmlStream stream{std::move(handler), part, file_name_};
    const bool found = zip_.read(part, [&stream](std::string_view bytes) { stream.feed(bytes); });
    if (found) stream.finish();
    return found;
  }

  void read_sheets() {
    parse("xl/workbook.xml",
          {.open =
               [this](std::string_view name, const XmlAttributes& attributes) {
                 if (name == "workbookPr") starts_1904_ = is_true(attributes.get("date1904"));
                 if (name != "sheet" || sheets_.size() >= limits_.columns) return;
                 sheets_.push_back({std::string{attributes.get("name")},
                                    std::string{attributes.get("id")},
                                    {},
                                    !attributes.get("state").empty() && attributes.get("state") != "visible"});
               },
           .close = {},
           .text = {}});
  }

  void read_relations() {
    parse("xl/_rels/workbook.xml.rels", {.open =
                                             [this](std::string_view name, const XmlAttributes& attributes) {
                                               if (name != "Relationship") return;
                                               const std::string_view target = attributes.get("Target");
                                               for (Sheet& sheet : sheets_) {
                                                 if (sheet.relation != attributes.get("Id")) continue;
                                                 sheet.part = target.substr(0, 1) == "/" ? std::string{target.substr(1)}
                                                                                         : "xl/" + std::string{target};
                                               }
                                             },
                                         .close = {},
                                         .text = {}});
  }

  void read_styles() {
    bool in_cell_formats = false;
    std::map<int, std::string> own;
    std::vector<int> ids;
    parse("xl/styles.xml", {.open =
                                [&](std::string_view name, const XmlAttributes& attributes) {
                                  const auto id = static_cast<int>(to_size(attributes.get("numFmtId")) % 100'000);
                                  if (name == "cellXfs") in_cell_formats = true;
                                  if (name == "numFmt" && own.size() < 10'000) own[id] = attributes.get("formatCode");
                                  if (name == "xf" && in_cell_formats && ids.size() < 100'000) ids.push_back(id);
                                },
                            .close =
                                [&](std::string_view name) {
                                  if (name == "cellXfs") in_cell_formats = false;
                                },
                            .text = {}});
    for (const int id : ids) {
      const auto found = own.find(id);
      formats_.push_back(found == own.end() ? std::string{builtin_format(id)} : found->second);
    }
  }

  void read_shared_strings() {
    std::string text;
    bool in_text = false;
    bool in_phonetic = false;
    parse("xl/sharedStrings.xml", {.open =
                                       [&](std::string_view name, const XmlAttributes&) {
                                         if (name == "si") text.clear();
                                         if (name == "rPh") in_phonetic = true;
                                         if (name == "t") in_text = !in_phonetic;
                                       },
                                   .close =
                                       [&](std::string_view name) {
                                         if (name == "t") in_text = false;
                                         if (name == "rPh") in_phonetic = false;
                                         if (name != "si") return;
                                         if (strings_.size() >= limits_.cells) throw too_large();
                                         strings_.push_back(unescape(text));
                                       },
                                   .text =
                                       [&](std::string_view piece) {
                                         if (in_text) text += piece;
                                       }});
  }

  [[nodiscard]] Error too_large() const {
    return data_error(fmt::format("The workbook holds more than {} cells, {} columns or {} MB of text.", limits_.cells,
                                  limits_.columns, limits_.text_bytes >> 20U),
                      {.file = file_name_}, "Delete what is not the catalog, or split it into several files.");
  }

  ZipArchive zip_;
  const std::string& file_name_;
  TableLimits limits_;
  bool starts_1904_ = false;
  std::vector<Sheet> sheets_;
  std::vector<std::string> formats_;  // by cell style
  std::vector<std::string> strings_;
};

// Takes the elements of one worksheet and builds its records.
class SheetReader {
 public:
  SheetReader(const Workbook& workbook, XlsxTable& table) : workbook_(workbook), table_(table) {}

  void open(std::string_view name, const XmlAttributes& attributes) {
    if (name == "row") return open_row(attributes);
    if (name == "c") return open_cell(attributes);
    if (name == "v" || (name == "t" && !in_phonetic_)) in_value_ = in_cell_;
    if (name == "rPh") in_phonetic_ = true;
    if (name == "f") has_formula_ = in_cell_;
    if (name == "col" && is_true(attributes.get("hidden"))) hidden_columns_ = true;
    if (name == "mergeCell") ++merged_;
  }

  void close(std::string_view name) {
    if (name == "v" || name == "t") in_value_ = false;
    if (name == "rPh") in_phonetic_ = false;
    if (name == "c") close_cell();
    if (name == "row") close_row();
  }

  void text(std::string_view piece) {
    if (in_value_) value_ += piece;
  }

  void finish() {
    if (hidden_rows_ > 0)
      table_.warnings.push_back(fmt::format("{} hidden rows of the sheet were read like all others.", hidden_rows_));
    if (hidden_columns_) table_.warnings.emplace_back("Hidden columns of the sheet were read like all others.");
    if (merged_ > 0)
      table_.warnings.push_back(
          fmt::format("Merged cells in {} place{}: the value stands in the first cell of each, the others are empty.",
                      merged_, merged_ == 1 ? "" : "s"));
  }

 private:
  void open_row(const XmlAttributes& attributes) {
    const std::size_t given = to_size(attributes.get("r"));
    row_ = given > row_ ? given : row_ + 1;
    record_.clear();
    oddities_.clear();
    hidden_ = is_true(attributes.get("hidden"));
    column_ = 0;
  }

  void open_cell(const XmlAttributes& attributes) {
    const std::size_t given = column_of(attributes.get("r"));
    column_ = given > column_ ? given : column_ + 1;
    if (column_ > workbook_.limits_.columns) {
      if (column_ > 16'384) throw workbook_.too_large();
    }
    type_ = attributes.get("t");
    style_ = to_size(attributes.get("s"));
    value_.clear();
    in_cell_ = true;
    has_formula_ = false;
  }

  void close_cell() {
    in_cell_ = false;
    std::string shown = show();
    if (shown.empty() && !has_formula_) return;
    if (column_ > workbook_.limits_.columns) throw workbook_.too_large();
    if (has_formula_ && shown.empty() && type_ != "str")
      oddities_.push_back({table_.table.records.size(), column_, Oddity::formula_without_result});
    if (shown.size() > workbook_.limits_.cell_bytes)
      oddities_.push_back({table_.table.records.size(), column_, Oddity::oversize});
    if (record_.size() < column_) {
      cells_ += column_ - record_.size();
      record_.resize(column_);
    }
    bytes_ += shown.size();
    if (cells_ > workbook_.limits_.cells || bytes_ > workbook_.limits_.text_bytes) throw workbook_.too_large();
    record_[column_ - 1] = std::move(shown);
  }

  void close_row() {
    const auto blank = [](const std::string& cell) { return trim(cell).empty(); };
    if (std::all_of(record_.begin(), record_.end(), blank) && oddities_.empty()) return;
    if (hidden_) ++hidden_rows_;
    RawTable& table = table_.table;
    if (table.records.size() >= workbook_.limits_.rows) throw workbook_.too_large();
    table.records.push_back(
        {static_cast<std::uint32_t>(table.cells.size()), static_cast<std::uint32_t>(record_.size())});
    table.row_numbers.push_back(row_);
    for (const std::string& cell : record_) {
      table.cells.push_back({static_cast<std::uint32_t>(table.text.size()), static_cast<std::uint32_t>(cell.size())});
      table.text += cell;
    }
    table.oddities.insert(table.oddities.end(), oddities_.begin(), oddities_.end());
    record_.clear();
    oddities_.clear();
  }

  // The text a person sees in the cell.
  [[nodiscard]] std::string show() const {
    if (type_ == "s") {
      const std::size_t index = to_size(trim(value_));
      if (trim(value_).empty()) return {};
      if (index >= workbook_.strings_.size() || (index == 0 && trim(value_) != "0"))
        throw data_error("A cell refers to a text that the workbook does not hold.",
                         {.file = workbook_.file_name_, .row = row_, .column = column_},
                         "Open it in a spreadsheet program and save it again.");
      return workbook_.strings_[index];
    }
    if (type_ == "b") return value_.empty() ? std::string{} : is_true(trim(value_)) ? "TRUE" : "FALSE";
    if (type_ == "inlineStr" || type_ == "str") return unescape(value_);
    if (type_ == "e") return std::string{trim(value_)};
    if (type_ == "d") return show_iso_date();
    return show_value();
  }

  [[nodiscard]] std::string show_iso_date() const {
    std::string text{trim(value_)};
    if (text.size() >= 19 && text[10] == 'T') text = text.substr(11, 8) == "00:00:00" ? text.substr(0, 10) : text;
    return text;
  }

  [[nodiscard]] std::string show_value() const {
    const std::string_view text = trim(value_);
    double value = 0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (text.empty() || problem != std::errc{} || end != text.data() + text.size()) return std::string{text};
    const bool known = style_ < workbook_.formats_.size();
    return show_number(value, known ? std::string_view{workbook_.formats_[style_]} : "General", workbook_.starts_1904_);
  }

  const Workbook& workbook_;
  XlsxTable& table_;
  std::vector<std::string> record_{};  // the row that is being read
  std::vector<RawOddity> oddities_{};
  std::string value_{};
  std::string type_{};
  std::size_t style_ = 0;
  std::size_t row_ = 0;
  std::size_t column_ = 0;
  std::size_t cells_ = 0;
  std::size_t bytes_ = 0;
  std::size_t hidden_rows_ = 0;
  std::size_t merged_ = 0;
  bool hidden_ = false;
  bool hidden_columns_ = false;
  bool in_cell_ = false;
  bool in_value_ = false;
  bool in_phonetic_ = false;
  bool has_formula_ = false;
};

XlsxTable Workbook::read(const Sheet& sheet) {
  XlsxTable table{.sheet = sheet.name, .table = {}, .warnings = {}};
  SheetReader reader{*this, table};
  const bool found =
      parse(sheet.part, {.open = [&reader](std::string_view name, const XmlAttributes& a) { reader.open(name, a); },
                         .close = [&reader](std::string_view name) { reader.close(name); },
                         .text = [&reader](std::string_view piece) { reader.text(piece); }});
  if (!found)
    throw data_error(fmt::format("The workbook lists a sheet \"{}\" that it does not hold.", printable(sheet.name)),
                     {.file = file_name_}, "Open it in a spreadsheet program and save it again.");
  reader.finish();
  return table;
}

std::size_t filled_cells(const std::vector<std::string>& record) {
  return static_cast<std::size_t>(
      std::count_if(record.begin(), record.end(), [](const std::string& cell) { return !trim(cell).empty(); }));
}

}  // namespace

bool looks_like_zip(std::span<const std::byte> bytes) {
  return bytes.size() >= 4 && bytes[0] == std::byte{'P'} && bytes[1] == std::byte{'K'} &&
         (bytes[2] == std::byte{3} || bytes[2] == std::byte{5});
}

XlsxTable read_xlsx(std::span<const std::byte> bytes, const std::string& file_name,
                    const std::function<bool(const std::vector<std::string>&)>& is_header, const TableLimits& limits) {
  Workbook workbook{bytes, file_name, limits};
  std::optional<XlsxTable> chosen;
  int chosen_rank = 0;
  for (const Sheet& sheet : workbook.sheets()) {
    XlsxTable table = workbook.read(sheet);
    if (table.table.records.empty()) continue;
    const std::vector<std::string> first = table.table.record(0).texts();
    const int rank = is_header(first) ? 3 : filled_cells(first) > 1 ? 2 : 1;
    if (rank <= chosen_rank) continue;
    if (sheet.hidden) table.warnings.emplace_back("The sheet that was read is hidden in the workbook.");
    chosen = std::move(table);
    chosen_rank = rank;
    if (rank == 3) break;
  }
  if (!chosen)
    throw data_error("The workbook holds no table: all its sheets are empty.", {.file = file_name},
                     "Give the workbook that holds the catalog.");
  if (workbook.sheets().size() > 1) {
    std::vector<std::string> others;
    for (const Sheet& sheet : workbook.sheets())
      if (sheet.name != chosen->sheet && others.size() < 10) others.push_back("\"" + printable(sheet.name) + "\"");
    chosen->warnings.push_back(
        fmt::format("Only sheet \"{}\" was read; not {}.", printable(chosen->sheet), join(others, ", ")));
  }
  return std::move(*chosen);
}

}  // namespace sherdmark
