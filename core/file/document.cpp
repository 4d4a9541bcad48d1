#include "file/document.h"

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
#include <unordered_map>

#include "base/plain_text.h"

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
    const auto& signs = signs_of(p.line - 1);
    return signs[std::min<std::size_t>(std::max(p.column, 1U), signs.size()) - 1];
  }

 private:
  // Where each sign of a line begins, and where the last one ends. Counted once a line: a list may
  // hold thousands of values in one.
  const std::vector<std::size_t>& signs_of(std::size_t line) const {
    auto& signs = signs_[line];
    if (!signs.empty()) return signs;
    const auto end = line + 1 < starts_.size() ? starts_[line + 1] : text_.size();
    for (std::size_t at = starts_[line]; at < end; ++at)
      if ((static_cast<unsigned char>(text_[at]) & 0xC0U) != 0x80U) signs.push_back(at);
    signs.push_back(end);
    return signs;
  }

  std::string_view text_;
  std::vector<std::size_t> starts_;
  mutable std::unordered_map<std::size_t, std::vector<std::size_t>> signs_;
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
  return fmt::format("the file cannot be read as TOML: {}; {}", in_short(said), expected);
}

// Whether a text is UTF-8 is the parser's to say; a stray byte must not be shown as a sign.
bool is_whole_sign(const std::string& sign) {
  const auto lead = static_cast<unsigned char>(sign[0]);
  const std::size_t wanted = lead >= 0xF0U ? 4 : lead >= 0xE0U ? 3 : lead >= 0xC2U ? 2 : 0;
  return sign.size() == wanted;
}

// What a car file never needs, and what the parser and everything behind it goes down into as deep
// as it is written: front.right.arm.upper.upright has five parts, and a row in a list three levels.
constexpr int most_key_parts = 12, deepest_brackets = 8;
// Of a path into a file: every part and every bracket one.
constexpr std::size_t most_steps = most_key_parts + deepest_brackets;

