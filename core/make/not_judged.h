// What of a part, a bolt or a rod end was not judged.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "make/load_case.h"

namespace trammel {

// Its words, with the key that would let it be judged: make/reasons.h.
struct NotJudged {
  enum class Of {
    // What it bears: the corner weights are missing; the car has no such axle; its forces are not
    // known by `forces`; loads are wanting.
    no_weights,
    no_axle,
    no_forces,
    loads_wanting,
    // Parts.
    bolts_pressing,   // of a turned part: no hole is said
    offset_of_plate,  // how far the ball stands beside it
    ball_beside_plate,
    ball_in_clevis,
    base_metal,
    stood_on,  // what a part stands on: no car file can tell
    // Bolts.
    plain_shank,  // of `is` mm or more
    slipping,
    tail,
    // Rod ends.
    thread,
    rating,
    ball_width,
    plate_of_ball,  // the bracket that it stands on
    stack,
    wider_spacer,  // `is` is said of it, its sleeve is `other` outside
    tilt,
    tilt_of_no_rod,
    tilt_at_lock,  // of the steered rod `name`
    tilt_locked,   // the mechanism locks within full travel and lock
  };
  Of of{};
  double is = 0.0, other = 0.0;  // mm
  AxleName axle = AxleName::front;
  std::string name{};
  std::optional<NoForces> forces{};
  std::vector<LoadsWanting> wanting{};
};

}  // namespace trammel
