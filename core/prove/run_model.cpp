#include "prove/run_model.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "base/dual.h"
#include "correct/chance.h"
#include "travel/band.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

// Each way. Newton leaves 1e-12 mm and 1e-12 rad, so that six digits of a slope are good; over so
// short a way the curve's own bend is far below them.
constexpr double step_mm = 0.2, step_rad = 2e-4;

std::vector<PartMove<double>> moves_as(const RunSetUp& as) {
  auto moves = moves_of(as.shelf, as.fit, as.side);
  for (std::size_t i = 0; i < as.part_off_mm.size(); ++i)
    if (length(as.part_off_mm[i]) > 0.0)
      moves.push_back({as.shelf.choices[i].option.joint, as.part_off_mm[i]});
  return moves;
}

// Every part that is fitted, in each direction in which it may be off its size.
void add_parts(const RunSetUp& as, std::vector<RunInput>& inputs) {
  for (std::size_t i = 0; i < as.shelf.choices.size(); ++i) {
    const auto& choice = as.shelf.choices[i];
    const auto add = [&](const Vec3<double>& along) {
      inputs.push_back({RunInput::Of::part, 0, i, along,
                        choice.made_to_measure() ? drilled_sigma_mm : turned_sigma_mm});
    };
    if (!choice.made_to_measure()) {
      if (as.fit.part[i][as.side].size_mm != 0.0) add(choice.along[as.side]);
    } else if (length(as.fit.part[i][as.side].by_mm) > 0.0) {
      for (const int axis : choice.axes) {
        Vec3<double> along{};
        along[axis] = 1.0;
        add(along);
      }
    }
  }
}

RunInput input_of(RunInput::Of of, int number = 0) {
  RunInput i;
  i.of = of;
  i.number = number;
  return i;
}

bool more_than_toe(const std::vector<DialRow>& dials) {
  return std::any_of(dials.begin(), dials.end(),
                     [](const DialRow& row) { return row.of != DialRow::Of::toe; });
}

// Forward, outboard and up, as the dials stand.
template <class T>
Vec3<T> on_ground(const Ground<T>& g, const Vec3<T>& v) {
  return {dot(v, g.forward), dot(v, g.outboard), dot(v, g.up)};
}

// With its slope per mm of travel.
Vec3<Dual> going(const Vec3<double>& at, const Vec3<double>& per_mm) {
  Vec3<Dual> v{at.x, at.y, at.z};
  for (int axis = 0; axis < 3; ++axis) v[axis].slope.set(0, per_mm[axis]);
  return v;
}

// What four cars do in a run.
struct Told {
  std::vector<Lanes> toe;                 // by travel
  std::vector<std::vector<Lanes>> shown;  // by dial row, travel; empty for toe itself
  Lanes roll_centre{0.0};
};

// The chain on four cars.
class Chain {
 public:
  Chain(const Ride& ride, const RunSetUp& as, const std::vector<double>& travels_mm)
      : ride_(ride),
        as_(as),
        axle_(*ride.car.at(as.axle)),
        travels_(travels_mm),
        order_(drawn_order(axle_, as.side)),
        ground_(ground_for(as.side, ride.pitch_rad, 0.0)),
        moves_(moves_as(as)) {
    for (std::size_t i = 0; i < travels_.size(); ++i) outwards_.push_back(i);
    std::sort(outwards_.begin(), outwards_.end(), [&](std::size_t a, std::size_t b) {
      return std::fabs(travels_[a]) < std::fabs(travels_[b]);
    });
    for (std::size_t row = 0; row < as.dials.size(); ++row)
      if (as.dials[row].of != DialRow::Of::toe) beside_toe_.push_back(row);
  }

  // Two inputs moved both ways: lanes 0 and 1 the first, up and down, 2 and 3 the second.
  bool pair(const RunInput* first, const RunInput* second, Told& told) const {
    auto numbers = lanes(corner_mechanism(axle_, as_.side).numbers);
    std::vector<PartMove<Lanes>> moves;
    for (const auto& m : moves_) moves.push_back({m.point, wide(m.by_mm)});
    std::size_t at = 0;
    for (const auto* input : {first, second}) {
      if (input) move(*input, at, numbers, moves);
      at += 2;
    }
    return run(numbers, moves, as_.setting, as_.rack_mm, told);
  }

  // All four alike, with a setting or the rack moved.
  bool set(const WheelSetting& setting, double rack_mm, Told& told) const {
    std::vector<PartMove<Lanes>> moves;
    for (const auto& m : moves_) moves.push_back({m.point, wide(m.by_mm)});
    return run(lanes(corner_mechanism(axle_, as_.side).numbers), moves, setting, rack_mm, told);
  }

  static double step(const Layout& layout, const RunInput& input) {
    const bool angle = input.of == RunInput::Of::toe_setting ||
                       input.of == RunInput::Of::camber_setting ||
                       (input.of == RunInput::Of::number && input.number >= camber_number(layout));
    return angle ? step_rad : step_mm;
  }

