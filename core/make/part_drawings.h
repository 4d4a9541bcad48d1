// The parts to make as drawings: what goes on paper, to the saw and to the lathe.
#pragma once

#include <vector>

#include "make/making.h"
#include "make/shapes.h"

namespace trammel {

// The part of the left side, whose mirror image is the right one, or of its own side where they
// differ. No value, with the reason, where there is nothing to make, or what the file asks for
// cannot be made (a hole outside its plate).
Answer<PartDrawing> part_drawing(const PartToMake& part, bool demo);

// What stands across its drawing, its template and its cutting file: "DOES NOT SERVE", "NOT FOR
// CUTTING", "BASE METAL UNKNOWN: DO NOT WELD", "NOT JUDGED", or nothing.
std::string stamp_of(const PartToMake& part);

// Clearance of a bolt's hole that is drilled or reamed by hand (common practice: 0.1 to 0.3).
inline constexpr double hole_clearance_mm = 0.2;

// The outer edge round circles that stand apart (a radius of zero is a point): tangents and arcs,
// turning left. No corners where one of them holds all the others.
Outline hull_round(const std::vector<Circle>& circles);

// What to measure on the finished part: what, and its limits.
struct Inspected {
  std::string what, wanted;
};
std::vector<Inspected> inspection_of(const PartToMake& part);

}  // namespace trammel
