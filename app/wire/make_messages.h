// What the page asks of the step make: the files of one part.
#pragma once

#include <string>
#include <vector>

namespace trammel::wire {

// A part as it is sent to a printer, a saw or a lathe: the dimensioned drawing and the templates at
// 1:1 as SVG, the cutting file as DXF.
struct PartDrawn {
  std::string why;   // why there is none
  std::string name;  // of a file, without its ending
  std::string drawing;
  std::vector<std::string> templates;
  std::string dxf;
};

// The part for an option of the set that the file settles on, or else of the best.
struct DrawPart {
  std::string text;
  bool inch = false;
  std::string option;
  bool right = false;
  using Reply = PartDrawn;
};

}  // namespace trammel::wire
