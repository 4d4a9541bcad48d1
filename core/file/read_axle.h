// One axle of a car file: its members, joints and what is said of each side.
#pragma once

#include <optional>

#include "car/car.h"
#include "file/document.h"

namespace trammel {

// Nothing where a joint or member could not be read.
std::optional<Axle> read_axle(AxleName name, const Value& value, std::vector<Fault>& faults);

// A joint as a file names it, with or without its axle ("front.strut.top" or "strut.top"): its
// index in the layout, or -1.
int joint_of(const Layout& layout, std::string_view path);

}  // namespace trammel
