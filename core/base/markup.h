// Text inside HTML and SVG.
#pragma once

#include <string>

namespace trammel {

// With the characters that markup means something by written out.
std::string escaped(const std::string& text);

}  // namespace trammel
