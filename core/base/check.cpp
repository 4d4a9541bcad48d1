#include "base/check.h"

#include <fmt/format.h>

namespace trammel {

void check(bool holds, const char* claim, std::initializer_list<Seen> seen) {
  if (holds) return;
  std::string message = fmt::format("a bug in Trammel: expected {}", claim);
  for (const auto& s : seen) message += fmt::format("; {} = {}", s.name, s.value);
  throw Bug(message);
}

}  // namespace trammel
