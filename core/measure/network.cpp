#include "measure/network.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/check.h"
#include "car/by.h"
#include "measure/dial_rows.h"
#include "measure/floor.h"
#include "travel/ride.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr double usual_symmetry_mm = 2.0;  // clearance holes, arms made by hand (common practice)

std::size_t index(AxleName a) { return static_cast<std::size_t>(a); }

void add_scaled(Slopes& to, const Slopes& from, double by) {
  for (const auto& s : from) to.push_back({s.unknown, by * s.per});
}
void add_one(Slopes& to, int unknown, double per) {
  if (unknown >= 0 && per != 0.0) to.push_back({unknown, per});
}

bool is_geometric(ReadingKind k) { return k != ReadingKind::camber && k != ReadingKind::toe; }

}  // namespace

Network::Network(const Car& car, const Survey& survey) : car_(car), survey_(survey) {
  for (const AxleName a : each_axle)
    if (car_.at(a)) add_car(a);
  add_circumstances();
}

int Network::add(std::string label, double start, double prior_sigma) {
  unknowns_.push_back({std::move(label), start, {}});
  prior_sigma_.push_back(prior_sigma);
  return static_cast<int>(unknowns_.size()) - 1;
}

int Network::add_of_car(const CarNumber& n, double start, double prior_sigma) {
  std::string label = fmt::format("{}.{}.", word(n.axle), word(n.side));
  if (n.of == CarNumber::Of::camber) label += "camber";
  else if (n.of == CarNumber::Of::toe) label += "toe";
  else
    label += fmt::format("{} {}", car_.at(n.axle)->layout.points[static_cast<std::size_t>(n.point)],
                         "xyz"[n.axis]);
  const int i = add(std::move(label), start, prior_sigma);
  unknowns_.back().of_car = n;
  return i;
}

bool Network::touched(AxleName a, Side s, int point) const {
  const auto is = [&](const Spot& spot) {
    return spot.of == Spot::Of::joint && spot.axle == a && spot.side == s && spot.index == point;
  };
  return std::any_of(survey_.readings.begin(), survey_.readings.end(), [&](const TakenReading& r) {
    if (r.set_aside || !is_geometric(r.kind)) return false;
    return is(r.spot) || (has_two_ends(r.kind) && is(r.other));
  });
}

void Network::add_car(AxleName a) {
  const auto& axle = *car_.at(a);
  const auto right_spot = [&](const Spot& s) {
    return s.of != Spot::Of::datum && s.axle == a && s.side == Side::right;
  };
  bool right_read =
      std::any_of(survey_.readings.begin(), survey_.readings.end(), [&](const TakenReading& r) {
        return right_spot(r.spot) || (has_two_ends(r.kind) && right_spot(r.other));
      });
  for (const auto& g : survey_.gauges)
    right_read = right_read || (g.axle == a && g.side == Side::right);
  const bool apart = apart_[index(a)] = right_read || !axle.right_is_mirrored;
  if (apart && !survey_.symmetry_none) {
    symmetry_mm_[index(a)] =
        survey_.symmetry_mm.value_or(axle.right_is_mirrored ? usual_symmetry_mm : 0.0);
    usual_symmetry_[index(a)] = !survey_.symmetry_mm && axle.right_is_mirrored;
  }
  const bool tied = symmetry_mm_[index(a)] > 0.0;
  // A mirrored right side says nothing of its own where the tie already carries it over.
  const bool right_says = !axle.right_is_mirrored || !tied;
  for (const Side s : each_side) {
    auto& at = corner(a, s);
    if (shared(a, s)) {
      at = corner(a, Side::left);
      continue;
    }
    const auto& measured = axle.at(s);
    CarNumber n;
    n.axle = a;
    n.side = s;
    n.both_sides = !apart;
    for (std::size_t p = 0; p < measured.numbers.points_mm.size(); ++p) {
      n.point = static_cast<int>(p);
      const Side other = s == Side::left ? Side::right : Side::left;
      const bool read = touched(a, s, n.point) || (tied && touched(a, other, n.point));
      std::array<int, 3> three{-1, -1, -1};
      for (n.axis = 0; n.axis < 3; ++n.axis) {
        const double sigma = measured.sigma_mm[p][n.axis];
        if (!read && !(sigma > 0.0)) continue;
        three[static_cast<std::size_t>(n.axis)] =
            add_of_car(n, measured.numbers.points_mm[p][n.axis],
                       s == Side::right && !right_says ? 0.0 : sigma);
      }
      at.point.push_back(three);
    }
    n.point = n.axis = 0;
    const auto read = [&](ReadingKind kind) {
      return std::any_of(survey_.readings.begin(), survey_.readings.end(),
                         [&](const TakenReading& r) {
                           return r.kind == kind && r.spot.axle == a && r.spot.side == s &&
                                  !r.travel_mm && !r.set_aside;
                         });
    };
    n.of = CarNumber::Of::camber;
    if (measured.camber_sigma_rad > 0.0 || read(ReadingKind::camber))
      at.camber = add_of_car(n, measured.numbers.camber_rad, measured.camber_sigma_rad);
    n.of = CarNumber::Of::toe;
    if (measured.toe_sigma_rad > 0.0 || read(ReadingKind::toe))
      at.toe = add_of_car(n, measured.numbers.toe_rad, measured.toe_sigma_rad);
  }
}

