// Text inside HTML and SVG.
#pragma once

#include <string>

namespace trammel {

// With the characters that markup means something by written out, and control signs, which end any
// document of markup, as U+FFFD.
std::string escaped(const std::string& text);

}  // namespace trammel
