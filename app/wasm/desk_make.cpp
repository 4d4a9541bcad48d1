// The files of a part: what the page saves and prints.
#include "make/drawing_dxf.h"
#include "make/drawing_svg.h"
#include "make/part_drawings.h"
#include "wasm/desk.h"

namespace trammel {

using namespace wire;

PartDrawn Desk::reply(const DrawPart& ask) {
  PartDrawn out;
  std::vector<FaultSeen> faults;
  auto* worked = this->worked(ask.text, faults);
  if (out.why = why_nothing_stands(worked, "the file is at fault", units_of(ask.inch));
      !out.why.empty())
    return out;
  const auto& making = worked->making();
  out.why = "the file has no [[make]] for '" + ask.option + "'";
  for (const auto& p : making.parts) {
    if (p.option.name != ask.option) continue;
    if (p.side && (*p.side == Side::right) != ask.right) continue;
    const auto one = part_drawing(p, worked->car().demo);
    if (!one.value) {
      out.why = one.why;
      break;
    }
    const auto part = ask.right && !p.side ? mirrored(*one.value) : *one.value;
    const auto paper = ask.inch ? Paper::letter : Paper::a4;
    auto drawing = drawing_svg(part, paper);
    auto templates = template_pages(part, 0, paper);
    auto dxf = drawing_dxf(part, 0);
    if (!drawing.value || !templates.value || !dxf.value) {
      out.why = !drawing.value ? drawing.why : !templates.value ? templates.why : dxf.why;
      break;
    }
    return {"", part.number, std::move(*drawing.value), std::move(*templates.value),
            std::move(*dxf.value)};
  }
  return out;
}

}  // namespace trammel