void Network::add_circumstances() {
  const auto uncertain = [&](const char* label, const Quantity& q) {
    return q.sigma ? add(label, q.value, *q.sigma) : -1;
  };
  baseline_ = uncertain("baseline", survey_.baseline_mm);
  square_ = uncertain("squareness of the baseline", survey_.square_rad);
  centreline_ = uncertain("centreline", survey_.centreline_mm);
  forward_ = uncertain("rise of the floor forward", survey_.rises_forward_rad);
  left_ = uncertain("rise of the floor to the left", survey_.rises_left_rad);
  rack_ = uncertain("rack off its centre", survey_.rack_mm);
  for (const AxleName a : each_axle) {
    if (!car_.at(a) || !car_.at(a)->layout.steered()) continue;
    // Steering moves what is on the upright and on the rack: how far, per mm, as measured.
    const auto& layout = car_.at(a)->layout;
    const auto m = corner_mechanism(*car_.at(a), Side::left);
    const auto at = solution_as_measured(m);
    auto& motion = rack_motion_[index(a)];
    motion.assign(layout.points.size(), {});
    const auto on_upright = [&](int p) {
      const auto i = static_cast<std::size_t>(p);
      motion[i] =
          at.with_rack.velocity + cross(at.with_rack.turning, m.numbers.points_mm[i] - m.centre_mm);
    };
    on_upright(0);
    for (const auto& arm : layout.arms) on_upright(arm.upright);
    for (const auto& rod : layout.rods) {
      on_upright(rod.upright);
      if (rod.steered()) motion[static_cast<std::size_t>(rod.inner)] = {0.0, 1.0, 0.0};
    }
    if (layout.strut) on_upright(layout.strut->foot);
    for (const auto* line : {&layout.spring, &layout.damper})
      if (*line && (*line)->foot_on.on == Carrier::upright) on_upright((*line)->foot);
    if (layout.bar && layout.bar->link_on.on == Carrier::upright) on_upright(layout.bar->link);
  }
  for (const auto& f : survey_.floor)
    floor_.push_back(survey_.floor_sigma_mm ? add("floor", f.height_mm, *survey_.floor_sigma_mm)
                                            : -1);
  for (const auto& d : survey_.data) {
    std::array<int, 3> three{-1, -1, -1};
    for (int axis = 0; axis < 3; ++axis)
      if (d.sigma_mm[axis] > 0.0)
        three[static_cast<std::size_t>(axis)] =
            add(fmt::format("{} {}", d.name, "xyz"[axis]), d.at_mm[axis], d.sigma_mm[axis]);
    datum_.push_back(three);
  }
  for (const auto& p : survey_.plumbs)
    plumb_.push_back({add("plumb mark", 0.0, p.sigma_mm), add("plumb mark", 0.0, p.sigma_mm)});
  for (const auto& r : survey_.readings) {
    if (r.set_aside) continue;
    const auto arch = [&](const Spot& s) {
      auto& at = corner(s.axle, s.side).arch;
      if (at >= 0) return;
      const auto& centre = car_.at(s.axle)->at(s.side).numbers.points_mm[0];
      at = add(fmt::format("{}.{}.arch", word(s.axle), word(s.side)), centre.z + 320.0, 0.0);
    };
    if (r.kind == ReadingKind::ride_height ||
        (r.kind == ReadingKind::height && r.spot.of == Spot::Of::arch))
      arch(r.spot);
    if (r.kind == ReadingKind::offset) {
      Spot spot = r.spot;
      spot.at = Spot::At::centre;
      if (std::none_of(faces_.begin(), faces_.end(), [&](const Face& f) { return f.spot == spot; }))
        faces_.push_back({spot, spot.side == Side::right ? mirrored(r.face) : r.face,
                          add("offset of " + spot_words(spot, car_, survey_), r.value, 0.0)});
    }
  }
  for (const auto& g : survey_.gauges) {
    auto& zeros = dial_zero_.emplace_back();
    if (g.set_aside) {
      for (auto* list : {&hysteresis_, &travel_zero_, &drag_}) list->push_back(-1);
      continue;
    }
    for (const auto& dial : dial_rows(g)) {
      const auto name = name_of(dial);
      zeros.push_back(
          add(fmt::format("{}: zero of the {}", g.name, name.empty() ? "dials" : name), 0.0, 0.0));
    }
    travel_zero_.push_back(add(g.name + ": zero of travel", 0.0, g.zero_sigma_mm));
    drag_.push_back(add(g.name + ": slope from backlash", 0.0, g.drag_rad_per_mm));
    hysteresis_.push_back(goes_both_ways(g) ? add(g.name + ": up against down", 0.0, 0.0) : -1);
  }
}

