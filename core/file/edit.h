// Changing the text of a car file: one value, one key, one row at a time, everything else as it
// stood.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "file/document.h"

namespace trammel {

// The document with the value at `path` replaced by `toml` (a TOML value: a number, or a string in
// its quotes, an array …). Exactly those bytes change. Faults: no such value, the path names a
// whole [table], or `toml` is not one single value.
Read<Document> edit(const Document& document, std::string_view path, std::string_view toml);

// The document with the length at `path`, a bare number of mm or a text such as "188 ± 2 mm", moved
// by `by_mm`: its unit and its ± stay as they are written. Faults as of edit, or what stands there
// is no length.
Read<Document> nudged(const Document& document, std::string_view path, double by_mm);

// As edit, and where the document has no such value yet its key is written: at the end of its
// table where that stands, else in a new [table] at the end of the file. Everything that stood in
// the file keeps its value. Faults as of edit, or where no place can take the key.
Read<Document> put(const Document& document, std::string_view path, std::string_view toml);

// The document without the [table] at `path` (its header and keys; comments between them go too).
// A document that has no such table comes back as it is. Faults: `path` is no [table] of its own.
Read<Document> without_table(const Document& document, std::string_view path);

// A further row of a list of tables such as [[job]], its keys with TOML values in this order.
Read<Document> add_row(const Document& document, std::string_view list,
                       const std::vector<std::pair<std::string, std::string>>& keys);

// A further element of the list of values at `path`, such as survey.floor or reading[3].rows:
// `toml` is one TOML value. The list is written where it does not stand yet. Faults: as of put, or
// what stands there is no list of values.
Read<Document> append(const Document& document, std::string_view path, std::string_view toml);

// What somebody typed, as TOML: a number, true, a list or a table in one line as it stands,
// anything else as a text in quotes.
std::string as_toml(std::string_view typed);

// Every single value of the file in its order: numbers, texts, true and false, each element of a
// list by itself.
struct Leaf {
  std::string path;
  int line = 0;
  std::string written;  // as the file has it
};
std::vector<Leaf> leaves(const Document& document);

}  // namespace trammel
