#include "sherdmark/sheet/placement.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "sheet/json_list.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using Json = nlohmann::ordered_json;

// Lengths to a hundredth of a micrometre: finer than any printer, and the same text on every machine.
double rounded(double mm) { return std::round(mm * 1e5) / 1e5; }

Json text_or_null(const std::optional<std::string>& text) { return text ? Json(*text) : Json(nullptr); }

Json to_json(const PlacedCode& code) {
  return {{"format", to_text(code.format)},   {"text", code.text},
          {"x_mm", rounded(code.x_mm)},       {"y_mm", rounded(code.y_mm)},
          {"size_mm", rounded(code.size_mm)}, {"modules", code.modules},
          {"module_dots", code.module_dots}};
}

Json to_json(const PlacedLabel& label) {
  return {{"page", label.page},
          {"role", to_text(label.role)},
          {"number", label.number},
          {"bag", text_or_null(label.bag)},
          {"serial", text_or_null(label.serial)},
          {"revision", label.revision},
          {"copy", label.copy},
          {"x_mm", rounded(label.x_mm)},
          {"y_mm", rounded(label.y_mm)},
          {"w_mm", rounded(label.w_mm)},
          {"h_mm", rounded(label.h_mm)},
          {"lines", label.lines},
          {"font_pt", label.font_pt},
          {"code", label.code ? to_json(*label.code) : Json(nullptr)},
          {"stack", label.stack}};
}

// One object of the document, with the words to say where it stands when something is wrong with it.
class Reader {
 public:
  Reader(const Json& json, const std::string& file, std::string where)
      : json_(json), file_(file), where_(std::move(where)) {
    if (!json_.is_object()) fail("is not an object");
  }

  [[noreturn]] void fail(const std::string& what) const {
    throw data_error(fmt::format("the placements are damaged: {} {}.", where_, what), {.file = file_},
                     "Make the sheets again, or take the file from the backup.");
  }
  [[nodiscard]] const Json& at(const char* key) const {
    const auto found = json_.find(key);
    if (found == json_.end()) fail(fmt::format("has no \"{}\"", key));
    return *found;
  }
  [[nodiscard]] std::string text(const char* key) const {
    const Json& value = at(key);
    if (!value.is_string()) fail(fmt::format("has a \"{}\" that is no text", key));
    return value.get<std::string>();
  }
  [[nodiscard]] std::optional<std::string> optional_text(const char* key) const {
    return at(key).is_null() ? std::nullopt : std::optional{text(key)};
  }
  [[nodiscard]] double length(const char* key) const {
    const Json& value = at(key);
    if (!value.is_number() || !std::isfinite(value.get<double>()) || std::abs(value.get<double>()) > 1e5)
      fail(fmt::format("has a \"{}\" that is no length", key));
    return value.get<double>();
  }
  // Of many labels together.
  [[nodiscard]] double width(const char* key) const {
    const Json& value = at(key);
    if (!value.is_number() || !std::isfinite(value.get<double>()) || value.get<double>() < 0 ||
        value.get<double>() > 1e11)
      fail(fmt::format("has a \"{}\" that is no length", key));
    return value.get<double>();
  }
  [[nodiscard]] int count(const char* key) const {
    const Json& value = at(key);
    if (!value.is_number_integer() || value.get<double>() < 0 || value.get<double>() > 1e9)
      fail(fmt::format("has a \"{}\" that is no whole number", key));
    return value.get<int>();
  }

 private:
  const Json& json_;
  const std::string& file_;
  std::string where_;
};

SymbolFormat format_of(const Reader& reader) {
  const std::string name = reader.text("format");
  for (const SymbolFormat format : {SymbolFormat::qr, SymbolFormat::micro_qr, SymbolFormat::data_matrix})
    if (to_text(format) == name) return format;
  reader.fail(fmt::format("has the unknown format \"{}\"", printable(name)));
}

PlacedCode code_of(const Json& json, const std::string& file, const std::string& where) {
  const Reader reader{json, file, where + ", code"};
  return {format_of(reader),        reader.text("text"),     reader.length("x_mm"),      reader.length("y_mm"),
          reader.length("size_mm"), reader.count("modules"), reader.count("module_dots")};
}