std::vector<double> Network::start() const {
  std::vector<double> x;
  x.reserve(unknowns_.size());
  for (const auto& u : unknowns_) x.push_back(u.start);
  return x;
}

LeftOut Network::nothing_left_out() const {
  LeftOut out;
  for (const auto& r : survey_.readings) out.reading.push_back(r.set_aside);
  for (const auto& g : survey_.gauges) {
    out.gauge.push_back(g.set_aside);
    out.gauge_row.emplace_back(g.rows.size(), false);
  }
  out.prior.assign(unknowns_.size(), false);
  out.tie = out.prior;
  out.weight.assign(survey_.readings.size(), 1.0);
  return out;
}

std::optional<Measure> Network::circumstance(int unknown) const {
  if (unknown < 0) return {};
  for (const int i : {baseline_, centreline_, rack_})
    if (i == unknown) return Measure::length;
  for (const int i : {square_, forward_, left_})
    if (i == unknown) return Measure::angle;
  return {};
}

int Network::unknown_of(const CarNumber& n) const {
  const auto& at = corner(n.axle, n.side);
  if (n.of == CarNumber::Of::camber) return at.camber;
  if (n.of == CarNumber::Of::toe) return at.toe;
  return at.point.empty()
             ? -1
             : at.point[static_cast<std::size_t>(n.point)][static_cast<std::size_t>(n.axis)];
}

Numbers<double> Network::corner_numbers(const std::vector<double>& x, AxleName a, Side s) const {
  const auto& at = corner(a, s);
  const bool mirror = shared(a, s);
  auto numbers = car_.at(a)->at(mirror ? Side::left : s).numbers;
  for (std::size_t p = 0; p < numbers.points_mm.size(); ++p)
    for (int axis = 0; axis < 3; ++axis)
      numbers.points_mm[p][axis] =
          value(x, at.point[p][static_cast<std::size_t>(axis)], numbers.points_mm[p][axis]);
  numbers.camber_rad = value(x, at.camber, numbers.camber_rad);
  numbers.toe_rad = value(x, at.toe, numbers.toe_rad);
  // Left numbers are corner axes as they stand, and so is the mirror image of what mirrors them.
  return s == Side::right && !mirror ? mirrored(std::move(numbers)) : numbers;
}

