// Our own bugs. A check states what the code around it takes for granted and prints the values that
// broke it. It is never the answer to bad input or to a question without an answer.
#pragma once

#include <initializer_list>
#include <stdexcept>
#include <string>

namespace trammel {

// Thrown by `check`; only the outermost edge (program, page) catches it.
struct Bug : std::logic_error {
  using std::logic_error::logic_error;
};

struct Seen {
  const char* name;
  double value;
};

// Throws Bug with `claim` and every value seen unless `holds`.
void check(bool holds, const char* claim, std::initializer_list<Seen> seen = {});

}  // namespace trammel