// Looks at what stands outside of quotes and comments, before toml++ 3.3 does: a sign beyond ASCII
// leads it into undefined behaviour (its test for white space), and so does a quote in the middle
// of a value, whose text it takes for more of the value; what is nested without end overflows its
// stack.
class BeforeParsing {
 public:
  explicit BeforeParsing(std::string_view text) : text_(text) {
    if (text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
  }

  std::optional<Fault> fault() {
    for (std::size_t i = 0; i < text_.size(); ++i) {
      const auto rest = text_.substr(i);
      if (text_[i] == '\n') {
        line_ends();
      } else if (!quote_.empty()) {
        i += in_quotes(rest);
      } else if (auto what = outside(rest); !what.empty()) {
        return Fault{line_, std::move(what)};
      } else if (!quote_.empty()) {
        i += quote_.size() - 1;
      }
    }
    return {};
  }

 private:
  void line_ends() {
    ++line_;
    // Neither a comment nor a plain string goes over a line's end.
    if (quote_.size() == 1) quote_ = {};
    before_ = 0;
    parts_ = 1;
  }

  // How many signs to pass over besides this one.
  std::size_t in_quotes(std::string_view rest) {
    if (quote_[0] == '"' && rest[0] == '\\' && rest.size() > 1 && rest[1] != '\n') return 1;
    if (quote_ == "#" || !rest.starts_with(quote_)) return 0;
    std::size_t n = quote_.size();
    // Up to two quotes may stand at the end of a text in three.
    for (int more = 0; n >= 3 && more < 2 && n < rest.size() && rest[n] == quote_[0]; ++more) ++n;
    quote_ = {};
    return n - 1;
  }

  std::string outside(std::string_view rest) {
    const char c = rest[0];
    if (c == '#') {
      quote_ = rest.substr(0, 1);
      return {};
    }
    if (c == ' ' || c == '\t' || c == '\r') return {};
    const char before = before_;
    before_ = c;
    if (static_cast<unsigned char>(c) >= 0x80U) return stray(rest);
    if (c == '"' || c == '\'') {
      if (before != 0 && std::string_view("=,[{.]").find(before) == std::string_view::npos)
        return "the file cannot be read as TOML: a quote stands in the middle of a value; expected "
               "a value with a unit or a fraction in quotes as a whole, such as \"12 mm\"";
      const bool triple = rest.starts_with("\"\"\"") || rest.starts_with("'''");
      quote_ = rest.substr(0, triple ? 3 : 1);
      return {};
    }
    if (c == '=' && before == '=')
      return "the file cannot be read as TOML: two = in a row; expected lines such as key = value";
    return nested(c);
  }

  std::string nested(char c) {
    if (c == '.') {
      if (++parts_ > most_key_parts)
        return fmt::format(
            "the file cannot be read as a car file: a key of more than {} parts, "
            "expected one such as front.arm.lower.upright",
            most_key_parts);
    } else if (std::string_view("=,[]{}").find(c) != std::string_view::npos) {
      parts_ = 1;
    }
    if (c == '[' || c == '{') {
      if (++depth_ > deepest_brackets)
        return fmt::format(
            "the file cannot be read as a car file: more than {} brackets within "
            "each other, expected a list or a row of values",
            deepest_brackets);
    } else if ((c == ']' || c == '}') && depth_ > 0) {
      --depth_;
    }
    return {};
  }

  static std::string stray(std::string_view rest) {
    std::size_t n = 1;
    while (n < rest.size() && (static_cast<unsigned char>(rest[n]) & 0xC0U) == 0x80U) ++n;
    const std::string sign(rest.substr(0, n));
    return is_whole_sign(sign)
               ? fmt::format(
                     "the file cannot be read as TOML: '{}' stands outside quotes; expected a "
                     "text with its unit in quotes, such as \"0°30'\"",
                     sign)
               : "this is not a text file (it is not UTF-8), expected a car file in TOML";
  }

  std::string_view text_;
  std::string_view quote_;  // of the string that is open; a single # while a comment is
  char before_ = 0;         // the last sign that is no space; 0 where a line begins
  int line_ = 1, parts_ = 1, depth_ = 0;
};

// Texts go to terminals, drawings and sheets in one line: what could end it, move the cursor or
// turn the direction of reading is refused where it is written.
constexpr std::size_t longest_key = 200, longest_text = 2000;
constexpr std::size_t most_faults = 20;
// Of rows, values of a list or keys of a table: nobody writes so many by hand, and what compares
// each with each stays quick.
constexpr std::size_t longest_list = 5000;

std::string why_not_text(std::string_view text, std::size_t longest) {
  if (text.size() > longest)
    return fmt::format("is longer than {} signs ('{}'), expected a text of one line", longest,
                       in_short(text));
  if (const auto sign = control_sign(text))
    return fmt::format("holds the control sign U+{:04X} ('{}'), expected a text of one line",
                       static_cast<unsigned>(*sign), in_short(text));
  return {};
}

void look_at(const Value& value, std::vector<Fault>& faults) {
  const auto told = [&](int line, std::string what) {
    if (faults.size() < most_faults) faults.push_back({line, std::move(what)});
  };
  const auto long_one = [&](std::size_t size, const char* of) {
    if (size > longest_list)
      told(value.line,
           fmt::format("a list or table of {} {}, expected {} at most", size, of, longest_list));
    return size > longest_list;
  };
  const auto text = [&](int line, const char* what, const std::string& is, std::size_t longest) {
    if (const auto why = why_not_text(is, longest); !why.empty())
      told(line, fmt::format("{} {}", what, why));
  };
  if (const auto* table = value.table()) {
    if (long_one(table->size(), "keys")) return;
    for (const auto& entry : *table) {
      text(entry.line, "a key", entry.key, longest_key);
      look_at(entry.value, faults);
    }
  } else if (const auto* list = value.array()) {
    if (long_one(list->size(), "values")) return;
    for (const auto& item : *list) look_at(item, faults);
  } else if (const auto* is = value.string()) {
    text(value.line, "a text", *is, longest_text);
  }
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
  if (auto fault = BeforeParsing(text).fault()) return {{}, {std::move(*fault)}};
  auto result = toml::parse(std::string_view(text));
  if (!result) {
    const auto& error = result.error();
    const int line = static_cast<int>(error.source().begin.line);
    return {{}, {{line, syntax_fault(error.description(), text, line)}}};
  }
  Document document;
  document.text = std::move(text);
  document.root = value_of(result.table(), LineStarts(document.text));
  std::vector<Fault> faults;
  look_at(document.root, faults);
  if (!faults.empty()) return {{}, std::move(faults)};
  return {std::move(document), {}};
}

std::optional<std::vector<PathStep>> steps_of(std::string_view path) {
  std::vector<PathStep> steps;
  const auto pass = [&](std::size_t n) {
    path.remove_prefix(n);
    if (path.starts_with('.') && path.size() > 1) path.remove_prefix(1);
  };
  while (!path.empty()) {
    if (steps.size() > most_steps) return {};
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
