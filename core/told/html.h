// Sections as one printable HTML document, complete in itself: no script, nothing fetched.
#pragma once

#include <string>
#include <vector>

#include "told/section.h"

namespace trammel {

enum class SheetKind { build, blank };

struct TitleBlock {
  std::string name;   // of the car
  std::string date;   // as the edge knows it
  std::string file;   // the car file it was made from
  bool demo = false;  // an invented car: marked on every page
  SheetKind kind = SheetKind::build;
};

std::string as_html(const TitleBlock& title, const std::vector<Section>& sections);

// By this line a file is known as a sheet that may be written over.
inline constexpr const char* sheet_mark = "<meta name=\"generator\" content=\"Trammel sheet\">";

}  // namespace trammel
