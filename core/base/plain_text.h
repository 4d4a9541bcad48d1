// Texts as people type them: names of standard things in large or small letters, × or x, any
// spaces; and what of a text can be shown.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace trammel {

// Small letters; × as x, a no-break space as a space, long dashes as "-".
std::string in_plain_letters(std::string_view text);
// The same with only letters and digits kept: "EN-GJS-400-15" is "engjs40015".
std::string letters_and_digits(std::string_view text);

// The first sign of a text in UTF-8 that is none to read but acts on whoever shows it: line ends,
// escapes, what turns the direction of reading. A tab is none of them.
std::optional<char32_t> control_sign(std::string_view text);
// A text of one line to show: a control sign as its number, "<U+001B>".
std::string printable(std::string_view text);
// The same, its middle left out where it is long.
std::string in_short(std::string_view text);

// Reads from the head of what is left.
struct PlainText {
  std::string_view rest;

  void spaces();
  bool take(std::string_view what);
  // Digits with at most one point; no sign. Nothing, and nothing taken, where there is none.
  std::optional<double> number();
};

}  // namespace trammel