 private:
  static Vec3<Lanes> wide(const Vec3<double>& v) { return {v.x, v.y, v.z}; }
  static Numbers<Lanes> lanes(const Numbers<double>& n) {
    Numbers<Lanes> wide_numbers;
    for (const auto& p : n.points_mm) wide_numbers.points_mm.push_back(wide(p));
    wide_numbers.camber_rad = n.camber_rad;
    wide_numbers.toe_rad = n.toe_rad;
    return wide_numbers;
  }

  void move(const RunInput& input, std::size_t at, Numbers<Lanes>& n,
            std::vector<PartMove<Lanes>>& moves) const {
    Lanes by(0.0);
    const double step = Chain::step(axle_.layout, input);
    by.set(at, step);
    by.set(at + 1, -step);
    if (input.of == RunInput::Of::part) {
      moves.push_back({as_.shelf.choices[input.choice].option.joint, by * wide(input.along)});
      return;
    }
    auto& x = input.number == camber_number(axle_.layout) ? n.camber_rad
              : input.number == toe_number(axle_.layout)
                  ? n.toe_rad
                  : n.points_mm[static_cast<std::size_t>(input.number / 3)][input.number % 3];
    x += by;
  }

  bool run(const Numbers<Lanes>& numbers, const std::vector<PartMove<Lanes>>& moves,
           const WheelSetting& setting, double rack_mm, Told& told) const {
    auto corner = stand_drawn(ride_, as_.axle, as_.side, numbers, order_);
    const double ride_travel = ride_.at(as_.axle)->ride_travel_mm;
    reach_drawn(corner.mechanism, corner.at, ride_travel, rack_mm, corner.stands);
    const auto ground = ground_as<Lanes>(ground_);
    const auto f = fit_parts(axle_, corner.mechanism, corner.at, ground, setting, moves);
    Mask4 stands = corner.stands & f.set;
    std::array<Solution<Lanes>, 2> last{f.at, f.at};  // above ride height, below it
    told.toe.assign(travels_.size(), Lanes(0.0));
    told.shown.assign(as_.dials.size(), {});
    for (const std::size_t row : beside_toe_) told.shown[row].assign(travels_.size(), Lanes(0.0));
    if (!beside_toe_.empty())
      told.roll_centre =
          read(Reading::roll_centre_height, At<Lanes>(axle_.layout, f.mechanism, f.at, ground));
    const auto stood = on_ground(ground, f.at.pose.centre_mm);
    for (const std::size_t i : outwards_) {
      auto& at = last[travels_[i] < 0.0 ? 1 : 0];
      reach_drawn(f.mechanism, at, ride_travel + travels_[i], rack_mm, stands);
      const auto spin = spin_at(f.mechanism, at);
      told.toe[i] = toe_of(spin, ground);
      for (const std::size_t row : beside_toe_)
        told.shown[row][i] = dial_mm(as_.dials[row], on_ground(ground, spin),
                                     on_ground(ground, at.pose.centre_mm), stood);
    }
    return all(stands);
  }

  const Ride& ride_;
  const RunSetUp& as_;
  const Axle& axle_;
  const std::vector<double>& travels_;
  PivotOrder order_;
  Ground<double> ground_;
  std::vector<PartMove<double>> moves_;
  std::vector<std::size_t> outwards_, beside_toe_;
};

}  // namespace

WheelSetting run_setting(const Axle& axle, const CornerBefore& before,
                         std::optional<double> toe_rad) {
  WheelSetting s = before.setting;
  if (!axle.toe_adjuster) s.toe_rad.reset();
  else if (toe_rad) s.toe_rad = toe_rad;
  else if (!s.toe_rad) s.toe_rad = toe_of(spin_at(before.mechanism, before.at), before.ground);
  return s;
}

std::size_t RunModel::place(double at_mm) const {
  const auto found = std::find(travel_mm.begin(), travel_mm.end(), at_mm);
  check(found != travel_mm.end(), "a travel of the model", {{"travel", at_mm}});
  return static_cast<std::size_t>(found - travel_mm.begin());
}

Answer<RunCurve, NoRun> run_curve(const Ride& ride, const RunSetUp& as,
                                  const std::vector<double>& travels_mm) {
  const auto& axle = *ride.car.at(as.axle);
  auto before = corner_before(ride, as.axle, as.side, {});
  before.setting = as.setting;
  if (as.rack_mm != 0.0) {
    const auto r = reach(before.mechanism, before.at, {before.at.drive.travel_mm, as.rack_mm});
    if (!r.arrived) return {{}, NoRun{}};
    before.at = r.at;
  }
  const auto corner = fitted(before, moves_as(as));
  if (!corner.value) return {{}, NoRun{{}, corner.why}};
  const auto positions = positions_over(*corner.value, travels_mm);
  if (positions.size() != travels_mm.size()) return {{}, NoRun{}};
  RunCurve curve;
  const bool more = more_than_toe(as.dials);
  if (more) {
    curve.shown.resize(as.dials.size());
    curve.roll_centre_mm =
        read(Reading::roll_centre_height,
             At<double>(axle.layout, corner.value->mechanism, corner.value->at, before.ground));
  }
  const auto ground = ground_as<Dual>(before.ground);
  const auto stood = on_ground(ground, going(corner.value->at.pose.centre_mm, {}));
  for (const auto& at : positions) {
    const auto spin = spin_at(corner.value->mechanism, at);
    curve.toe_rad.push_back(toe_of(spin, before.ground));
    curve.slope.push_back(wheel_rates(spin, before.ground, at.with_travel).toe);
    if (!more) continue;
    const auto axis = on_ground(ground, going(spin, cross(at.with_travel.turning, spin)));
    const auto centre = on_ground(ground, going(at.pose.centre_mm, at.with_travel.velocity));
    for (std::size_t row = 0; row < as.dials.size(); ++row) {
      if (as.dials[row].of == DialRow::Of::toe) continue;
      const auto mm = dial_mm(as.dials[row], axis, centre, stood);
      curve.shown[row].mm.push_back(mm.value);
      curve.shown[row].slope.push_back(mm.slope[0]);
    }
  }
  check(axle.layout.axle == as.axle, "the axle that the run was made on");
  return {std::move(curve), {}};
}

