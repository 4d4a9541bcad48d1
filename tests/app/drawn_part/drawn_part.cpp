// Writes the parts of tests/make/parts.h into a folder, for drawn_part_test.py to measure:
//   drawn_part FOLDER
#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <fstream>

#include "cli/pdf.h"
#include "make/drawing_dxf.h"
#include "make/drawing_svg.h"
#include "make/parts.h"

namespace {

using namespace trammel;

bool write(const std::filesystem::path& path, const Answer<std::string>& what) {
  if (!what.value) {
    fmt::print(stderr, "{}: {}\n", path.string(), what.why);
    return false;
  }
  std::ofstream(path, std::ios::binary) << *what.value;
  return true;
}

// `flat`: the view that a template is made of.
bool write_part(const std::filesystem::path& folder, const char* name, const PartDrawing& part,
                std::size_t flat) {
  bool good = true;
  for (const auto& [paper, of_paper] :
       {std::pair{Paper::a4, "a4"}, std::pair{Paper::letter, "letter"}}) {
    const auto drawing = drawing_svg(part, paper);
    good = write(folder / fmt::format("{}-{}.svg", name, of_paper), drawing) && good;
    if (!drawing.value) continue;
    good =
        write(folder / fmt::format("{}-{}.pdf", name, of_paper), pdf_of({*drawing.value})) && good;
    const auto pages = template_pages(part, flat, paper);
    if (!pages.value) return write(folder / name, {std::nullopt, pages.why});
    for (std::size_t i = 0; i < pages.value->size(); ++i)
      good = write(folder / fmt::format("{}-template-{}-{}.svg", name, of_paper, i + 1),
                   {(*pages.value)[i], {}}) &&
             good;
    good =
        write(folder / fmt::format("{}-template-{}.pdf", name, of_paper), pdf_of(*pages.value)) &&
        good;
  }
  for (std::size_t v = 0; v < part.views.size(); ++v)
    good = write(folder / fmt::format("{}-{}.dxf", name, v), drawing_dxf(part, v)) && good;
  return good;
}

}  // namespace

int main(int count, char** words) {
  if (count != 2) return 2;
  const std::filesystem::path folder = words[1];
  // What is no drawing with a size is refused with a reason.
  bool good = pdf_of({}).why == "there is no page to write" &&
              pdf_of({"no drawing"}).why.find("page 1 is not read: ") == 0 &&
              pdf_of({"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100%\"/>"}).why ==
                  "page 1 does not say how large it is";
  if (!good) fmt::print(stderr, "a PDF of no drawings\n");
  for (const auto& [name, part] :
       {std::pair{"disc", testing::disc()}, std::pair{"disc-right", mirrored(testing::disc())},
        std::pair{"sleeve", testing::sleeve()}, std::pair{"flat", testing::flat_bracket()},
        std::pair{"bent", testing::bent_bracket()}, std::pair{"long", testing::long_plate()}})
    good = write_part(folder, name, part,
                      name == std::string("bent")     ? 2
                      : name == std::string("sleeve") ? 1
                                                      : 0) &&
           good;
  return good ? 0 : 1;
}
