// What the members, joints and springs of a corner carry when the road pushes at its wheel: the
// rows of the mechanism, transposed. Rigid links, no friction; the parts' own weight is left out.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/answer.h"
#include "travel/readings.h"

namespace trammel {

// Along the floor of the corner's side: forward, outboard, up. N.
struct Load {
  Vec3<double> at_contact_n{};  // the road on the tyre
  Vec3<double> at_centre_n{};   // at the wheel's centre: thrust of a wheel driven by a shaft
  double trail_mm = 0.0;        // how far behind the contact point the road's push stands
};

// What keeps the wheel from rising further: a line of the mechanism.
enum class Support { none, spring, strut, damper };
Support support_of(const Layout& layout);
std::string_view words(Support s);  // "the spring"

struct ArmForces {
  std::array<double, 2> leg_n{};         // to the front and the rear body joint; tension positive
  Vec3<double> ball_n{};                 // on the upright at the ball joint
  std::array<Vec3<double>, 2> body_n{};  // on the body at the front and the rear joint
};
struct StrutForces {
  Vec3<double> side_n{};           // on the upright at the top mount, square to the strut
  double bending_at_foot_nmm = 0;  // of that side force at the strut's second point
};
// Forces in corner axes: forward, outboard, up.
struct Forces {
  std::vector<double> rod_n;   // by rod; tension positive
  std::vector<ArmForces> arm;  // by arm
  std::optional<StrutForces> strut;
  std::optional<std::array<Vec3<double>, 2>> swing_n;  // on the body at the inner, outer pivot
  double support_n = 0.0;  // thrust of what `support` names; compression positive
  Support support = Support::none;
};

// Why no forces hold a wheel. Its words: travel/reasons.h.
enum class NoForces {
  nothing_holds_it_up,  // the file has no spring, strut or damper there
  locked_position,      // rows that leave the load unheld, or hold it by forces without bound
};

// Forces that hold `load` at a solved position. What stands on an arm is carried to its ball joint
// and its body joints. Along an arm's hinge the body joints share by the legs' directions what the
// ball joint brings, and by halves what else stands on the arm; along a swing arm's line by halves.
// No answer as of NoForces.
Answer<Forces, NoForces> forces(const At<double>& at, const Load& load);

// What comes through a joint of the layout: on the upright where it is the upright's, else on the
// body (or the arm that carries it). Nothing for points that no force is known of: the wheel's
// centre, a strut's second point, the ends of dampers and bars.
std::optional<Vec3<double>> through_joint(const At<double>& at, const Forces& forces, int point);

}  // namespace trammel
