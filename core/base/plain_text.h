// Names of standard things as people type them: large or small letters, × or x, any spaces.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace trammel {

// Small letters; × as x, a no-break space as a space, long dashes as "-".
std::string in_plain_letters(std::string_view text);
// The same with only letters and digits kept: "EN-GJS-400-15" is "engjs40015".
std::string letters_and_digits(std::string_view text);

// Reads from the head of what is left.
struct PlainText {
  std::string_view rest;

  void spaces();
  bool take(std::string_view what);
  // Digits with at most one point; no sign. Nothing, and nothing taken, where there is none.
  std::optional<double> number();
};

}  // namespace trammel
