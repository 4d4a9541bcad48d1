// Every value of a car file, for somebody to change in place.
#pragma once

#include <vector>

#include "car/document.h"
#include "wire/page_messages.h"

namespace trammel {

// By table and row, in the order of the file; the elements of a list share a row.
std::vector<wire::ValueGroup> values_of(const Document& document);

}  // namespace trammel
