#include "sherdmark/code/keyboard.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "sherdmark/base/text.h"
#include "sherdmark/code/cards.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 4> k_names{"US", "UK", "German", "French"};
constexpr std::array k_all{Keyboard::us, Keyboard::uk, Keyboard::german, Keyboard::french};
constexpr std::string_view k_code_characters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

// A key by what it types on a US keyboard, and whether shift is held.
struct Stroke {
  char key = 0;
  bool shift = false;
  auto operator<=>(const Stroke&) const = default;
};

using Outputs = std::map<Stroke, std::u32string>;

void set(Outputs& outputs, char key, std::u32string plain, std::u32string shifted) {
  outputs[{key, false}] = std::move(plain);
  outputs[{key, true}] = std::move(shifted);
}

void set_digits(Outputs& outputs, std::u32string_view plain, std::u32string_view shifted) {
  for (std::size_t i = 0; i < 10; ++i)
    set(outputs, static_cast<char>('0' + static_cast<char>(i)), std::u32string{plain[i]}, std::u32string{shifted[i]});
}

void exchange(Outputs& outputs, char one, char other) {
  std::swap(outputs[{one, false}], outputs[{other, false}]);
  std::swap(outputs[{one, true}], outputs[{other, true}]);
}

Outputs outputs_of(Keyboard keyboard) {
  Outputs outputs;
  for (char letter = 'a'; letter <= 'z'; ++letter)
    set(outputs, letter, {static_cast<char32_t>(letter)}, {static_cast<char32_t>(letter - 'a' + 'A')});
  set_digits(outputs, U"0123456789", U")!@#$%^&*(");
  set(outputs, ';', U";", U":");
  set(outputs, ',', U",", U"<");
  switch (keyboard) {
    case Keyboard::us:
      break;
    case Keyboard::uk:
      set_digits(outputs, U"0123456789", U")!\"£$%^&*(");
      break;
    case Keyboard::german:
      exchange(outputs, 'y', 'z');
      set_digits(outputs, U"0123456789", U"=!\"§$%&/()");
      set(outputs, ';', U"ö", U"Ö");
      set(outputs, ',', U",", U";");
      break;
    case Keyboard::french:
      exchange(outputs, 'a', 'q');
      exchange(outputs, 'w', 'z');
      set(outputs, ';', U"m", U"M");
      set(outputs, 'm', U",", U"?");
      set(outputs, ',', U";", U".");
      set_digits(outputs, U"à&é\"'(-è_ç", U"0123456789");
      break;
  }
  return outputs;
}

enum class CapsLock { letters, letters_and_digits };
using Table = std::map<char, std::u32string>;  // code character → what is heard

bool is_changed_by_case(CapsLock caps_lock, char key) {
  const bool digit = key >= '0' && key <= '9';
  return (key >= 'a' && key <= 'z') || key == ';' || (digit && caps_lock == CapsLock::letters_and_digits);
}

// What caps lock does to digits where nothing else is known: on a French keyboard it shifts them.
CapsLock usual_caps_lock(const KeyboardSetup& setup) {
  return setup.computer == Keyboard::french ? CapsLock::letters_and_digits : CapsLock::letters;
}

Table make_table(const KeyboardSetup& setup, CapsLock caps_lock) {
  const Outputs scanner = outputs_of(setup.scanner);
  const Outputs computer = outputs_of(setup.computer);
  Table table;
  for (const char character : k_code_characters) {
    const std::u32string wanted{static_cast<char32_t>(character)};
    const auto found = std::ranges::find_if(scanner, [&](const auto& pair) { return pair.second == wanted; });
    Stroke stroke = found->first;
    if (setup.swapped_case && is_changed_by_case(caps_lock, stroke.key)) stroke.shift = !stroke.shift;
    table[character] = computer.at(stroke);
  }
  return table;
}

const Table& table_of(const KeyboardSetup& setup, CapsLock caps_lock) {
  static const std::map<std::tuple<Keyboard, Keyboard, bool, CapsLock>, Table> k_tables = [] {
    std::map<std::tuple<Keyboard, Keyboard, bool, CapsLock>, Table> tables;
    for (const Keyboard scanner : k_all)
      for (const Keyboard computer : k_all)
        for (const bool swapped : {false, true})
          for (const CapsLock one : {CapsLock::letters, CapsLock::letters_and_digits})
            tables[{scanner, computer, swapped, one}] = make_table({scanner, computer, swapped, {}, {}}, one);
    return tables;
  }();
  return k_tables.at({setup.scanner, setup.computer, setup.swapped_case, caps_lock});
}

std::string typed_with(const Table& table, std::string_view code) {
  std::u32string heard;
  for (const char character : code) {
    const auto found = table.find(character);
    heard += found == table.end() ? std::u32string{static_cast<char32_t>(character)} : found->second;
  }
  return encode_utf8(heard);
}

std::optional<std::string> undo_with(const Table& table, const std::u32string& heard) {
  std::string code;
  for (const char32_t character : heard) {
    const auto found =
        std::ranges::find_if(table, [&](const auto& pair) { return pair.second == std::u32string{character}; });
    if (found == table.end()) return std::nullopt;
    code += found->first;
  }
  return code;
}

// What caps lock may do to digits, the usual first; without caps lock there is nothing to choose.
std::vector<CapsLock> caps_locks(const KeyboardSetup& setup) {
  const CapsLock usual = usual_caps_lock(setup);
  if (!setup.swapped_case) return {usual};
  return {usual, usual == CapsLock::letters ? CapsLock::letters_and_digits : CapsLock::letters};
}

