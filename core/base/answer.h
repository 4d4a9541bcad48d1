// A question that may have no answer: then the reason instead of a value.
#pragma once

#include <optional>
#include <string>

namespace trammel {

// `Why` says by a kind and its numbers why there is none, where the reason is one of a known few;
// the room that has the kinds makes their words. Else it is words.
template <class T, class Why = std::string>
struct Answer {
  std::optional<T> value;
  Why why{};  // means something exactly when there is no value
};

}  // namespace trammel
