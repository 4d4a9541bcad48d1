// Every value of a car file, for somebody to change in place.
#pragma once

#include <vector>

#include "file/document.h"
#include "wire/page_messages.h"

namespace trammel {

// A single value as somebody would type it: a text without its quotes; what is no plain text as it
// is written.
std::string typed_form(const Document& document, const Value& value);

// By table and row, in the order of the file; the elements of a list share a row.
std::vector<wire::ValueGroup> values_of(const Document& document);

}  // namespace trammel
