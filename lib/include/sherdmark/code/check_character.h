// ISO/IEC 7064 check characters. Data outside the system's alphabet is std::nullopt, never an exception.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace sherdmark {

// MOD 37,36 (hybrid): one character 0-9A-Z over 0-9A-Z.
[[nodiscard]] std::optional<char> mod_37_36_check(std::string_view data);
[[nodiscard]] bool mod_37_36_valid(std::string_view data_and_check);

// MOD 37-2 (pure): one character 0-9A-Z* over 0-9A-Z.
[[nodiscard]] std::optional<char> mod_37_2_check(std::string_view data);
[[nodiscard]] bool mod_37_2_valid(std::string_view data_and_check);

// MOD 1271-36 (pure): two characters 0-9A-Z over 0-9A-Z.
[[nodiscard]] std::optional<std::string> mod_1271_36_check(std::string_view data);
[[nodiscard]] bool mod_1271_36_valid(std::string_view data_and_check);

}  // namespace sherdmark
