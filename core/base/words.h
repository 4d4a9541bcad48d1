// Words in lists, and the one that was meant.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace trammel {

// The candidate nearest to `word` by edits, or empty where none is near.
std::string nearest_word(std::string_view word, const std::vector<std::string>& candidates);

// A list in words: "a, b and c".
std::string listed(const std::vector<std::string>& words, std::string_view last = "and");

// "Ball-joint spacer" -> "ball-joint-spacer": as one word that stands in a file.
std::string as_id(std::string_view name);

}  // namespace trammel
