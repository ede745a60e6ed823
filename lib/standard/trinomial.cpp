#include "trinomial.h"

#include <algorithm>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using enum TrinomialForm;
constexpr std::u32string_view k_capitals = U"ABCDEFGHIJKLMNOPQRSTUVWXYZ";

constexpr std::array<StateRow, 50> k_states{{
    {1, "AL", usual},   {2, "AZ", arizona},    {3, "AR", usual},       {4, "CA", three_letter}, {5, "CO", usual},
    {6, "CT", running}, {7, "DE", block},      {8, "FL", usual},       {9, "GA", usual},        {10, "ID", usual},
    {11, "IL", usual},  {12, "IN", usual},     {13, "IA", usual},      {14, "KS", usual},       {15, "KY", usual},
    {16, "LA", usual},  {17, "ME", map_sheet}, {18, "MD", usual},      {19, "MA", usual},       {20, "MI", usual},
    {21, "MN", usual},  {22, "MS", usual},     {23, "MO", usual},      {24, "MT", usual},       {25, "NE", usual},
    {26, "NV", usual},  {27, "NH", usual},     {28, "NJ", usual},      {29, "NM", usual},       {30, "NY", usual},
    {31, "NC", usual},  {32, "ND", usual},     {33, "OH", usual},      {34, "OK", usual},       {35, "OR", usual},
    {36, "PA", usual},  {37, "RI", running},   {38, "SC", usual},      {39, "SD", usual},       {40, "TN", usual},
    {41, "TX", usual},  {42, "UT", usual},     {43, "VT", two_letter}, {44, "VA", usual},       {45, "WA", usual},
    {46, "WV", usual},  {47, "WI", usual},     {48, "WY", usual},      {49, "AK", quadrangle},  {50, "HI", usual},
}};

std::u32string wide(std::string_view ascii) { return {ascii.begin(), ascii.end()}; }

TrinomialStretch words(std::u32string separator, const std::vector<std::u32string>& choices) {
  return {std::move(separator), choice_fragment(choices)};
}
TrinomialStretch letters(std::u32string separator, int count) {
  return {std::move(separator), repeat_fragment(k_capitals, count, count)};
}
TrinomialStretch whole_number(std::u32string separator, std::int64_t largest) {
  return {std::move(separator), integer_fragment(1, largest, 0)};
}

std::vector<std::u32string> arizona_quadrangles() {
  std::vector<std::u32string> quadrangles;
  for (const char32_t letter : k_capitals) quadrangles.emplace_back(1, letter);
  for (char32_t letter = U'A'; letter <= U'F'; ++letter) quadrangles.emplace_back(2, letter);
  return quadrangles;
}

std::vector<std::u32string> capitals(char32_t first, char32_t last) {
  std::vector<std::u32string> result;
  for (char32_t letter = first; letter <= last; ++letter) result.emplace_back(1, letter);
  return result;
}

// The stretches before the running number; the running number's separator goes into `before_number`.
std::vector<TrinomialStretch> opening(TrinomialForm form, const std::vector<std::u32string>& firsts,
                                      std::u32string& before_number) {
  std::vector<TrinomialStretch> stretches{words(U"", firsts)};
  before_number = form == usual ? U"" : form == arizona ? U":" : U"-";
  switch (form) {
    case usual:
      stretches.push_back(letters(U"", 2));
      break;
    case quadrangle:
    case three_letter:
      stretches.push_back(letters(U"-", 3));
      break;
    case two_letter:
      stretches.push_back(letters(U"-", 2));
      break;
    case running:
      break;
    case map_sheet:
      stretches.push_back(whole_number(U"-", 999));
      break;
    case block:
      stretches.push_back(letters(U"", 1));
      stretches.push_back(words(U"-", capitals(U'A', U'K')));
      break;
    case arizona:
      stretches.push_back(words(U" ", arizona_quadrangles()));
      stretches.push_back(whole_number(U":", 16));
      break;
  }
  return stretches;
}

std::vector<TrinomialStretch> whole_form(TrinomialForm form, const std::vector<std::u32string>& firsts,
                                         const SchemePart& part) {
  std::u32string before_number;
  std::vector<TrinomialStretch> stretches = opening(form, firsts, before_number);
  stretches.push_back({before_number, integer_fragment(part.smallest, part.largest, part.pad_to_digits), true});
  if (!part.alphabet.empty()) {
    const std::u32string suffixes = decode_utf8(part.alphabet).value_or(std::u32string{});
    stretches.push_back({U"", repeat_fragment(suffixes, 1, 1), true});
  }
  return stretches;
}

// "(ABC)" after an Arizona number: a form of its own, so that the bracket always closes.
std::vector<TrinomialStretch> with_agency(std::vector<TrinomialStretch> stretches) {
  for (TrinomialStretch& stretch : stretches) stretch.may_end_after = false;
  stretches.push_back({U"(", repeat_fragment(k_capitals, 2, 4)});
  stretches.push_back({U"", choice_fragment({U")"}), true});
  return stretches;
}

bool wanted(const SchemePart& part, const StateRow& state) {
  return part.choices.empty() ||
         std::find(part.choices.begin(), part.choices.end(), state.postal) != part.choices.end();
}

}  // namespace

const std::array<StateRow, 50>& trinomial_states() { return k_states; }

std::vector<std::vector<TrinomialStretch>> trinomial_forms(const SchemePart& part) {
  std::vector<std::vector<TrinomialStretch>> forms;
  for (const TrinomialForm form : {usual, quadrangle, three_letter, two_letter, running, map_sheet, block, arizona}) {
    const bool numbered = form == usual || form == quadrangle || form == block;
    std::vector<std::u32string> firsts;
    for (const StateRow& state : k_states)
      if (state.form == form && wanted(part, state))
        firsts.push_back(numbered ? wide(std::to_string(state.number)) : wide(state.postal));
    if (firsts.empty()) continue;
    forms.push_back(whole_form(form, firsts, part));
    if (form == arizona && part.alphabet.empty()) forms.push_back(with_agency(forms.back()));
  }
  return forms;
}

}  // namespace sherdmark
