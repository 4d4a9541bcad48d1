// A view as DXF of release 12 (AC1009, the group codes of its published reference): what the
// machine that cuts sheet metal reads.
#pragma once

#include <string>

#include "base/answer.h"
#include "make/shapes.h"

namespace trammel {

// One view at 1:1, one unit a millimetre, x and y as in the view. Layers: CUT (outlines and discs,
// closed POLYLINE with bulges or CIRCLE), HOLES (CIRCLE), CENTRE, BEND, TEXT (what is scribed, and
// title, side and caution under the part), DIM, and HIDDEN and THIN, which nobody cuts; WARNING has
// what the part is stamped with, over it and large. The units are said to be millimetres
// ($INSUNITS, which later releases read). Only ASCII:
// Ø, °, ± by the codes of the format, other letters by their nearest. The same part gives the same
// bytes. No value where why_not(part) has a reason or there is no such view.
Answer<std::string> drawing_dxf(const PartDrawing& part, std::size_t view);

// Text as it stands in the file.
std::string dxf_words(const std::string& utf8);

}  // namespace trammel
