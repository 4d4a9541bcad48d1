// Drawings as one PDF.
#pragma once

#include <string>
#include <vector>

#include "base/answer.h"

namespace trammel {

// The bytes of a PDF with one page a drawing, each exactly as large as its svg says (width and
// height in mm or another length, not per cent); lines stay lines and words stay words. No value,
// with the reason, where there is no page or one of them is not an SVG with a size.
Answer<std::string> pdf_of(const std::vector<std::string>& svgs);

}  // namespace trammel
