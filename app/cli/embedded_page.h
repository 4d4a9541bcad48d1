// The page that the program holds.
#pragma once

#include <string_view>

namespace trammel {

// One html file; empty in a program built without the page.
std::string_view embedded_page();

}  // namespace trammel
