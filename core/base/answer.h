// A question that may have no answer: then the reason, in words, instead of a number.
#pragma once

#include <optional>
#include <string>

namespace trammel {

template <class T>
struct Answer {
  std::optional<T> value;
  std::string why;  // set exactly when there is no value
};

}  // namespace trammel
