// The fields of make_messages.h, by name.
#pragma once

#include "wire/fields.h"
#include "wire/make_messages.h"

namespace trammel::wire {

template <>
struct Fields<PartDrawn> {
  static constexpr const char* name = "PartDrawn";
  static auto table() {
    return std::tuple{field("why", &PartDrawn::why), field("name", &PartDrawn::name),
                      field("drawing", &PartDrawn::drawing),
                      field("templates", &PartDrawn::templates), field("dxf", &PartDrawn::dxf)};
  }
};
template <>
struct Fields<DrawPart> {
  static constexpr const char* name = "DrawPart";
  static constexpr const char* kind = "draw_part";
  static auto table() {
    return std::tuple{field("text", &DrawPart::text), field("inch", &DrawPart::inch),
                      field("option", &DrawPart::option), field("right", &DrawPart::right)};
  }
};

}  // namespace trammel::wire