Car Network::car_at(const std::vector<double>& x) const {
  Car car = car_;
  for (const AxleName a : each_axle) {
    auto& axle = car.at(a);
    if (!axle) continue;
    axle->right_is_mirrored = !apart_[index(a)];
    axle->at(Side::left).numbers = corner_numbers(x, a, Side::left);
    axle->at(Side::right).numbers = mirrored(corner_numbers(x, a, Side::right));
  }
  return car;
}

Network::Located Network::located(const std::vector<double>& x, const Spot& spot) const {
  Located l;
  if (spot.of == Spot::Of::datum) {
    const auto i = static_cast<std::size_t>(spot.index);
    for (int axis = 0; axis < 3; ++axis) {
      const int u = datum_[i][static_cast<std::size_t>(axis)];
      l.at[axis] = value(x, u, survey_.data[i].at_mm[axis]);
      add_one(l.slopes[static_cast<std::size_t>(axis)], u, 1.0);
    }
  } else if (spot.of == Spot::Of::arch) {
    const auto& centre = car_.at(spot.axle)->at(spot.side).numbers.points_mm[0];
    const int u = corner(spot.axle, spot.side).arch;
    l.at = {centre.x, centre.y, value(x, u, centre.z)};
    add_one(l.slopes[2], u, 1.0);
  } else {
    const auto& at = corner(spot.axle, spot.side).point[static_cast<std::size_t>(spot.index)];
    const bool mirror = shared(spot.axle, spot.side);
    const auto& measured = car_.at(spot.axle)->at(mirror ? Side::left : spot.side);
    for (int axis = 0; axis < 3; ++axis) {
      const int u = at[static_cast<std::size_t>(axis)];
      const double sign = mirror && axis == 1 ? -1.0 : 1.0;
      l.at[axis] =
          sign *
          value(x, u, measured.numbers.points_mm[static_cast<std::size_t>(spot.index)][axis]);
      add_one(l.slopes[static_cast<std::size_t>(axis)], u, sign);
    }
  }
  if (spot.at == Spot::At::face) {
    Spot centre = spot;
    centre.at = Spot::At::centre;
    for (const auto& f : faces_) {
      if (!(f.spot == centre)) continue;
      const double offset = value(x, f.unknown, 0.0);
      l.at = l.at - offset * f.along;
      for (int axis = 0; axis < 3; ++axis)
        add_one(l.slopes[static_cast<std::size_t>(axis)], f.unknown, -f.along[axis]);
    }
  }
  if (spot.at == Spot::At::floor) {
    const auto floor = floor_below(x, l);
    l.at.z = floor.value;
    l.slopes[2] = floor.slopes;
  }
  return l;
}

Network::Told Network::floor_below(const std::vector<double>& x, const Located& place) const {
  Told t;
  if (survey_.floor.empty()) return t;
  Dual px(place.at.x), py(place.at.y);
  px.slope.set(0, 1.0);
  py.slope.set(1, 1.0);
  const auto shares = floor_shares(survey_.floor, px, py);
  Dual height(0.0);
  for (std::size_t i = 0; i < shares.size(); ++i) {
    height += shares[i] * Dual(value(x, floor_[i], survey_.floor[i].height_mm));
    add_one(t.slopes, floor_[i], shares[i].value);
  }
  t.value = height.value;
  add_scaled(t.slopes, place.slopes[0], height.slope[0]);
  add_scaled(t.slopes, place.slopes[1], height.slope[1]);
  return t;
}

