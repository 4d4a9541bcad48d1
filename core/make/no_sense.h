// Why a sum of this room has no answer: a size, a force or a pair of things that makes no sense.
#pragma once

#include <string>

#include "base/quantity.h"

namespace trammel {

// Its words: make/reasons.h.
struct NoSense {
  enum class Of {
    not_above_zero,       // `what` is `is`, of `measure`
    below_zero,           // the same, and zero is fine
    no_number,            // the same, and any number is fine
    no_layers,            // the bolt clamps nothing
    thin_layer,           // `what` is `is` mm thick
    no_length,            // of `what`, a bolt: `is` mm
    not_together,         // thread and class of a bolt: `what` says why
    nut_and_hole,         // a tapped hole and a nut as well
    hole_without_thread,  // `is` mm of it
    hole_without_strength,
    no_bolts,            // `is` of them
    friction,            // `is`
    ball_not_of_sphere,  // `is` mm wide, `other` the sphere's diameter
    housing_too_wide,    // `is` mm, `other` the ball's width
    bore_too_small,      // `is` mm, `other` the bolt's diameter
    no_wall,             // `is` mm outside, `other` the bore
    cast_iron_sleeve,
  };
  Of of{};
  std::string what{};
  double is = 0.0, other = 0.0;
  Measure measure = Measure::length;
};

}  // namespace trammel
