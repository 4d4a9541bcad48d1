// A car file as text, and its values with the place each stands at.
//
// The text is the state: an edit patches the bytes of one value and leaves everything else alone,
// so comments and order survive, and undo is an earlier text.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace trammel {

// Bad input: where, and what is wrong and what was expected. Line 0 speaks of the file as a whole.
struct Fault {
  int line = 0;
  std::string what;
  std::string missing = {};  // the key that is not there, where that is what is wrong
  int field = -1;            // of a card that was typed, counted from 0; or none of them
};

// A value, or the faults that kept it from being read. `value` is there exactly when `faults` is
// empty.
template <class T>
struct Read {
  std::optional<T> value;
  std::vector<Fault> faults;
};

struct Value;
struct Entry;
using Array = std::vector<Value>;
using Table = std::vector<Entry>;  // in the order of the file

// Something TOML knows and a car file never holds: dates and times.
struct Other {};

struct Value {
  std::variant<Other, bool, std::int64_t, double, std::string, Array, Table> is;
  int line = 0;
  std::size_t begin = 0, end = 0;  // bytes of the text; for a [table] only `line` counts

  const Table* table() const { return std::get_if<Table>(&is); }
  const Array* array() const { return std::get_if<Array>(&is); }
  const std::string* string() const { return std::get_if<std::string>(&is); }
  // Integer or float as a number; nothing for other kinds.
  std::optional<double> number() const;
  // The value of `key`, where this is a table that has it.
  const Value* find(std::string_view key) const;
};

struct Entry {
  std::string key;
  int line = 0;
  Value value;
};

struct Document {
  std::string text;
  Value root;
};

// Parses TOML 1.0. A syntax fault is reported alone, with its line.
Read<Document> parse(std::string text);

// The value at a path such as "front.arm.lower.upright", "front.wheel.centre[2]", "option[0].name",
// front.chosen."rod-end stack"; null where the document has none.
const Value* at(const Document& document, std::string_view path);

// One step of a path: a key, or an index in brackets. Nothing where the path cannot be read as one.
struct PathStep {
  std::string key;
  std::optional<std::size_t> index;
};
std::optional<std::vector<PathStep>> steps_of(std::string_view path);
// A key as a path and a file write it: bare where TOML allows, else in quotes.
std::string key_text(std::string_view key);
// A text in quotes, in one line.
std::string in_quotes(std::string_view text);

}  // namespace trammel
