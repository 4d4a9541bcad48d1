// Sections as plain text for a terminal.
#pragma once

#include <string>

#include "told/section.h"

namespace trammel {

// Lines of at most `width` columns; a grid that is wider is split into several, each with its first
// column. Ends with a newline.
std::string as_text(const Section& section, std::size_t width = 100);
// Without the working.
std::string brief_text(const Section& section, std::size_t width = 100);

}  // namespace trammel
