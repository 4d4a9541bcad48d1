// What puts many joints of one side off at once: a subframe that stands higher on one side, a rack
// off its centre. Each joint alone may pass for chance where all of them together cannot.
#pragma once

#include <optional>
#include <vector>

#include "measure/fit.h"

namespace trammel {

struct SideMode {
  enum class Of {
    body,  // the joints of arms and rods on the body, along one axis
    rack,  // every joint that moves with the rack
  };
  Of of = Of::body;
  AxleName axle = AxleName::front;
  int axis = 0;
  int joints = 0;
  // Body: left less the right one's mirror image. Rack: its place to the left of its centre.
  double by_mm = 0.0, sigma_mm = 0.0;
  double normalised = 0.0;  // Baarda's w of all of them as one
  std::vector<int> ties;    // RowSource index of the ties that speak against it
};

// The most significant one that the ties between the sides speak against; none where no two joints
// are tied and read on both sides. A rack that the sums look for themselves is none of them.
std::optional<SideMode> worst_side_mode(const Network& network, const Car& car,
                                        const SurveyFit& fit);

}  // namespace trammel
