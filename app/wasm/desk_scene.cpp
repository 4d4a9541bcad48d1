// The page's drawing of the car: where everything is at a drive, and every joint's coordinates.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/in_units.h"
#include "base/quantity.h"
#include "car/joint_words.h"
#include "file/edit.h"
#include "travel/reasons.h"
#include "wasm/desk.h"
#include "wasm/paged.h"
#include "wasm/picks.h"
#include "wasm/values.h"
#include "wire/page_fields.h"

namespace trammel {

using namespace wire;

namespace {

constexpr double per_finest = 1e3;         // of a mm, in what is drawn
constexpr double usual_rack_mm = 60.0;     // each way, where the file does not say
constexpr double most_roll_deg = 6.0;      // either way
constexpr double doubt_reach = 3.0;        // standard uncertainties
constexpr double largest_doubt_mm = 45.0;  // as drawn

// Only as many digits as can be seen: every frame carries hundreds of places.
double seen_mm(double x) { return std::round(x * per_finest) / per_finest; }
Place seen_mm(const Vec3<double>& v) { return {seen_mm(v.x), seen_mm(v.y), seen_mm(v.z)}; }

DrawnLine line_of(const char* axle, const char* kind, const SceneLine& line) {
  return {axle, kind, {seen_mm(line[0]), seen_mm(line[1])}};
}
DrawnLine line_of(const char* axle, const SceneMember& member) {
  DrawnLine line{axle, word(member.kind), {}};
  for (const auto& p : member.line) line.places.push_back(seen_mm(p));
  return line;
}

// What the wheels do there, read off the drawing itself.
std::string words_of(const Scene& s, const InUnits& t) {
  std::string all;
  for (std::size_t i = 0; i < s.axles.size(); ++i) {
    const auto angle = [&](std::size_t side, bool camber) {
      const auto& c = s.corners[2 * i + side];
      const Vec3<double> spin = c.side == Side::left ? c.wheel.spin : mirrored(c.wheel.spin);
      return t.deg(camber ? std::asin(-spin.z) : std::atan2(spin.x, spin.y));
    };
    const auto both = [&](bool camber) {
      const auto l = angle(0, camber), r = angle(1, camber);
      return l == r ? l : fmt::format("{} left, {} right", l, r);
    };
    all += fmt::format("{}{}: roll centre {}, camber {}, toe-in {}.", all.empty() ? "" : " ",
                       capital(word(s.axles[i].axle)), t.mm(s.axles[i].roll_centre_mm.z),
                       both(true), both(false));
  }
  return all;
}

// How much larger than they are doubts are drawn, so that the largest can be seen and does not hide
// what it is about.
double enlarged(const SceneDoubts& doubts) {
  double longest = 0.0;
  for (const auto& axle : doubts)
    for (const auto& side : axle)
      for (const auto& joint : side)
        if (joint) longest = std::max(longest, length(joint->semi_axis_mm[2]));
  for (const double times : {20.0, 10.0, 5.0, 2.0})
    if (times * doubt_reach * longest <= largest_doubt_mm) return times;
  return 1.0;
}

DrawnCar drawn_car(const Scene& s, std::string name, const char* stroke, const InUnits& t,
                   bool axes, double times) {
  DrawnCar d;
  d.name = std::move(name);
  d.stroke = stroke;
  d.words = words_of(s, t);
  for (const auto& member : s.body) d.lines.push_back(line_of("", member));
  for (const auto& axle : s.axles) {
    for (const auto& member : axle.members) d.lines.push_back(line_of(word(axle.axle), member));
    if (axes) d.roll_centres.push_back({word(axle.axle), seen_mm(axle.roll_centre_mm)});
  }
  for (const auto& c : s.corners) {
    for (const auto& joint : c.joints) {
      if (joint.doubt) {
        DrawnDoubt doubt{static_cast<int>(d.joints.size()), {}};
        for (std::size_t k = 0; k < 3; ++k)
          doubt.semi_axes[k] = seen_mm(times * doubt_reach * joint.doubt->semi_axis_mm[k]);
        d.doubts.push_back(doubt);
      }
      d.joints.push_back(seen_mm(joint.at_mm));
    }
    for (const auto& member : c.members) d.lines.push_back(line_of(word(c.axle), member));
    const auto& w = c.wheel;
    d.wheels.push_back({word(c.axle),
                        seen_mm(w.centre_mm),
                        {w.spin.x, w.spin.y, w.spin.z},
                        seen_mm(w.contact_mm),
                        w.radius_mm,
                        w.width_mm,
                        w.rim_radius_mm});
    if (!axes) continue;
    if (c.steering_axis) d.axes.push_back(line_of(word(c.axle), "steering", *c.steering_axis));
    if (c.instant_axis) d.axes.push_back(line_of(word(c.axle), "instant", *c.instant_axis));
    d.axes.push_back(line_of(word(c.axle), "roll centre", c.to_roll_centre));
  }
  return d;
}

std::vector<DriveControl> controls_of(const Car& car, const Draw& ask, const InUnits& t) {
  const auto travels = plotted_travels();
  std::vector<DriveControl> controls{{"travel", "Wheel travel, bump positive", travels.front(),
                                      travels.back(), 1.0, t.signed_mm(ask.travel_mm)}};
  double rack = 0.0;
  for (const auto& axle : car.axle)
    if (axle && axle->layout.steered())
      rack = std::max(rack, axle->rack_travel_mm.value_or(usual_rack_mm));
  if (rack > 0.0)
    controls.push_back({"rack", "Rack, to the left positive", -std::floor(rack), std::floor(rack),
                        1.0, t.signed_mm(ask.rack_mm)});
  controls.push_back({"roll", "Body roll, left side up positive", -most_roll_deg, most_roll_deg,
                      0.1, t.deg(ask.roll_deg * degree_rad)});
  return controls;
}

// What decides where a joint is.
struct Decided {
  bool by_readings = false;
  std::string note;
};
Decided decided(Worked& worked, AxleName axle, Side side, int point, const std::string& name) {
  const bool uncertain = [&] {
    const auto c = joint_covariance(worked.adjusted().spread, axle, side, point);
    return c[0][0] > 0.0 || c[1][1] > 0.0 || c[2][2] > 0.0;
  }();
  if (!uncertain) return {false, "The file says where it is, and is taken as exact."};
  const auto& by_prior = worked.adjusted().only_by_prior;
  if (worked.file().tables.survey.empty() ||
      std::find(by_prior.begin(), by_prior.end(), name) != by_prior.end())
    return {false, "The file says where it is, with its ±."};
  return {true,
          "The readings decide where it is: its coordinates in the file are only where the search "
          "begins, and changing them does not move it. To move it, take the readings again."};
}

}  // namespace

Desk::DrawnWith& Desk::drawn_with(const Worked& worked) {
  if (drawn_.geometry != worked.geometry()) drawn_ = {worked.geometry(), {}, {}, {}};
  return drawn_;
}

// The car as it sits with the sets asked for, else with those that the file settles on; none where
// no axle has one.
const Ride* Desk::corrected(Worked& worked, DrawnWith& drawn, const std::vector<AxleSet>& sets) {
  ByAxle<std::optional<Fit>> fits;
  for (const AxleName name : each_axle) {
    if (!worked.car().at(name) || !worked.shelf(name).value) continue;
    const auto& shelf = worked.shelf(name).value->shelf;
    fits[name] = chosen_fit(shelf, worked.wishes(), name);
    for (const auto& set : sets)
      if (set.axle == word(name)) fits[name] = fit_from(shelf, set.picks);
  }
  if (!fits.front && !fits.rear) return nullptr;
  if (!drawn.corrected || drawn.fits != fits) {
    drawn.corrected = worked.stances().value->sits;
    for (const AxleName name : each_axle)
      if (fits[name])
        drawn.corrected = with_set(std::move(*drawn.corrected), *worked.shelf(name).value,
                                   *fits[name], worked.wishes());
    drawn.fits = std::move(fits);
  }
  return &*drawn.corrected;
}

DrawnScene Desk::reply(const Draw& ask) {
  DrawnScene d;
  std::vector<FaultSeen> faults;
  auto* worked = this->worked(ask.text, faults);
  if (d.why = why_nothing_stands(worked, "The file has to be put right first.", units_of(ask.inch));
      !d.why.empty())
    return d;
  auto& drawn = drawn_with(*worked);
  const InUnits t(ask.inch ? Units::inch : Units::metric);
  const SceneDrive drive{ask.travel_mm, ask.rack_mm, ask.roll_deg * degree_rad};
  d.controls = controls_of(worked->car(), ask, t);
  if (ask.doubts && !drawn.doubts)
    drawn.doubts = scene_doubts(worked->car(), worked->adjusted().spread);
  const SceneDoubts* doubts = ask.doubts ? &*drawn.doubts : nullptr;
  const auto& stands = *worked->stances().value;
  const double times = doubts ? enlarged(*doubts) : 1.0;
  const auto add = [&](const Ride& ride, const std::string& name, const char* stroke,
                       const SceneDoubts* with) {
    auto s = scene(ride, drive, with);
    if (!s.scene) {
      d.why = capital(words(*s.locked, t.units())) + ".";
      return;
    }
    d.floor_x_mm = s.scene->floor.x_mm;
    d.floor_y_mm = s.scene->floor.y_mm;
    d.floor_step_mm = s.scene->floor.step_mm;
    d.cars.push_back(drawn_car(*s.scene, name, stroke, t, ask.axes, times));
    const auto& corners = s.scene->corners;
    if (d.notes.empty() && std::any_of(corners.begin(), corners.end(),
                                       [](const SceneCorner& c) { return c.wheel.plain; }))
      d.notes.emplace_back(
          "The file does not give every rim: a plain one is drawn, and nothing else hangs on it.");
  };
  add(stands.sits, "as it sits", "plain", doubts);
  if (ask.built && stands.before)
    add(*stands.before, state_words(stands.before->state), "thin dashed", nullptr);
  if (ask.corrected)
    if (const Ride* with = corrected(*worked, drawn, ask.sets))
      add(*with, "as corrected", "heavy", nullptr);
  if (!d.why.empty()) d.cars.clear();
  if (ask.axes)
    d.notes.emplace_back(
        "In long dashes: the axes that the steered wheels turn about, the axis that each "
        "upright turns about as its wheel rises, and from each tyre's contact point the line to "
        "its roll centre, which is the quartered mark.");
  if (doubts)
    d.notes.push_back(
        worked->adjusted().spread.empty()
            ? "Nothing of this car is said to be uncertain: there is no doubt to draw."
            : fmt::format("Doubts: about each joint three times its standard uncertainty either "
                          "way{}.",
                          times > 1.0 ? fmt::format(", drawn {:.0f} times as large", times) : ""));
  return d;
}

JointTable Desk::reply(const Joints& ask) {
  JointTable table;
  std::vector<FaultSeen> faults;
  auto* worked = this->worked(ask.text, faults);
  if (!worked || !worked->surveyed().value) return table;
  const auto& document = worked->file().document;
  const Units units = ask.inch ? Units::inch : Units::metric;
  table.title =
      "Every joint as measured: x forward of the front axle, y to the left of the middle, z above "
      "the floor, each ± one standard uncertainty";
  table.unit = shown_unit(Measure::length, units).symbol;
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& axle = worked->car().at(name);
    if (!axle) continue;
    for (const Side side : {Side::left, Side::right})
      for (std::size_t p = 0; p < axle->layout.points.size(); ++p) {
        const auto& point = axle->layout.points[p];
        JointRow row;
        row.name = fmt::format("{}.{}.{}", word(name), word(side), point);
        row.words = fmt::format("{} {} {}", word(name), word(side),
                                joint_words(axle->layout, static_cast<int>(p)));
        const auto own = fmt::format("{}.right.{}", word(name), point);
        const bool mirrored = side == Side::right && !at(document, own);
        row.path = side == Side::right && !mirrored ? own : fmt::format("{}.{}", word(name), point);
        const auto decides = decided(*worked, name, side, static_cast<int>(p), row.name);
        row.note = decides.note;
        if (mirrored)
          row.note += " The right side is written as the left: what is changed is the left's.";
        row.nudges = !decides.by_readings;
        const auto c = joint_covariance(worked->adjusted().spread, name, side, static_cast<int>(p));
        for (std::size_t i = 0; i < 3; ++i) {
          auto& number = row.numbers[i];
          number.at = shown(axle->at(side).numbers.points_mm[p][static_cast<int>(i)],
                            Measure::length, units);
          if (c[i][i] > 0.0) number.doubt = shown(std::sqrt(c[i][i]), Measure::length, units);
          const auto path = fmt::format("{}[{}]", row.path, i);
          const Value* value = at(document, path);
          if (!value || (!value->string() && !value->number())) continue;
          number.path = path;
          number.stands = typed_form(document, *value);
        }
        table.rows.push_back(std::move(row));
      }
  }
  return table;
}

}  // namespace trammel
