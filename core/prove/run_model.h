// Toe and what else the dials show over a run with parts fitted, as the model has it, and how it
// changes with everything that is not known exactly.
#pragma once

#include <vector>

#include "base/matrix.h"
#include "measure/dial_rows.h"
#include "parts/shelf.h"

namespace trammel {

// A corner put up for a run: as measured, the steering at its centre, the parts moved in at the
// same wheel height, toe set.
struct RunSetUp {
  AxleName axle = AxleName::front;
  Side side = Side::left;
  Shelf shelf;
  Fit fit;
  std::vector<Vec3<double>> part_off_mm;  // by choice: how far a part is off its size, corner axes
  WheelSetting setting;
  double rack_mm = 0.0;        // from as measured, corner axes: positive outboard
  std::vector<DialRow> dials;  // what is read of the run; none: toe alone
};

// Toe at ride height as it is set: what the run says, else what is wanted, else as it sits. None
// where no rod of the axle sets it. Camber as for any set of parts.
WheelSetting run_setting(const Axle& axle, const CornerBefore& before,
                         std::optional<double> toe_rad);

// Something that toe over the run hangs on.
struct RunInput {
  enum class Of { number, part, toe_setting, camber_setting, rack };
  Of of = Of::number;
  int number = 0;          // of the corner, see sensitivity.h; mm or rad
  std::size_t choice = 0;  // of a part
  Vec3<double> along{};    // of a part: unit, corner axes; mm
  double sigma_mm = 0.0;   // of a part: how far a made one misses its size
};

// What a row of the dials shows over the travel, but for its zero.
struct DialCurve {
  std::vector<double> mm, slope;  // slope: mm per mm of travel
};

struct RunModel {
  std::vector<double> travel_mm;  // from ride height, ascending, each once
  std::vector<double> toe_rad;
  std::vector<double> slope;  // rad per mm of travel
  std::vector<RunInput> inputs;
  Matrix per_input;  // travel x input: rad per mm or per rad
  // What the dials show beside toe, by dial row of the set-up and empty for toe itself; and how it
  // changes, travel x input: mm per mm or per rad.
  std::vector<DialCurve> shown;
  std::vector<Matrix> shown_per_input;
  // At ride height, by this wheel; where the dials show more than toe.
  std::optional<double> roll_centre_mm;
  Matrix roll_centre_per_input;  // 1 x input

  std::size_t place(double at_mm) const;  // of a travel that is among them
};

// Why there is no curve of a run: the car does not stand as measured, the wheel cannot have the
// parts, or, where neither is said, it locks within the travel of the run. Its words:
// prove/reasons.h.
struct NoRun {
  std::optional<NotStanding> not_standing{};
  std::optional<NotPossible> not_possible{};
};

// The curves alone, at `travels_mm` in their order. No answer where the corner has no position
// there with these parts, or toe cannot be set.
struct RunCurve {
  std::vector<double> toe_rad, slope;
  std::vector<DialCurve> shown;
  std::optional<double> roll_centre_mm;
};
Answer<RunCurve, NoRun> run_curve(const Ride& ride, const RunSetUp& as,
                                  const std::vector<double>& travels_mm);

// The same with its changes, by central differences of the whole chain: each number moved both
// ways, the parts moved in anew and toe set again. `travels_mm` in any order.
Answer<RunModel, NoRun> run_model(const Ride& ride, const RunSetUp& as,
                                  std::vector<double> travels_mm);

}  // namespace trammel
