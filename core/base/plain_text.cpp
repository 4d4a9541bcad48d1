#include "base/plain_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.h"

namespace trammel {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return c >= 'a' && c <= 'z'; }

// One sign of UTF-8 at the head of a text that is not empty, and its bytes; a stray byte counts as
// the sign of its own number.
struct Sign {
  char32_t is;
  std::size_t bytes;
};
Sign first_sign(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const auto lead = byte(0);
  const std::size_t more = lead >= 0xF0U ? 3 : lead >= 0xE0U ? 2 : lead >= 0xC0U ? 1 : 0;
  char32_t c = more == 3   ? lead & 0x07U
               : more == 2 ? lead & 0x0FU
               : more == 1 ? lead & 0x1FU
                           : lead;
  for (std::size_t i = 1; i <= more; ++i) {
    if (i >= text.size() || (byte(i) & 0xC0U) != 0x80U) return {lead, 1};
    c = (c << 6U) | (byte(i) & 0x3FU);
  }
  return {c, more + 1};
}

// Unicode's controls (general category Cc), its separators of lines and paragraphs, and the marks
// that turn the direction of reading (UAX 9).
bool is_control(char32_t c) {
  return (c < 0x20U && c != '\t') || (c >= 0x7FU && c < 0xA0U) || c == 0x2028U || c == 0x2029U ||
         (c >= 0x202AU && c <= 0x202EU) || (c >= 0x2066U && c <= 0x2069U);
}

constexpr std::size_t shown_of_each_end = 60;

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

std::optional<char32_t> control_sign(std::string_view text) {
  while (!text.empty()) {
    const auto sign = first_sign(text);
    if (is_control(sign.is)) return sign.is;
    text.remove_prefix(sign.bytes);
  }
  return {};
}

std::string printable(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const auto sign = first_sign(text);
    if (is_control(sign.is)) out += fmt::format("<U+{:04X}>", static_cast<unsigned>(sign.is));
    else out += text.substr(0, sign.bytes);
    text.remove_prefix(sign.bytes);
  }
  return out;
}

std::string in_short(std::string_view text) {
  if (text.size() <= 2 * shown_of_each_end + 20) return printable(text);
  const auto inside = [&](std::size_t at) {
    return (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U;
  };
  auto head = shown_of_each_end, tail = text.size() - shown_of_each_end;
  while (head > 0 && inside(head)) --head;
  while (tail < text.size() && inside(tail)) ++tail;
  return printable(text.substr(0, head)) + " ... " + printable(text.substr(tail));
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
