#include "sheet/hangs_on.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "file/edit.h"

namespace trammel {

std::string geometry_of(const Document& document) {
  constexpr std::array<std::string_view, 6> beside{"job[",     "make[", "fastener[",
                                                   "rod_end[", "load[", "alignment["};
  constexpr std::array<std::string_view, 2> chosen{"front.chosen", "rear.chosen"};
  const auto all = leaves(document);
  const bool run_with_chosen = std::any_of(all.begin(), all.end(), [](const Leaf& leaf) {
    return leaf.path.ends_with(".with") && leaf.written == "\"chosen\"";
  });
  std::string key;
  for (const auto& leaf : all) {
    const auto begins = [&](std::string_view with) { return leaf.path.starts_with(with); };
    if (leaf.path == "name" || std::any_of(beside.begin(), beside.end(), begins) ||
        (!run_with_chosen && std::any_of(chosen.begin(), chosen.end(), begins)))
      continue;
    key += leaf.path + "=" + leaf.written + "\n";
  }
  return key;
}

}  // namespace trammel
