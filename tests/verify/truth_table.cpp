#include "verify/truth_table.h"

#include <fstream>
#include <sstream>
#include <stdexcept>

#include "sherdmark/base/text.h"
#include "sherdmark/verify/scan_set.h"

namespace sherdmark::testing {
namespace {

using Words = std::vector<std::string>;

[[noreturn]] void refuse(const std::string& statement) {
  throw std::runtime_error("truth table: not understood: \"" + statement + "\"");
}

Words words_of(const std::string& statement) {
  Words words;
  for (const std::string& word : split(std::string{trim(statement)}, ' '))
    if (!word.empty()) words.push_back(word);
  return words;
}

std::int64_t whole(const std::string& text) {
  const auto number = parse_integer(text);
  if (!number) refuse(text);
  return *number;
}

LabelRole role_of(const std::string& word) {
  if (word == "bag") return LabelRole::bag;
  if (word == "tag") return LabelRole::tag;
  if (word == "box") return LabelRole::box;
  if (word == "shelf") return LabelRole::shelf;
  if (word == "field-tag") return LabelRole::field_tag;
  if (word == "removal-slip") return LabelRole::removal_slip;
  refuse(word);
}

PrintState state_of(const std::string& word) {
  if (word == "generated") return PrintState::generated;
  if (word == "printed") return PrintState::printed;
  if (word == "applied") return PrintState::applied;
  if (word == "superseded") return PrintState::superseded;
  if (word == "void") return PrintState::void_;
  if (word == "spoiled") return PrintState::spoiled;
  refuse(word);
}

void add_number(MemoryCollection& collection, NumberMeaning meaning, const Words& words, std::size_t first_item) {
  NumberRecord record;
  record.meaning = meaning;
  record.items.assign(words.begin() + static_cast<std::ptrdiff_t>(first_item), words.end());
  collection.numbers[words[1]] = record;
}

// bag B1 holds 12-3:1/1 12-4:?/0
void add_bag(MemoryCollection& collection, const Words& words) {
  BagRecord& bag = collection.bags[words[1]];
  bag.id = words[1];
  bag.contents.clear();
  auto& expected = collection.expected[words[1]];
  expected.clear();
  for (std::size_t i = 3; i < words.size(); ++i) {
    const Words parts = split(words[i], ':');
    const Words counts = split(parts.at(1), '/');
    BagContent content{parts[0], std::nullopt, whole(counts.at(1)), std::nullopt};
    if (counts[0] != "?") {
      content.quantity = whole(counts[0]);
      content.unlabelled = *content.quantity - content.labelled;
    }
    bag.contents.push_back(content);
    if (content.labelled == 0) continue;
    expected.push_back({content.item, content.item, content.labelled});
    collection.labels[content.item].applied += content.labelled;
  }
}

// expects B3 12-5.1:1 12-5.2:1
void set_expected(MemoryCollection& collection, const Words& words) {
  auto& expected = collection.expected[words[1]];
  expected.clear();
  for (std::size_t i = 2; i < words.size(); ++i) {
    const Words parts = split(words[i], ':');
    const NumberRecord record = collection.find_number(parts[0]);
    const std::string item = record.items.empty() ? parts[0] : record.items.front();
    expected.push_back({parts[0], item, whole(parts.at(1))});
    collection.labels[parts[0]].applied += whole(parts[1]);
  }
}

// print SERIAL ROLE SUBJECT NUMBER [rN] [sheetN] [state]
void add_print(MemoryCollection& collection, const Words& words) {
  PrintRecord print;
  print.serial = words.at(1);
  print.role = role_of(words.at(2));
  print.subject = words.at(3);
  print.number = words.at(4);
  print.state = PrintState::applied;
  for (std::size_t i = 5; i < words.size(); ++i) {
    if (words[i].starts_with("sheet")) {
      print.ordinal = static_cast<int>(whole(words[i].substr(5)));
    } else if (words[i][0] == 'r') {
      print.revision = static_cast<int>(whole(words[i].substr(1)));
    } else {
      print.state = state_of(words[i]);
    }
  }
  collection.prints[print.serial] = print;
}

// label NUMBER applied 3 superseded 1 …
void set_label(MemoryCollection& collection, const Words& words) {
  ArtifactLabelRecord record;
  for (std::size_t i = 2; i + 1 < words.size(); i += 2) {
    const std::int64_t copies = whole(words[i + 1]);
    switch (state_of(words[i])) {
      case PrintState::generated:
        record.generated = copies;
        break;
      case PrintState::printed:
        record.printed = copies;
        break;
      case PrintState::applied:
        record.applied = copies;
        break;
      case PrintState::superseded:
        record.superseded = copies;
        break;
      case PrintState::void_:
        record.voided = copies;
        break;
      case PrintState::spoiled:
        break;  // spoiled copies are not counted
    }
  }
  collection.labels[words.at(1)] = record;
}

bool change_bag(MemoryCollection& collection, const Words& words) {
  BagRecord& bag = collection.bags[words.at(1)];
  if (words[0] == "home") {
    bag.home_place = words.at(2);
    bag.now_place = words.at(2);
  } else if (words[0] == "now") {
    bag.now_place = words.at(2);
  } else if (words[0] == "inbox") {
    bag.box = "Box_" + words.at(2);  // a box has a name and an id
    bag.box_id = words[2];
  } else if (words[0] == "status") {  // status B1 on_loan: of every item in it
    for (BagContent& content : bag.contents) content.status = words.at(2);
  } else if (words[0] == "lent") {
    bag.lent = true;
  } else if (words[0] == "sensitive") {
    bag.sensitive = true;
  } else if (words[0] == "retired") {
    bag.state = BagState::retired;
  } else {
    return false;
  }
  return true;
}

bool change_number(MemoryCollection& collection, const Words& words) {
  if (words[0] == "item") {
    add_number(collection, NumberMeaning::item, {"item", words.at(1), words.at(1)}, 2);
  } else if (words[0] == "piece" || words[0] == "lot" || words[0] == "former") {
    const NumberMeaning meaning = words[0] == "piece" ? NumberMeaning::piece
                                  : words[0] == "lot" ? NumberMeaning::lot
                                                      : NumberMeaning::former_number;
    add_number(collection, meaning, words, 3);
  } else if (words[0] == "field") {
    add_number(collection, NumberMeaning::field_number, {"field", words.at(1)}, 2);
    if (words.size() > 3) collection.numbers[words[1]].bound_to = words[3];
  } else if (words[0] == "formerly") {  // formerly 12-3 of 12-4: the number of one item, and before of another
    collection.numbers.at(words.at(1)).formerly.assign(words.begin() + 3, words.end());
  } else if (words[0] == "never-label") {
    collection.numbers.at(words.at(1)).never_label = true;
  } else if (words[0] == "forget") {
    collection.numbers.erase(words.at(1));
    collection.bags.erase(words.at(1));
    collection.prints.erase(words.at(1));
    collection.labels.erase(words.at(1));
  } else {
    return false;
  }
  return true;
}

void apply_record(MemoryCollection& collection, HouseStandard& standard, const std::string& statement) {
  const Words words = words_of(statement);
  if (words.empty() || words[0] == "-") return;
  if (words[0] == "bag") {
    add_bag(collection, words);
  } else if (words[0] == "expects") {
    set_expected(collection, words);
  } else if (words[0] == "carriers") {  // carriers B1 12-3: bag label B1b and tag B1t
    add_print(collection, {"print", words.at(1) + "b", "bag", words[1], words.at(2)});
    add_print(collection, {"print", words[1] + "t", "tag", words[1], words[2]});
  } else if (words[0] == "print") {
    add_print(collection, words);
  } else if (words[0] == "state") {
    collection.prints.at(words.at(1)).state = state_of(words.at(2));
  } else if (words[0] == "label") {
    set_label(collection, words);
  } else if (words[0] == "standard") {
    for (std::size_t i = 1; i < words.size(); ++i) {
      if (words[i] == "no-bag") standard.agreement.bag = false;
      if (words[i] == "no-tag") standard.agreement.tag = false;
      if (words[i] == "no-artifacts") standard.agreement.artifacts = false;
      if (words[i].starts_with("margin=")) standard.read_margin = parse_decimal(words[i].substr(7)).value();
    }
  } else if (!change_number(collection, words) && !change_bag(collection, words)) {
    refuse(statement);
  }
}

// A square of its own for every place, so that labels at different places never touch.
Corners corners_at(std::int64_t place) {
  const double x = 100.0 * static_cast<double>(place);
  return {PointF{x, 0}, PointF{x + 50, 0}, PointF{x + 50, 50}, PointF{x, 50}};
}

void apply_option(Reading& reading, const std::string& option) {
  const Words pair = split(option, '=');
  const std::string value = pair.size() > 1 ? pair[1] : "";
  if (option == "unsure") {
    reading.sure = false;
  } else if (option == "newer") {
    reading = Reading{};
    reading.newer_format = true;
  } else if (option == "opaque") {
    reading.number_is_opaque = true;
  } else if (option == "keyed") {
    reading.source = ReadingSource::keyed;
    reading.collection_key.reset();
  } else if (option == "code") {
    reading.source = ReadingSource::micro_qr;
  } else if (option == "no-serial") {
    reading.serial.reset();
  } else if (pair[0] == "key") {
    reading.collection_key = value;
  } else if (pair[0] == "number") {
    reading.number = value;
  } else if (pair[0] == "bag") {
    reading.bag = value;
  } else if (pair[0] == "serial") {
    reading.serial = value;
  } else if (pair[0] == "rev") {
    reading.revision = static_cast<int>(whole(value));
  } else if (pair[0] == "micro") {
    reading.micro_number = value;
  } else if (pair[0] == "margin") {
    reading.margin = parse_decimal(value).value();
  } else if (pair[0] == "img") {
    reading.image = value + ".jpg";
  } else if (pair[0] == "at") {
    reading.corners = corners_at(whole(value));
  } else {
    refuse(option);
  }
}

Reading carrier_reading(const PrintRecord& print, const std::string& key) {
  Reading reading;
  reading.role = print.role;
  reading.sure = true;
  reading.collection_key = key;
  reading.number = print.number;
  reading.serial = print.serial;
  reading.revision = print.revision;
  reading.ordinal = print.ordinal;
  reading.source = ReadingSource::qr;
  const bool place = print.role == LabelRole::box || print.role == LabelRole::shelf;
  if (place) reading.place = print.subject;
  if (print.role == LabelRole::bag || print.role == LabelRole::tag || print.role == LabelRole::removal_slip)
    reading.bag = print.subject;
  return reading;
}

void apply_reading(TruthCase& the_case, const std::string& statement) {
  const Words words = words_of(statement);
  if (words.empty() || words[0] == "-") return;
  if (words[0] == "place") {
    the_case.set.place_given = words.at(1);
    return;
  }
  if (words[0] == "box") {
    the_case.set.readings.push_back(typed_box_reading(words.at(1)));
    return;
  }
  if (words[0] == "counted") {
    the_case.set.opened_and_counted = true;
    the_case.set.counted_pieces = whole(words.at(1));
    return;
  }
  Reading reading;
  std::size_t next = 1;
  std::int64_t copies = 1;
  const auto print = the_case.collection.prints.find(words[0]);
  if (print != the_case.collection.prints.end()) {
    reading = carrier_reading(print->second, the_case.collection.key);
  } else if (words[0] == "a") {
    reading.sure = true;
    reading.number = words.at(1);
    next = 2;
  } else {
    refuse(statement);
  }
  reading.image = "1.jpg";
  for (std::size_t i = next; i < words.size(); ++i) {
    if (words[i][0] == 'x' && parse_integer(words[i].substr(1))) {
      copies = whole(words[i].substr(1));
    } else {
      apply_option(reading, words[i]);
    }
  }
  for (std::int64_t i = 0; i < copies; ++i) the_case.set.readings.push_back(reading);
}

}  // namespace

TruthTable read_truth_table(const std::filesystem::path& file) {
  std::ifstream in{file};
  if (!in) throw std::runtime_error("truth table: cannot be opened: " + file.string());
  TruthTable table;
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    if (line.empty() || line[0] == '#') continue;
    const Words cells = split(line, '\t');
    if (cells[0] == "world") {
      table.world.push_back(cells.at(1));
      continue;
    }
    if (cells.size() != 8)
      throw std::runtime_error("truth table: line " + std::to_string(number) + " has " + std::to_string(cells.size()) +
                               " cells instead of 8");
    table.rows.push_back({number, cells[0], cells[1], cells[2], cells[3], cells[4], cells[5], cells[6], cells[7]});
  }
  return table;
}

TruthCase build_case(const TruthTable& table, const TruthRow& row) {
  TruthCase the_case;
  for (const std::string& statements : table.world)
    for (const std::string& statement : split(statements, ';'))
      apply_record(the_case.collection, the_case.standard, statement);
  for (const std::string& statement : split(row.records, ';'))
    apply_record(the_case.collection, the_case.standard, statement);
  the_case.set.name = row.name;
  for (const std::string& statement : split(row.readings, ';')) apply_reading(the_case, statement);
  return the_case;
}

}  // namespace sherdmark::testing
