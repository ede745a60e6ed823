// QR and Micro QR by libqrencode: the only file that knows it.
#include <fmt/format.h>
#include <qrencode.h>

#include <algorithm>
#include <cerrno>
#include <memory>
#include <new>

#include "sherdmark/base/error.h"
#include "sherdmark/code/symbol.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_longest_text = 7089;  // digits in the largest QR symbol
constexpr std::string_view k_alphanumeric = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

struct FreeInput {
  void operator()(QRinput* input) const { QRinput_free(input); }
};
struct FreeCode {
  void operator()(QRcode* code) const { QRcode_free(code); }
};
using Input = std::unique_ptr<QRinput, FreeInput>;
using Code = std::unique_ptr<QRcode, FreeCode>;

QRecLevel library_level(ErrorLevel level) {
  switch (level) {
    case ErrorLevel::l:
      return QR_ECLEVEL_L;
    case ErrorLevel::m:
      return QR_ECLEVEL_M;
    case ErrorLevel::q:
      return QR_ECLEVEL_Q;
    case ErrorLevel::h:
      return QR_ECLEVEL_H;
  }
  throw internal_error("An error correction level without a name.");
}

QRencodeMode densest_mode(std::string_view text) {
  if (text.find_first_not_of("0123456789") == std::string_view::npos) return QR_MODE_NUM;
  if (text.find_first_not_of(k_alphanumeric) == std::string_view::npos) return QR_MODE_AN;
  return QR_MODE_8;
}

// Nothing fits is ERANGE or EINVAL; anything else is the library's trouble and not the text's.
Code checked(QRcode* code) {
  if (code == nullptr && errno == ENOMEM) throw std::bad_alloc{};
  return Code{code};
}

// The whole text in one mode.
Code encode_plain(std::string_view text, QRinput* raw_input) {
  const Input input{raw_input};
  if (!input) return nullptr;
  const auto* bytes = reinterpret_cast<const unsigned char*>(text.data());
  if (QRinput_append(input.get(), densest_mode(text), static_cast<int>(text.size()), bytes) != 0) return nullptr;
  return checked(QRcode_encodeInput(input.get()));
}

// Cut into runs of different modes where the library finds that shorter. Needs text without NUL.
Code encode_in_runs(std::string_view text, QRecLevel level) {
  if (text.find('\0') != std::string_view::npos) return nullptr;
  return checked(QRcode_encodeString(std::string{text}.c_str(), 0, level, QR_MODE_8, 1));
}

Code encode_in_runs_micro(std::string_view text, int version, QRecLevel level) {
  if (text.find('\0') != std::string_view::npos) return nullptr;
  Code code = checked(QRcode_encodeStringMQR(std::string{text}.c_str(), version, level, QR_MODE_8, 1));
  if (code && code->version != version) return nullptr;  // the library goes on to larger versions by itself
  return code;
}

SymbolMatrix to_matrix(const QRcode& code, SymbolFormat format, ErrorLevel level) {
  SymbolMatrix symbol;
  symbol.format = format;
  symbol.width_modules = symbol.height_modules = code.width;
  symbol.quiet_zone_modules = format == SymbolFormat::qr ? 4 : 2;
  symbol.version = code.version;
  symbol.level = level;
  const auto modules = static_cast<std::size_t>(code.width) * static_cast<std::size_t>(code.width);
  symbol.dark.resize(modules);
  std::transform(code.data, code.data + modules, symbol.dark.begin(),
                 [](unsigned char module) { return static_cast<std::uint8_t>(module & 1U); });
  return symbol;
}

void require_text(std::string_view text) {
  if (text.empty()) throw data_error("A code cannot be made of an empty text.", {}, "Give it a number.");
}

Error does_not_fit(std::string_view kind, std::string_view text) {
  return data_error(fmt::format("No {} symbol of that level holds this text of {} bytes.", kind, text.size()), {},
                    "Shorten the number, or choose another code.");
}

}  // namespace

SymbolMatrix make_qr(std::string_view text, ErrorLevel level) {
  require_text(text);
  if (text.size() > k_longest_text) throw does_not_fit("QR", text);
  const QRecLevel wanted = library_level(level);
  Code plain = encode_plain(text, QRinput_new2(0, wanted));
  Code runs = encode_in_runs(text, wanted);
  if (!plain && !runs) throw does_not_fit("QR", text);
  const bool take_plain = plain && (!runs || plain->version <= runs->version);
  return to_matrix(take_plain ? *plain : *runs, SymbolFormat::qr, level);
}

SymbolMatrix make_micro_qr(std::string_view text, ErrorLevel least_level, ErrorLevel most_level) {
  require_text(text);
  constexpr std::size_t k_longest_micro = 35;  // digits in M4-L
  for (int version = 1; version <= MQRSPEC_VERSION_MAX && text.size() <= k_longest_micro; ++version) {
    // The highest level that this version can hold the text at, but not below the one asked for.
    for (const ErrorLevel level : {ErrorLevel::q, ErrorLevel::m, ErrorLevel::l}) {
      if (level < least_level) break;
      if (level > most_level) continue;
      const QRecLevel wanted = library_level(level);
      Code code = encode_plain(text, QRinput_newMQR(version, wanted));
      if (!code) code = encode_in_runs_micro(text, version, wanted);
      if (code) return to_matrix(*code, SymbolFormat::micro_qr, level);
    }
  }
  throw does_not_fit("Micro QR", text);
}

}  // namespace sherdmark