Answer<RunModel, NoRun> run_model(const Ride& ride, const RunSetUp& as,
                                  std::vector<double> travels_mm) {
  std::sort(travels_mm.begin(), travels_mm.end());
  travels_mm.erase(std::unique(travels_mm.begin(), travels_mm.end()), travels_mm.end());
  RunModel m;
  m.travel_mm = std::move(travels_mm);
  auto curve = run_curve(ride, as, m.travel_mm);
  if (!curve.value) return {{}, curve.why};
  m.toe_rad = std::move(curve.value->toe_rad);
  m.slope = std::move(curve.value->slope);
  m.shown = std::move(curve.value->shown);
  m.roll_centre_mm = curve.value->roll_centre_mm;
  const auto& layout = ride.car.at(as.axle)->layout;
  for (const int p : holding_points(layout))
    for (int axis = 0; axis < 3; ++axis)
      m.inputs.push_back(input_of(RunInput::Of::number, coordinate_number(p, axis)));
  m.inputs.push_back(input_of(RunInput::Of::number, camber_number(layout)));
  m.inputs.push_back(input_of(RunInput::Of::number, toe_number(layout)));
  add_parts(as, m.inputs);
  const std::size_t in_pairs = m.inputs.size();
  if (as.setting.toe_rad) m.inputs.push_back(input_of(RunInput::Of::toe_setting));
  if (as.setting.camber_rad) m.inputs.push_back(input_of(RunInput::Of::camber_setting));
  if (layout.steered()) m.inputs.push_back(input_of(RunInput::Of::rack));
  const int travels = static_cast<int>(m.travel_mm.size());
  const int inputs = static_cast<int>(m.inputs.size());
  m.per_input = Matrix(travels, inputs);
  for (const auto& shown : m.shown)
    m.shown_per_input.push_back(shown.mm.empty() ? Matrix() : Matrix(travels, inputs));
  m.roll_centre_per_input = Matrix(m.roll_centre_mm ? 1 : 0, inputs);
  const auto put = [&](std::size_t input, const Told& up, std::size_t up_lane, const Told& down,
                       std::size_t down_lane) {
    const int k = static_cast<int>(input);
    const double way = 2.0 * Chain::step(layout, m.inputs[input]);
    const auto per = [&](const Lanes& above, const Lanes& below) {
      return (above[up_lane] - below[down_lane]) / way;
    };
    for (int i = 0; i < travels; ++i) {
      const auto at = static_cast<std::size_t>(i);
      m.per_input(i, k) = per(up.toe[at], down.toe[at]);
      for (std::size_t row = 0; row < m.shown.size(); ++row)
        if (!m.shown[row].mm.empty())
          m.shown_per_input[row](i, k) = per(up.shown[row][at], down.shown[row][at]);
    }
    if (m.roll_centre_mm) m.roll_centre_per_input(0, k) = per(up.roll_centre, down.roll_centre);
  };
  const Chain chain(ride, as, m.travel_mm);
  Told told, other;
  for (std::size_t k = 0; k < in_pairs; k += 2) {
    const bool second = k + 1 < in_pairs;
    if (!chain.pair(&m.inputs[k], second ? &m.inputs[k + 1] : nullptr, told)) return {{}, NoRun{}};
    put(k, told, 0, told, 1);
    if (second) put(k + 1, told, 2, told, 3);
  }
  for (std::size_t k = in_pairs; k < m.inputs.size(); ++k) {
    const auto moved = [&](double by, Told& into) {
      auto setting = as.setting;
      double rack = as.rack_mm;
      if (m.inputs[k].of == RunInput::Of::toe_setting) *setting.toe_rad += by;
      else if (m.inputs[k].of == RunInput::Of::camber_setting) *setting.camber_rad += by;
      else rack += by;
      return chain.set(setting, rack, into);
    };
    const double step = Chain::step(layout, m.inputs[k]);
    if (!moved(step, told) || !moved(-step, other)) return {{}, NoRun{}};
    put(k, told, 0, other, 0);
  }
  return {std::move(m), {}};
}

}  // namespace trammel
