#include "car/document.h"

#include <fmt/format.h>

// Some of what toml++ 3.3 takes for granted a broken file does not keep (a table header that begins
// with
// "="). It reports such a file properly as long as it neither aborts nor lets the compiler believe
// it.
#define TOML_EXCEPTIONS 0
#define TOML_HEADER_ONLY 1
#define TOML_ASSERT(claim) static_cast<void>(0)
#pragma push_macro("NDEBUG")
#undef NDEBUG
#include <toml++/toml.h>
#pragma pop_macro("NDEBUG")

#include <algorithm>

namespace trammel {
namespace {

// toml++ counts columns in code points; a text is patched in bytes.
class LineStarts {
 public:
  explicit LineStarts(std::string_view text) : text_(text) {
    starts_.push_back(0);
    for (std::size_t i = 0; i < text.size(); ++i)
      if (text[i] == '\n') starts_.push_back(i + 1);
    // A byte order mark is no column.
    if (text.starts_with("\xEF\xBB\xBF")) starts_[0] = 3;
  }
  std::size_t byte_of(toml::source_position p) const {
    if (p.line == 0 || p.line > starts_.size()) return text_.size();
    std::size_t at = starts_[p.line - 1];
    for (std::uint32_t column = 1; column < p.column && at < text_.size(); ++column) {
      ++at;
      while (at < text_.size() && (static_cast<unsigned char>(text_[at]) & 0xC0U) == 0x80U) ++at;
    }
    return at;
  }

 private:
  std::string_view text_;
  std::vector<std::size_t> starts_;
};

Value value_of(const toml::node& node, const LineStarts& lines) {
  Value v;
  const auto& where = node.source();
  v.line = static_cast<int>(where.begin.line);
  v.begin = lines.byte_of(where.begin);
  v.end = lines.byte_of(where.end);
  if (const auto* table = node.as_table()) {
    Table entries;
    for (auto&& [key, child] : *table)
      entries.push_back({std::string(key.str()), static_cast<int>(key.source().begin.line),
                         value_of(child, lines)});
    // toml++ keeps keys sorted by name; a reader of faults wants the order of the file.
    std::stable_sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
      return a.line != b.line ? a.line < b.line : a.value.begin < b.value.begin;
    });
    v.is = std::move(entries);
  } else if (const auto* array = node.as_array()) {
    Array items;
    for (const auto& child : *array) items.push_back(value_of(child, lines));
    v.is = std::move(items);
  } else if (const auto* s = node.as_string()) {
    v.is = s->get();
  } else if (const auto* i = node.as_integer()) {
    v.is = i->get();
  } else if (const auto* f = node.as_floating_point()) {
    v.is = f->get();
  } else if (const auto* b = node.as_boolean()) {
    v.is = b->get();
  }
  return v;
}

std::string_view line_of(std::string_view text, int line) {
  for (int i = 1; i < line; ++i) {
    const auto end = text.find('\n');
    if (end == std::string_view::npos) return {};
    text.remove_prefix(end + 1);
  }
  return text.substr(0, text.find('\n'));
}

// What follows the plain number after some = of the line: ",5" of "toe = 0,5", "mm" of "x = 12 mm".
std::string_view after_a_number(std::string_view line) {
  constexpr std::string_view spaces = " \t", numeric = "0123456789.";
  for (auto at = line.find('='); at != std::string_view::npos; at = line.find('=', at + 1)) {
    auto value = line.substr(at + 1);
    value.remove_prefix(std::min(value.find_first_not_of(spaces), value.size()));
    if (value.starts_with('-') || value.starts_with('+')) value.remove_prefix(1);
    const auto end = std::min(value.find_first_not_of(numeric), value.size());
    auto rest = value.substr(end);
    const bool comma = rest.size() > 1 && rest[0] == ',' && rest[1] >= '0' && rest[1] <= '9';
    rest.remove_prefix(std::min(rest.find_first_not_of(spaces), rest.size()));
    const bool ends = rest.empty() || std::string_view(",]}#\r").find(rest[0]) != rest.npos;
    if (end > 0 && (comma || !ends)) return rest;
  }
  return {};
}

// What the parser says, and what a writer of car files would want to hear beside it.
std::string syntax_fault(std::string_view said, std::string_view text, int line) {
  const auto has = [&](std::string_view part) { return said.find(part) != std::string_view::npos; };
  std::string_view expected = "expected lines such as key = value under a [table]";
  const auto here = line_of(text, line);
  const auto follows = after_a_number(here);
  // A quote that is never closed, or closed and never opened.
  const bool quote_is_missing = std::count(here.begin(), here.end(), '"') % 2 == 1;
  if (follows.starts_with(','))
    expected = "expected decimals with a point, such as 0.5 and not 0,5";
  else if (!follows.empty() && !follows.starts_with('='))
    expected = "expected a value with a unit or a fraction in quotes, such as \"12 mm\"";
  else if (quote_is_missing)
    expected = "a quote (\") seems to be missing on this line, expected texts in two of them";
  else if (has("redefine") && (has("array-of-tables") || has("as array")))
    expected =
        "expected rows either in one list, such as reading = [ ... ], or each under its own "
        "[[reading]], not both";
  else if (has("could not determine value type"))
    expected = "expected a number, true or false, a text in quotes, or a list in [ ]";
  else if (has("end-of-file")) expected = "expected the rest of it: the file ends in the middle";
  else if (has("redefine")) expected = "expected each key and each [table] once";
  else if (has("utf-8")) expected = "expected a text file";
  return fmt::format("the file cannot be read as TOML: {}; {}", said, expected);
}