std::vector<Network::CornerUnknown> Network::corner_unknowns(AxleName a, Side s) const {
  const auto& layout = car_.at(a)->layout;
  const auto& at = corner(a, s);
  // Corner axes are car axes of the left side; the right side's own y changes sign.
  const bool own_right = s == Side::right && !shared(a, s);
  std::vector<CornerUnknown> list;
  for (const int p : holding_points(layout))
    for (int axis = 0; axis < 3; ++axis)
      if (const int u = at.point[static_cast<std::size_t>(p)][static_cast<std::size_t>(axis)];
          u >= 0)
        list.push_back({coordinate_number(p, axis), u, own_right && axis == 1 ? -1.0 : 1.0});
  if (at.camber >= 0) list.push_back({camber_number(layout), at.camber, 1.0});
  if (at.toe >= 0) list.push_back({toe_number(layout), at.toe, 1.0});
  return list;
}

namespace {

// What a wheel's plane says at one travel: quantities made of the spin and the centre, each with
// its change with the given numbers of the corner.
struct WheelTold {
  std::vector<double> value;                // by quantity
  std::vector<std::vector<double>> change;  // by quantity, number
};
template <class Quantities>
std::optional<WheelTold> wheel_told(const Layout& layout, const Numbers<double>& numbers,
                                    double travel_mm, double rack_mm,
                                    const std::vector<int>& wanted, const Quantities& quantities) {
  const auto m = build(layout, numbers);
  const auto start = solution_as_measured(m);
  if (!start.found) return {};
  const auto r = reach(m, start, {travel_mm, rack_mm});
  if (!r.arrived) return {};
  WheelTold told;
  for (std::size_t i = 0; i == 0 || i < wanted.size(); i += lane_count) {
    const std::size_t n = std::min(lane_count, wanted.size() - i);
    const auto c = dual_corner(layout, numbers, r.at, std::span(wanted).subspan(i, n), false);
    const Placed<Dual> placed(c.mechanism, c.at.pose, c.at.drive.rack_mm);
    const std::vector<Dual> q =
        quantities(placed.turn() * c.mechanism.wheel.spin, placed.centre(), c.mechanism.centre_mm);
    told.change.resize(q.size());
    told.value.clear();
    for (std::size_t j = 0; j < q.size(); ++j) {
      told.value.push_back(q[j].value);
      for (std::size_t k = 0; k < n; ++k) told.change[j].push_back(q[j].slope[k]);
    }
  }
  return told;
}

}  // namespace

std::optional<Network::Told> Network::tell_wheel(const std::vector<double>& x,
                                                 const TakenReading& r) const {
  const auto& layout = car_.at(r.spot.axle)->layout;
  auto of = corner_unknowns(r.spot.axle, r.spot.side);
  if (!r.travel_mm)  // as measured, the wheel stands as its own two angles say
    std::erase_if(of, [&](const CornerUnknown& c) { return c.number < camber_number(layout); });
  std::vector<int> wanted;
  wanted.reserve(of.size() + 2);
  for (const auto& c : of) wanted.push_back(c.number);
  const double forward = value(x, forward_, survey_.rises_forward_rad.value);
  const double left = value(x, left_, survey_.rises_left_rad.value);
  const double outboard = outboard_sign(r.spot.side);
  const auto told = wheel_told(
      layout, corner_numbers(x, r.spot.axle, r.spot.side), r.travel_mm.value_or(0.0), 0.0, wanted,
      [&](const Vec3<Dual>& n, const Vec3<Dual>&, const Vec3<Dual>&) {
        if (r.kind == ReadingKind::toe) return std::vector<Dual>{angle_of(n.x, n.y)};
        // Against level, whose up leans in car axes where the floor rises; two more for
        // its slopes.
        const Vec3<Dual> up{std::tan(forward), outboard * std::tan(left), 1.0};
        const Dual s = -(dot(n, up) / length(up));
        const Dual flat = root(Dual(1.0) - s * s);
        const Dual size = length(up);
        const auto by_rise = [&](Dual along, Dual lean) {
          return -(along + s * lean / size) / (size * flat) * (Dual(1.0) + lean * lean);
        };
        return std::vector<Dual>{angle_of(s, flat), by_rise(n.x, up.x), by_rise(n.y, up.y)};
      });
  if (!told) return {};
  Told t;
  t.value = told->value[0];
  for (std::size_t k = 0; k < of.size(); ++k)
    add_one(t.slopes, of[k].unknown, of[k].sign * told->change[0][k]);
  if (r.kind == ReadingKind::camber) {
    add_one(t.slopes, forward_, told->value[1]);
    add_one(t.slopes, left_, outboard * told->value[2]);
  }
  return t;
}

