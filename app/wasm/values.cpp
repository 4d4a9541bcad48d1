#include "wasm/values.h"

#include <fmt/format.h>

#include <algorithm>

#include "file/edit.h"

namespace trammel {

using namespace wire;

namespace {

// The head a value stands under and the label it goes by there.
struct Place {
  std::string group, label;
  std::string list;      // whose row the group is
  bool element = false;  // of a list of values, which share a row
};
Place place_of(const Document& d, const std::string& path) {
  const auto steps = *steps_of(path);
  // Rows of a list are told apart by their number and, where they have one, their name.
  if (steps.size() > 1 && steps[1].index) {
    const auto row = fmt::format("{}[{}]", steps[0].key, *steps[1].index);
    const Value* name = at(d, row + ".name");
    const auto head = path.find(']') + 2;
    return {name && name->string()
                ? fmt::format("{} {}: {}", steps[0].key, *steps[1].index + 1, *name->string())
                : fmt::format("{} {}", steps[0].key, *steps[1].index + 1),
            head < path.size() ? path.substr(head) : "", steps[0].key,
            steps.back().index.has_value()};
  }
  std::string group;
  std::size_t taken = 0;
  const Value* value = &d.root;
  for (const auto& step : steps) {
    const Value* next = step.index ? nullptr : value->find(step.key);
    if (!next || !next->table() || d.text[next->begin] == '{') break;
    group += (group.empty() ? "" : ".") + key_text(step.key);
    value = next;
    ++taken;
  }
  return {group.empty() ? "the file" : group,
          taken == 0 ? path : path.substr(std::min(path.size(), group.size() + 1)), "",
          steps.back().index.has_value()};
}

}  // namespace

std::string typed_form(const Document& d, const Value& value) {
  const auto* s = value.string();
  return s && as_toml(*s) == in_quotes(*s) ? *s
                                           : d.text.substr(value.begin, value.end - value.begin);
}

std::vector<ValueGroup> values_of(const Document& d) {
  std::vector<ValueGroup> groups;
  for (const auto& leaf : leaves(d)) {
    const auto place = place_of(d, leaf.path);
    auto group = std::find_if(groups.begin(), groups.end(),
                              [&](const ValueGroup& g) { return g.title == place.group; });
    if (group == groups.end()) group = groups.insert(groups.end(), {place.group, place.list, {}});
    // Elements of a list share a row.
    auto label = place.label;
    if (place.element) label.erase(label.rfind('['));
    if (group->rows.empty() || group->rows.back().label != label || label == place.label)
      group->rows.push_back({label, leaf.line, {}});
    group->rows.back().cells.push_back({leaf.path, typed_form(d, *at(d, leaf.path))});
  }
  return groups;
}

}  // namespace trammel