PlacedLabel label_of(const Json& json, const std::string& file, const std::string& where, int pages) {
  const Reader reader{json, file, where};
  PlacedLabel label;
  label.page = reader.count("page");
  if (label.page < 1 || label.page > pages) reader.fail("is on a page that does not exist");
  const auto role = parse_role(reader.text("role"));
  if (!role) reader.fail("has an unknown role");
  label.role = *role;
  label.number = reader.text("number");
  label.bag = reader.optional_text("bag");
  label.serial = reader.optional_text("serial");
  label.revision = reader.count("revision");
  label.copy = reader.count("copy");
  label.x_mm = reader.length("x_mm");
  label.y_mm = reader.length("y_mm");
  label.w_mm = reader.length("w_mm");
  label.h_mm = reader.length("h_mm");
  label.font_pt = reader.length("font_pt");
  const Json& lines = reader.at("lines");
  if (!lines.is_array()) reader.fail("has \"lines\" that are no list");
  for (const Json& line : lines) {
    if (!line.is_string()) reader.fail("has a line that is no text");
    label.lines.push_back(line.get<std::string>());
  }
  if (const Json& code = reader.at("code"); !code.is_null()) label.code = code_of(code, file, where);
  if (json.contains("stack")) label.stack = reader.count("stack");  // sheets of the first days have none
  return label;
}

}  // namespace

std::string_view to_text(CutOrder order) {
  return order == CutOrder::labels ? "labels" : order == CutOrder::lots ? "lots" : "strips";
}

void write_placements_json(const Placements& placements, const ByteSink& sink) {
  const Json document{{"schema", 1},
                      {"run", placements.run},
                      {"page_mm", {rounded(placements.page_width_mm), rounded(placements.page_height_mm)}},
                      {"dpi", placements.dpi},
                      {"pages", placements.pages},
                      {"order", to_text(placements.order)},
                      {"least_widths_mm", rounded(placements.least_widths_mm)},
                      {"labels", Json::array()}};
  const std::string whole = document.dump(1);
  constexpr std::string_view k_end = "[]\n}";  // the list of labels comes last
  JsonPieces out{sink};
  out.add(std::string_view{whole}.substr(0, whole.size() - k_end.size()));
  add_json_list(out, placements.labels.size(), [&](std::size_t i) { return to_json(placements.labels[i]).dump(1); });
  out.add("\n}\n");
  out.flush();
}

std::string write_placements_json(const Placements& placements) {
  return text_of([&](const ByteSink& sink) { write_placements_json(placements, sink); });
}

Placements read_placements_json(std::string_view json, const std::string& file_name) {
  const Json document = Json::parse(json, nullptr, false);
  if (document.is_discarded())
    throw data_error("the placements are not JSON.", {.file = file_name},
                     "Give the placements file that was written beside the sheets.");
  const Reader reader{document, file_name, "the document"};
  if (reader.count("schema") != 1)
    throw data_error("the placements have a newer form.", {.file = file_name}, "Update Sherdmark.");
  Placements placements;
  placements.run = reader.text("run");
  const Json& page = reader.at("page_mm");
  if (!page.is_array() || page.size() != 2 || !page[0].is_number() || !page[1].is_number())
    reader.fail("has a \"page_mm\" that is not two lengths");
  placements.page_width_mm = page[0].get<double>();
  placements.page_height_mm = page[1].get<double>();
  placements.dpi = reader.count("dpi");
  placements.pages = reader.count("pages");
  if (document.contains("order")) {
    const std::string name = reader.text("order");
    for (const CutOrder order : {CutOrder::lots, CutOrder::labels})
      if (to_text(order) == name) placements.order = order;
  }
  if (document.contains("least_widths_mm")) placements.least_widths_mm = reader.width("least_widths_mm");
  const Json& labels = reader.at("labels");
  if (!labels.is_array()) reader.fail("has \"labels\" that are no list");
  for (std::size_t i = 0; i < labels.size(); ++i)
    placements.labels.push_back(label_of(labels[i], file_name, fmt::format("label {}", i + 1), placements.pages));
  return placements;
}

}  // namespace sherdmark