std::optional<Network::Told> Network::tell(const std::vector<double>& x,
                                           const TakenReading& r) const {
  Told t;
  switch (r.kind) {
    case ReadingKind::height: {
      const auto p = located(x, r.spot);
      const auto floor = floor_below(x, p);
      t.value = p.at.z - floor.value;
      t.slopes = p.slopes[2];
      add_scaled(t.slopes, floor.slopes, -1.0);
      break;
    }
    case ReadingKind::back: {
      const auto p = located(x, r.spot);
      const double angle = value(x, square_, survey_.square_rad.value);
      const double c = std::cos(angle), s = std::sin(angle);
      const double ahead = value(x, baseline_, survey_.baseline_mm.value);
      t.value = (ahead - p.at.x) * c + p.at.y * s;
      add_scaled(t.slopes, p.slopes[0], -c);
      add_scaled(t.slopes, p.slopes[1], s);
      add_one(t.slopes, baseline_, c);
      add_one(t.slopes, square_, -(ahead - p.at.x) * s + p.at.y * c);
      if (r.plumb >= 0) {
        const int u = plumb_[static_cast<std::size_t>(r.plumb)][0];
        t.value -= value(x, u, 0.0);
        add_one(t.slopes, u, -1.0);
      }
      break;
    }
    case ReadingKind::out: {
      const auto p = located(x, r.spot);
      const double sign = p.at.y < 0.0 ? -1.0 : 1.0;
      t.value = sign * (p.at.y - value(x, centreline_, survey_.centreline_mm.value));
      add_scaled(t.slopes, p.slopes[1], sign);
      add_one(t.slopes, centreline_, -sign);
      if (r.plumb >= 0) {
        const int u = plumb_[static_cast<std::size_t>(r.plumb)][1];
        t.value += sign * value(x, u, 0.0);
        add_one(t.slopes, u, sign);
      }
      break;
    }
    case ReadingKind::distance:
    case ReadingKind::length:
    case ReadingKind::slope: {
      const auto a = located(x, r.spot), b = located(x, r.other);
      const auto span = b.at - a.at;
      const double l = length(span);
      if (!(l > 1e-9)) return {};
      const auto along = (1.0 / l) * span;
      Vec3<double> g = along;
      t.value = l;
      if (r.kind == ReadingKind::slope) {
        const double tf = std::tan(value(x, forward_, survey_.rises_forward_rad.value));
        const double tl = std::tan(value(x, left_, survey_.rises_left_rad.value));
        const Vec3<double> lean{tf, tl, 1.0};
        const double size = length(lean);
        const auto up = (1.0 / size) * lean;
        const double s = dot(along, up);
        const double flat = std::sqrt(std::max(1e-12, 1.0 - s * s));
        t.value = std::asin(std::clamp(s, -1.0, 1.0));
        g = (1.0 / (l * flat)) * (up - s * along);
        // Changes with the lean: the part of it square to up, by what a slope makes of an angle.
        const auto by_lean = (1.0 / (size * flat)) * (along - s * up);
        add_one(t.slopes, forward_, by_lean.x * (1.0 + tf * tf));
        add_one(t.slopes, left_, by_lean.y * (1.0 + tl * tl));
      }
      for (int axis = 0; axis < 3; ++axis) {
        add_scaled(t.slopes, b.slopes[static_cast<std::size_t>(axis)], g[axis]);
        add_scaled(t.slopes, a.slopes[static_cast<std::size_t>(axis)], -g[axis]);
      }
      break;
    }
    case ReadingKind::offset: {
      Spot centre = r.spot;
      centre.at = Spot::At::centre;
      for (const auto& f : faces_)
        if (f.spot == centre) {
          t.value = value(x, f.unknown, 0.0);
          add_one(t.slopes, f.unknown, 1.0);
        }
      break;
    }
    case ReadingKind::camber:
    case ReadingKind::toe:
      return tell_wheel(x, r);
    case ReadingKind::ride_height: {
      Spot arch = r.spot;
      arch.of = Spot::Of::arch;
      Spot centre = r.spot;
      centre.of = Spot::Of::joint;
      centre.index = 0;
      const auto top = located(x, arch), low = located(x, centre);
      t.value = top.at.z - low.at.z;
      add_scaled(t.slopes, top.slopes[2], 1.0);
      add_scaled(t.slopes, low.slopes[2], -1.0);
      break;
    }
  }
  return t;
}