// A sign beyond ASCII outside of quotes and comments: never TOML, mostly a unit that wants quotes.
// It is looked for here because toml++ 3.3 runs into undefined behaviour over it (its test for
// white space).
struct StraySign {
  int line;
  std::string sign;
};
std::optional<StraySign> stray_sign(std::string_view text) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  int line = 1;
  std::string_view quote;  // of the string that is open; a single # while a comment is
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto rest = text.substr(i);
    const bool newline = text[i] == '\n';
    if (newline) {
      ++line;
      if (quote.size() == 1)
        quote = {};  // neither a comment nor a plain string goes over a line's end
      continue;
    }
    if (!quote.empty()) {
      if (quote[0] == '"' && text[i] == '\\' && rest.size() > 1 && rest[1] != '\n') ++i;
      else if (quote != "#" && rest.starts_with(quote)) {
        i += quote.size() - 1;
        quote = {};
      }
      continue;
    }
    if (text[i] == '#' || text[i] == '"' || text[i] == '\'') {
      const bool triple = rest.starts_with("\"\"\"") || rest.starts_with("'''");
      quote = rest.substr(0, triple ? 3 : 1);
      i += quote.size() - 1;
      continue;
    }
    if (static_cast<unsigned char>(text[i]) < 0x80U) continue;
    std::size_t n = 1;
    while (n < rest.size() && (static_cast<unsigned char>(rest[n]) & 0xC0U) == 0x80U) ++n;
    return StraySign{line, std::string(rest.substr(0, n))};
  }
  return {};
}

// Whether a text is UTF-8 is the parser's to say; a stray byte must not be shown as a sign.
bool is_whole_sign(const std::string& sign) {
  const auto lead = static_cast<unsigned char>(sign[0]);
  const std::size_t wanted = lead >= 0xF0U ? 4 : lead >= 0xE0U ? 3 : lead >= 0xC2U ? 2 : 0;
  return sign.size() == wanted;
}

}  // namespace

std::optional<double> Value::number() const {
  if (const auto* i = std::get_if<std::int64_t>(&is)) return static_cast<double>(*i);
  if (const auto* f = std::get_if<double>(&is)) return *f;
  return {};
}

const Value* Value::find(std::string_view key) const {
  if (const auto* t = table())
    for (const auto& entry : *t)
      if (entry.key == key) return &entry.value;
  return nullptr;
}

Read<Document> parse(std::string text) {
  if (text.find('\0') != std::string::npos)
    return {{},
            {{1, "this is not a text file (it holds a zero byte), expected a car file in TOML"}}};
  if (const auto stray = stray_sign(text))
    return {{},
            {{stray->line,
              is_whole_sign(stray->sign)
                  ? fmt::format(
                        "the file cannot be read as TOML: '{}' stands outside quotes; expected a "
                        "text with its unit in quotes, such as \"0°30'\"",
                        stray->sign)
                  : "this is not a text file (it is not UTF-8), expected a car file in TOML"}}};
  auto result = toml::parse(std::string_view(text));
  if (!result) {
    const auto& error = result.error();
    const int line = static_cast<int>(error.source().begin.line);
    return {{}, {{line, syntax_fault(error.description(), text, line)}}};
  }
  Document document;
  document.text = std::move(text);
  document.root = value_of(result.table(), LineStarts(document.text));
  return {std::move(document), {}};
}

std::optional<std::vector<PathStep>> steps_of(std::string_view path) {
  std::vector<PathStep> steps;
  const auto pass = [&](std::size_t n) {
    path.remove_prefix(n);
    if (path.starts_with('.') && path.size() > 1) path.remove_prefix(1);
  };
  while (!path.empty()) {
    if (path[0] == '[') {
      const auto close = path.find(']');
      if (close == std::string_view::npos || close == 1 || close > 6) return {};
      std::size_t index = 0;
      for (const char c : path.substr(1, close - 1)) {
        if (c < '0' || c > '9') return {};
        index = index * 10 + static_cast<std::size_t>(c - '0');
      }
      steps.push_back({{}, index});
      pass(close + 1);
    } else if (path[0] == '"') {
      std::string key;
      std::size_t i = 1;
      for (; i < path.size() && path[i] != '"'; ++i) {
        if (path[i] == '\\' && i + 1 < path.size()) ++i;
        key += path[i];
      }
      if (i == path.size()) return {};
      steps.push_back({std::move(key), {}});
      pass(i + 1);
    } else {
      const auto stop = std::min(path.find_first_of(".["), path.size());
      if (stop == 0) return {};
      steps.push_back({std::string(path.substr(0, stop)), {}});
      pass(stop);
    }
  }
  return steps;
}

std::string key_text(std::string_view key) {
  const bool bare = !key.empty() && std::all_of(key.begin(), key.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-';
  });
  return bare ? std::string(key) : in_quotes(key);
}

std::string in_quotes(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    if (c == '\n' || c == '\t' || c == '\r') out += ' ';
    else if (static_cast<unsigned char>(c) >= 0x20U && c != '\x7f') out += c;
  }
  return out + "\"";
}

const Value* at(const Document& document, std::string_view path) {
  const auto steps = steps_of(path);
  if (!steps || steps->empty()) return nullptr;
  const Value* value = &document.root;
  for (const auto& step : *steps) {
    if (step.index) {
      const auto* items = value->array();
      if (!items || *step.index >= items->size()) return nullptr;
      value = &(*items)[*step.index];
    } else {
      value = value->find(step.key);
      if (!value) return nullptr;
    }
  }
  return value;
}

}  // namespace trammel