std::string_view without_ends(std::string_view heard, const KeyboardSetup& setup) {
  heard = trim(heard);
  if (!setup.prefix.empty() && heard.starts_with(setup.prefix)) heard.remove_prefix(setup.prefix.size());
  if (!setup.suffix.empty() && heard.ends_with(setup.suffix)) heard.remove_suffix(setup.suffix.size());
  return trim(heard);
}

std::optional<Keyboard> parse_keyboard(std::string_view text) {
  for (const Keyboard keyboard : k_all)
    if (to_text(keyboard) == text) return keyboard;
  return std::nullopt;
}

}  // namespace

std::string_view to_text(Keyboard keyboard) { return k_names.at(static_cast<std::size_t>(keyboard)); }

std::string layout_text(const KeyboardSetup& setup) {
  if (setup.scanner == setup.computer) return std::string{to_text(setup.computer)};
  return fmt::format("{} on {}", to_text(setup.scanner), to_text(setup.computer));
}

bool parse_layout(std::string_view text, KeyboardSetup& setup) {
  const std::size_t on = text.find(" on ");
  const auto scanner = parse_keyboard(text.substr(0, on));
  const auto computer = on == std::string_view::npos ? scanner : parse_keyboard(text.substr(on + 4));
  if (!scanner || !computer) return false;
  setup.scanner = *scanner;
  setup.computer = *computer;
  return true;
}

const std::vector<KeyboardSetup>& keyboard_setups() {
  static const std::vector<KeyboardSetup> k_setups = [] {
    std::vector<KeyboardSetup> setups;
    std::vector<const Table*> tables;
    for (const bool swapped : {false, true})
      for (const Keyboard scanner : k_all)
        for (const Keyboard computer : k_all) {
          const KeyboardSetup one{scanner, computer, swapped, {}, {}};
          const Table& table = table_of(one, usual_caps_lock(one));
          if (std::ranges::any_of(tables, [&](const auto* known) { return *known == table; })) continue;
          tables.push_back(&table);
          setups.push_back(one);
        }
    return setups;
  }();
  return k_setups;
}

std::string typed_by(const KeyboardSetup& setup, std::string_view code) {
  return setup.prefix + typed_with(table_of(setup, usual_caps_lock(setup)), code) + setup.suffix;
}

std::optional<std::string> undo_keyboard(const KeyboardSetup& setup, std::string_view heard) {
  const auto characters = decode_utf8(without_ends(heard, setup));
  if (!characters) return std::nullopt;
  for (const CapsLock caps_lock : caps_locks(setup))
    if (auto code = undo_with(table_of(setup, caps_lock), *characters)) return code;
  return std::nullopt;
}

std::optional<KeyboardSetup> detect_keyboard(std::string_view heard, const std::string& collection_key) {
  const std::string card = write_action_card(collection_key, ScanAction::setup);
  for (const KeyboardSetup& candidate : keyboard_setups()) {
    for (const CapsLock caps_lock : caps_locks(candidate)) {
      const std::string garbled = typed_with(table_of(candidate, caps_lock), card);
      const std::size_t at = heard.find(garbled);
      if (at == std::string_view::npos) continue;
      KeyboardSetup setup = candidate;
      setup.prefix = trim(heard.substr(0, at));
      setup.suffix = trim(heard.substr(at + garbled.size()));
      return setup;
    }
  }
  return std::nullopt;
}

std::string keyboard_in_words(const KeyboardSetup& setup) {
  std::string text;
  if (setup.scanner == setup.computer)
    text = "The scanner types as this computer listens: every character came right.";
  else
    text = fmt::format(
        "The scanner types by a {} keyboard, and this computer listens by a {} one (or the other way round). Codes are "
        "understood; set the scanner to this computer's layout when you can.",
        to_text(setup.scanner), to_text(setup.computer));
  if (setup.swapped_case) text += " Capitals and small letters are exchanged: switch caps lock off.";
  if (!setup.prefix.empty()) text += fmt::format(" It types \"{}\" before each scan.", printable(setup.prefix));
  if (!setup.suffix.empty()) text += fmt::format(" It types \"{}\" after each scan.", printable(setup.suffix));
  return text;
}

HeardCode understand(std::string_view heard, const std::string& collection_key, const KeyboardSetup& setup) {
  HeardCode result;
  result.text = without_ends(heard, setup);
  std::map<std::string, KeyboardSetup> ours;  // code → how it was understood first
  const auto try_it = [&](const KeyboardSetup& candidate, std::string_view text) {
    const auto code = undo_keyboard(candidate, text);
    if (!code) return;
    const LinkReading reading = parse_code_text(*code);
    if (reading.link && reading.link->collection_key == collection_key) ours.try_emplace(*code, candidate);
  };
  const KeyboardSetup stated{setup.scanner, setup.computer, setup.swapped_case, {}, {}};
  try_it(stated, result.text);
  for (const KeyboardSetup& candidate : keyboard_setups()) try_it(candidate, result.text);
  if (ours.size() > 1) {
    result.how = Understood::uncertain;
    return result;
  }
  if (ours.size() == 1) {
    const auto& [code, how] = *ours.begin();
    result.how = code == result.text ? Understood::as_heard
                 : how == stated     ? Understood::by_setup
                                     : Understood::other_layout;
    result.text = code;
    result.scanner = how.scanner;
    result.computer = how.computer;
    result.reading = parse_code_text(result.text);
    return result;
  }
  result.reading = parse_code_text(result.text);
  if (result.reading.status != LinkStatus::foreign || setup.changes_nothing()) return result;
  if (const auto code = undo_keyboard(stated, result.text)) {
    const LinkReading reading = parse_code_text(*code);
    if (reading.micro) {
      result.how = Understood::by_setup;
      result.text = *code;
      result.reading = reading;
    }
  }
  return result;
}

}  // namespace sherdmark
