// A part on paper, as SVG in millimetres: the dimensioned drawing, and templates at 1:1. Inks are
// the page's own (currentColor); width and height are said in mm, so that 100 % is the right size.
#pragma once

#include <string>
#include <vector>

#include "base/answer.h"
#include "make/shapes.h"

namespace trammel {

enum class Paper { a4, letter };
struct PaperSize {
  double wide_mm = 0.0, high_mm = 0.0;  // upright
};
PaperSize size_of(Paper paper);

// The drawing on one landscape sheet: views in line by the part's projection (first-angle: what is
// seen from the left stands on the right; ISO 5456-2), dimensions, notes, title block (ISO 7200),
// the caution, and a bar of 100 mm to check the printer by. Drawn 1:1; smaller parts 2:1; what does
// not fit 1:2, 1:5, 1:10 and so on. No value, with the reason, where why_not(part) has one or the
// sheet has no room for the views beside notes and dimensions.
Answer<std::string> drawing_svg(const PartDrawing& part, Paper paper = Paper::a4);

// The scale drawing_svg chooses, paper over part; the same reasons.
Answer<double> drawing_scale(const PartDrawing& part, Paper paper = Paper::a4);

// A view at 1:1 on as many sheets as it needs, row by row from the top left, all upright or all
// landscape, whichever needs fewer. Neighbours share 10 mm, and crosses with the same letter are
// laid on each other. Each has the bar of 100 mm, the caution, for which side the part is and which
// face is seen. No value where why_not(part) has a reason, there is no such view, or more than 30
// sheets were needed.
Answer<std::vector<std::string>> template_pages(const PartDrawing& part, std::size_t view,
                                                Paper paper = Paper::a4);

}  // namespace trammel