bool Network::gauge_rows(const std::vector<double>& x, std::size_t run,
                         const std::vector<bool>& without, std::vector<Row>& rows,
                         std::vector<RowSource>* sources) const {
  const auto& g = survey_.gauges[run];
  const auto& layout = car_.at(g.axle)->layout;
  const auto numbers = corner_numbers(x, g.axle, g.side);
  const auto of = corner_unknowns(g.axle, g.side);
  std::vector<int> wanted;
  wanted.reserve(of.size() + 2);
  for (const auto& c : of) wanted.push_back(c.number);
  wanted.push_back(travel_number(layout));
  wanted.push_back(rack_number(layout));
  const double outboard = outboard_sign(g.side);
  // The run is made with the rack at its centre, wherever it stood when the joints were read.
  const double rack = layout.steered() ? -outboard * value(x, rack_, survey_.rack_mm.value) : 0.0;
  const double shift = value(x, travel_zero_[run], 0.0);
  const auto dials = dial_rows(g);
  const auto quantities = [&](const Vec3<Dual>& n, const Vec3<Dual>& centre,
                              const Vec3<Dual>& as_measured) {
    std::vector<Dual> q;
    q.reserve(dials.size());
    for (const auto& d : dials) q.push_back(dial_mm(d, n, centre, as_measured));
    return q;
  };
  std::map<double, WheelTold> at_travel;  // up and down pass the same places
  for (const auto& row : g.rows) {
    if (at_travel.contains(row.travel_mm)) continue;
    auto told = wheel_told(layout, numbers, row.travel_mm + shift, rack, wanted, quantities);
    if (!told) return false;
    at_travel.emplace(row.travel_mm, std::move(*told));
  }
  const auto direction = directions(g);
  const double drag = value(x, drag_[run], 0.0);
  const double up_down = value(x, hysteresis_[run], 0.0);
  for (std::size_t i = 0; i < g.rows.size(); ++i) {
    if (without[i]) continue;
    const auto& row = g.rows[i];
    const auto& told = at_travel.at(row.travel_mm);
    for (std::size_t q = 0; q < dials.size(); ++q) {
      const auto& dial = dials[q];
      const int zero = dial_zero_[run][q];
      const double sigma = dial.sigma_mm, lever = dial.lever_mm;
      const double extra = lever * (drag * row.travel_mm + 0.5 * direction[i] * up_down);
      Row r;
      r.off = (told.value[q] + value(x, zero, 0.0) + extra - read_mm(dial, row)) / sigma;
      const auto& change = told.change[q];
      for (std::size_t k = 0; k < of.size(); ++k)
        add_one(r.slopes, of[k].unknown, of[k].sign * change[k] / sigma);
      add_one(r.slopes, travel_zero_[run], change[of.size()] / sigma);
      if (layout.steered()) add_one(r.slopes, rack_, -outboard * change[of.size() + 1] / sigma);
      add_one(r.slopes, zero, 1.0 / sigma);
      add_one(r.slopes, drag_[run], lever * row.travel_mm / sigma);
      add_one(r.slopes, hysteresis_[run], 0.5 * lever * direction[i] / sigma);
      rows.push_back(std::move(r));
      if (!sources) continue;
      const auto name = name_of(dial);
      sources->push_back({RowSource::Of::gauge, static_cast<int>(run), static_cast<int>(i), sigma,
                          fmt::format("{}, row {} at {} mm{}{}", g.name, i + 1,
                                      shortest(row.travel_mm), name.empty() ? "" : ", ", name),
                          static_cast<int>(q)});
    }
  }
  return true;
}

