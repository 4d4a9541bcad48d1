#include "base/plain_text.h"

#include "base/quantity.h"

namespace trammel {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return c >= 'a' && c <= 'z'; }

}  // namespace

std::string in_plain_letters(std::string_view text) {
  constexpr std::string_view from_to[][2] = {{"×", "x"}, {"\u00a0", " "}, {"–", "-"},
                                             {"‑", "-"}, {"−", "-"},      {"\t", " "}};
  std::string plain;
  while (!text.empty()) {
    bool replaced = false;
    for (const auto& pair : from_to)
      if (text.starts_with(pair[0])) {
        plain += pair[1];
        text.remove_prefix(pair[0].size());
        replaced = true;
        break;
      }
    if (replaced) continue;
    const char c = text[0];
    plain += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    text.remove_prefix(1);
  }
  return plain;
}

std::string letters_and_digits(std::string_view text) {
  std::string kept;
  for (const char c : in_plain_letters(text))
    if (is_digit(c) || is_letter(c)) kept += c;
  return kept;
}

void PlainText::spaces() {
  while (rest.starts_with(' ')) rest.remove_prefix(1);
}

bool PlainText::take(std::string_view what) {
  if (!rest.starts_with(what)) return false;
  rest.remove_prefix(what.size());
  return true;
}

std::optional<double> PlainText::number() {
  std::size_t n = 0;
  while (n < rest.size() && (is_digit(rest[n]) || rest[n] == '.')) ++n;
  const auto value = plain_number(rest.substr(0, n));
  if (value) rest.remove_prefix(n);
  return value;
}

}  // namespace trammel
