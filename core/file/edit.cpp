#include "file/edit.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/plain_text.h"
#include "base/quantity.h"

namespace trammel {
namespace {

Read<Document> fault(int line, std::string what) { return {{}, {{line, std::move(what)}}}; }

// A table with a header of its own, [like.this], or a row under [[this]].
bool has_header(const Document& d, const Value& v) {
  return v.table() && v.begin < d.text.size() && d.text[v.begin] == '[';
}
bool inline_table(const Document& d, const Value& v) {
  return v.table() && v.begin < d.text.size() && d.text[v.begin] == '{';
}
// A list in brackets, not one of rows under [[this]].
bool inline_list(const Document& d, const Value& v) {
  if (!v.array() || v.begin >= d.text.size() || d.text[v.begin] != '[') return false;
  return v.array()->empty() || !v.array()->front().table() || inline_table(d, v.array()->front());
}

// Whether `toml` is one value and nothing besides: no comment, no second key.
bool is_one_value(std::string_view toml) {
  const auto alone = parse(fmt::format("v = {}\n", toml));
  const Value* v = alone.value ? alone.value->root.find("v") : nullptr;
  return v && v->begin == 4 && v->end == 4 + toml.size();
}

std::string not_one_value(std::string_view toml) {
  return fmt::format("'{}' is not one TOML value, expected a number, true, or a text in quotes",
                     in_short(toml));
}

std::string newline_of(const std::string& text) {
  const auto at = text.find('\n');
  return at != std::string::npos && at > 0 && text[at - 1] == '\r' ? "\r\n" : "\n";
}

// Where the line that holds byte `at` ends, its newline included.
std::size_t line_end(const std::string& text, std::size_t at) {
  const auto stop = text.find('\n', at);
  return stop == std::string::npos ? text.size() : stop + 1;
}

// The last byte of what stands under a header: keys in one line each, nested values included, but
// no table with a header of its own.
std::size_t end_of_keys(const Document& d, const Value& table) {
  std::size_t end = table.begin;
  for (const auto& entry : *table.table()) {
    const bool own =
        has_header(d, entry.value) || (entry.value.array() && !inline_list(d, entry.value));
    if (!own && !entry.value.table()) end = std::max(end, entry.value.end);
    if (inline_table(d, entry.value)) end = std::max(end, entry.value.end);
  }
  return end;
}

std::string path_text(const std::vector<PathStep>& steps, std::size_t count) {
  std::string text;
  for (std::size_t i = 0; i < count; ++i) {
    if (steps[i].index) text += fmt::format("[{}]", *steps[i].index);
    else text += (text.empty() ? "" : ".") + key_text(steps[i].key);
  }
  return text;
}

void collect(const Document& d, const Value& v, const std::string& path, std::vector<Leaf>& into) {
  if (const auto* table = v.table()) {
    for (const auto& entry : *table)
      collect(d, entry.value, path + (path.empty() ? "" : ".") + key_text(entry.key), into);
  } else if (const auto* list = v.array()) {
    for (std::size_t i = 0; i < list->size(); ++i)
      collect(d, (*list)[i], fmt::format("{}[{}]", path, i), into);
  } else {
    into.push_back({path, v.line, d.text.substr(v.begin, v.end - v.begin)});
  }
}

// Whether `after` has every value that `before` has, as it stood.
bool keeps(const Document& before, const Document& after) {
  std::map<std::string, std::string> now;
  for (auto& leaf : leaves(after)) now.emplace(std::move(leaf.path), std::move(leaf.written));
  const auto old = leaves(before);
  return std::all_of(old.begin(), old.end(), [&](const Leaf& l) {
    const auto found = now.find(l.path);
    return found != now.end() && found->second == l.written;
  });
}

// Behind the last element of a list in brackets, set off from it by `gap`.
void insert_element(std::string& text, const Value& list, const std::string& toml,
                    const std::string& gap) {
  if (list.array()->empty()) text.insert(list.end - 1, toml);
  else text.insert(list.array()->back().end, "," + gap + toml);
}

}  // namespace

Read<Document> edit(const Document& document, std::string_view path, std::string_view toml) {
  const Value* value = at(document, path);
  if (!value)
    return fault(0, fmt::format("there is no value '{}' in the file, expected the path of one that "
                                "stands there, such as front.wheel.centre[2]",
                                in_short(path)));
  if ((value->table() && !inline_table(document, *value)) ||
      (value->array() && !inline_list(document, *value) && !value->array()->empty() &&
       value->array()->front().table()))
    return fault(value->line,
                 fmt::format("'{}' is a whole table, expected a single value", in_short(path)));
  if (!is_one_value(toml)) return fault(value->line, not_one_value(toml));
  std::string text = document.text;
  text.replace(value->begin, value->end - value->begin, toml);
  return parse(std::move(text));
}

Read<Document> nudged(const Document& document, std::string_view path, double by_mm) {
  const Value* value = at(document, path);
  if (!value) return edit(document, path, "0");  // which says what is missing
  const auto* text = value->string();
  const auto number = value->number();
  const auto moved = text     ? moved_length(*text, by_mm)
                     : number ? moved_length(shortest(*number), by_mm)
                              : std::nullopt;
  if (!moved)
    return fault(value->line, fmt::format("'{}' is no length that could be moved, expected {}",
                                          path, example_of(Kind::length)));
  return edit(document, path, text ? in_quotes(*moved) : *moved);
}

Read<Document> put(const Document& document, std::string_view path, std::string_view toml) {
  if (at(document, path)) return edit(document, path, toml);
  const auto steps = steps_of(path);
  if (!steps || steps->empty() || steps->back().index || steps->front().index)
    return fault(0, fmt::format("'{}' is no path of a key, expected one such as front.wheel.toe",
                                in_short(path)));
  if (!is_one_value(toml)) return fault(0, not_one_value(toml));
  const std::string newline = newline_of(document.text);
  const std::string line = fmt::format("{} = {}", key_text(steps->back().key), toml);
  const auto parent = path_text(*steps, steps->size() - 1);
  std::vector<std::string> tries;
  const Value* table = parent.empty() ? &document.root : at(document, parent);
  if (table && inline_table(document, *table)) {
    std::string text = document.text;
    const auto close = table->end - 1;
    auto after = close;  // the blank before the bracket stays before it
    while (after > table->begin + 1 && text[after - 1] == ' ') --after;
    text.insert(after, (table->table()->empty() ? " " : ", ") + line + (after == close ? " " : ""));
    tries.push_back(std::move(text));
  } else if (table && (has_header(document, *table) || parent.empty())) {
    std::string text = document.text;
    const auto end = end_of_keys(document, *table);
    auto at = end == 0 ? 0 : line_end(text, end);
    if (at > 0 && text[at - 1] != '\n') text.insert(at, newline), at += newline.size();
    text.insert(at, line + newline);
    tries.push_back(std::move(text));
  }
  const bool in_a_row = std::any_of(steps->begin(), steps->end(),
                                    [](const PathStep& s) { return s.index.has_value(); });
  if (!in_a_row && !parent.empty()) {
    std::string text = document.text;
    if (!text.empty() && text.back() != '\n') text += newline;
    tries.push_back(text + newline + "[" + parent + "]" + newline + line + newline);
  }
  // What a place does to the rest of the file shows in what it then says.
  for (auto& text : tries) {
    auto after = parse(std::move(text));
    if (after.value && at(*after.value, path) && keeps(document, *after.value)) return after;
  }
  return fault(0, fmt::format("no place in the file can take '{}': write it by hand, expected {} "
                              "under [{}]",
                              in_short(path), in_short(line), in_short(parent)));
}

Read<Document> without_table(const Document& document, std::string_view path) {
  const Value* table = at(document, path);
  if (!table) return {document, {}};
  if (!has_header(document, *table) || document.text.compare(table->begin, 2, "[[") == 0)
    return fault(table->line,
                 fmt::format("'{}' is no [table] of its own, expected one with a header", path));
  auto from = table->begin;
  const auto to = line_end(document.text, end_of_keys(document, *table));
  // The blank line that set it off goes with it.
  if (to == document.text.size())
    while (from > 1 && document.text[from - 1] == '\n' &&
           (document.text[from - 2] == '\n' || document.text[from - 2] == '\r'))
      --from;
  std::string text = document.text;
  text.erase(from, to - from);
  return parse(std::move(text));
}

Read<Document> add_row(const Document& document, std::string_view list,
                       const std::vector<std::pair<std::string, std::string>>& keys) {
  std::string text = document.text;
  const std::string newline = newline_of(text);
  const Value* rows = at(document, list);
  if (rows && inline_list(document, *rows)) {
    std::string row;
    for (const auto& [key, toml] : keys)
      row += fmt::format("{}{} = {}", row.empty() ? "{ " : ", ", key_text(key), toml);
    insert_element(text, *rows, row + " }", newline + "  ");
  } else {
    if (!text.empty() && text.back() != '\n') text += newline;
    text += newline + fmt::format("[[{}]]", list) + newline;
    for (const auto& [key, toml] : keys)
      text += fmt::format("{} = {}", key_text(key), toml) + newline;
  }
  auto after = parse(std::move(text));
  if (after.value && !keeps(document, *after.value))
    return fault(rows ? rows->line : 0,
                 fmt::format("no row can be added to '{}': write it by hand", list));
  return after;
}

Read<Document> append(const Document& document, std::string_view path, std::string_view toml) {
  const Value* list = at(document, path);
  if (!list) return put(document, path, fmt::format("[{}]", toml));
  if (!inline_list(document, *list))
    return fault(list->line, fmt::format("'{}' is no list of values in brackets", path));
  if (!is_one_value(toml)) return fault(list->line, not_one_value(toml));
  std::string text = document.text;
  insert_element(text, *list, std::string(toml), " ");
  return parse(std::move(text));
}

std::string as_toml(std::string_view typed) {
  while (!typed.empty() && (typed.front() == ' ' || typed.front() == '\t')) typed.remove_prefix(1);
  while (!typed.empty() && (typed.back() == ' ' || typed.back() == '\t')) typed.remove_suffix(1);
  if (is_one_value(typed)) {
    const auto v = parse(fmt::format("v = {}\n", typed));
    if (!std::holds_alternative<Other>(v.value->root.find("v")->is)) return std::string(typed);
  }
  return in_quotes(typed);
}

std::vector<Leaf> leaves(const Document& document) {
  std::vector<Leaf> all;
  collect(document, document.root, "", all);
  // A table written in two places comes back in the order of the file.
  std::stable_sort(all.begin(), all.end(),
                   [](const Leaf& a, const Leaf& b) { return a.line < b.line; });
  return all;
}

}  // namespace trammel