void Network::symmetry_rows(const std::vector<double>& x, AxleName a,
                            const std::vector<bool>& without, std::vector<Row>& rows,
                            std::vector<RowSource>* sources) const {
  const double sigma = symmetry_mm_[index(a)];
  if (!(sigma > 0.0)) return;
  const auto& axle = *car_.at(a);
  const double rack = value(x, rack_, survey_.rack_mm.value);
  for (std::size_t p = 0; p < axle.layout.points.size(); ++p)
    for (int axis = 0; axis < 3; ++axis) {
      const auto k = static_cast<std::size_t>(axis);
      const int l = corner(a, Side::left).point[p][k], r = corner(a, Side::right).point[p][k];
      if (l < 0 && r < 0) continue;
      const int of = l >= 0 ? l : r;
      if (without[static_cast<std::size_t>(of)]) continue;
      const double sign = axis == 1 ? -1.0 : 1.0;
      const auto& left = axle.at(Side::left).numbers.points_mm[p];
      const auto& right = axle.at(Side::right).numbers.points_mm[p];
      // A rack off its centre steers both wheels the same way, which is not alike.
      const double steered = rack_motion_[index(a)].empty() ? 0.0 : rack_motion_[index(a)][p][axis];
      Row row;
      row.off = (value(x, l, left[axis]) - sign * value(x, r, right[axis]) - 2.0 * rack * steered) /
                sigma;
      add_one(row.slopes, l, 1.0 / sigma);
      add_one(row.slopes, r, -sign / sigma);
      add_one(row.slopes, rack_, -2.0 * steered / sigma);
      rows.push_back(std::move(row));
      if (sources)
        sources->push_back({RowSource::Of::symmetry, of, 0, sigma,
                            fmt::format("{}.{} {}, left against right", word(a),
                                        axle.layout.points[p], "xyz"[axis])});
    }
}

bool Network::rows(const std::vector<double>& x, const LeftOut& out, std::vector<Row>& rows,
                   std::vector<RowSource>* sources) const {
  rows.clear();
  if (sources) sources->clear();
  for (std::size_t i = 0; i < survey_.readings.size(); ++i) {
    if (out.reading[i]) continue;
    const auto& r = survey_.readings[i];
    auto told = tell(x, r);
    if (!told) return false;
    const double sigma = r.sigma / out.weight[i];
    for (auto& s : told->slopes) s.per /= sigma;
    rows.push_back({(told->value - r.value) / sigma, std::move(told->slopes)});
    if (sources)
      sources->push_back({RowSource::Of::reading, static_cast<int>(i), 0, sigma, r.name});
  }
  for (std::size_t i = 0; i < survey_.gauges.size(); ++i)
    if (!out.gauge[i] && !gauge_rows(x, i, out.gauge_row[i], rows, sources)) return false;
  for (std::size_t i = 0; i < unknowns_.size(); ++i) {
    const double sigma = prior_sigma_[i];
    if (!(sigma > 0.0) || out.prior[i]) continue;
    rows.push_back({(x[i] - unknowns_[i].start) / sigma, {{static_cast<int>(i), 1.0 / sigma}}});
    if (sources)
      sources->push_back({unknowns_[i].of_car ? RowSource::Of::prior : RowSource::Of::circumstance,
                          static_cast<int>(i), 0, sigma, unknowns_[i].label});
  }
  for (const AxleName a : each_axle)
    if (car_.at(a)) symmetry_rows(x, a, out.tie, rows, sources);
  return true;
}

}  // namespace trammel
