#include "base/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace trammel {
namespace {

std::size_t edits(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t before = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t same = before + (a[i - 1] == b[j - 1] ? 0 : 1);
      before = row[j];
      row[j] = std::min({same, row[j] + 1, row[j - 1] + 1});
    }
  }
  return row.back();
}

}  // namespace

std::string nearest_word(std::string_view word, const std::vector<std::string>& candidates) {
  std::string best;
  std::size_t least = std::max<std::size_t>(2, word.size() / 2) + 1;
  for (const auto& c : candidates)
    if (const auto n = edits(word, c); n < least) {
      least = n;
      best = c;
    }
  return best;
}

std::string listed(const std::vector<std::string>& words, std::string_view last) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? fmt::format(" {} ", last) : ", ";
    text += words[i];
  }
  return text;
}

std::string as_id(std::string_view name) {
  std::string id;
  for (const char c : name) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (c & 0x80) != 0;
    if (plain) id += c;
    else if (c >= 'A' && c <= 'Z') id += static_cast<char>(c - 'A' + 'a');
    else if (!id.empty() && id.back() != '-') id += '-';
  }
  while (id.ends_with('-')) id.pop_back();
  return id;
}

}  // namespace trammel
