#include "correct/actions.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "measure/gauge_progress.h"
#include "travel/ride.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

class Actions {
 public:
  Actions(const Car& car, AxleName axle, Side side)
      : layout_(car.at(axle)->layout),
        toe_rod_(car.at(axle)->toe_adjuster ? car.at(axle)->toe_adjuster->rod : -1),
        axle_(axle),
        side_(side) {
    // As far as the wheel goes, in whole steps.
    const auto m = corner_mechanism(*car.at(axle), side);
    const auto start = solution_as_measured(m);
    for (std::size_t i = 0; i < 2; ++i) {
      const double sign = i == 0 ? 1.0 : -1.0;
      const auto r = reach(m, start, {sign * gauge_end_mm, 0.0});
      const double reached =
          r.arrived ? gauge_end_mm : std::fabs(r.at.drive.travel_mm) - gauge_step_mm;
      ends_mm_[i] = gauge_step_mm * std::floor(std::max(0.0, reached) / gauge_step_mm);
    }
  }

  std::vector<Action> all() {
    gauge(false);
    gauge(true);
    levels();
    for (const int p : holding_points(layout_)) point(p);
    tapes();
    camber();
    return std::move(actions_);
  }

 private:
  Spot at(int point) const {
    Spot s;
    s.axle = axle_;
    s.side = side_;
    s.index = point;
    return s;
  }
  std::string name(int point) const { return layout_.points[static_cast<std::size_t>(point)]; }
  TakenReading reading(ReadingKind kind, int a, int b = 0) const {
    TakenReading r;
    r.kind = kind;
    r.spot = at(a);
    r.other = at(b);
    r.sigma = usual_sigma(kind);
    return r;
  }
  Action& add(std::string what, std::string tool, std::string how) {
    Action a;
    a.what = std::move(what);
    a.what_of = static_cast<int>(actions_.size());
    a.tool = std::move(tool);
    a.how = std::move(how);
    a.axle = axle_;
    a.side = side_;
    actions_.push_back(std::move(a));
    return actions_.back();
  }

  void gauge(bool low_dial) {
    if (ends_mm_[0] + ends_mm_[1] < 2.0 * gauge_step_mm) return;
    auto& a = add(low_dial ? "gauge run with a third dial set low" : "gauge run with two dials",
                  low_dial ? "three dials of 0.01 mm, plate at the hub, stand"
                           : "two dials of 0.01 mm, plate at the hub, stand",
                  "springs out, drop link off, rack locked, body on stands at ride height: 10 mm "
                  "steps up, down and back, every dial at each step");
    GaugeRun g;
    g.axle = axle_;
    g.side = side_;
    g.base_mm = usual_base_mm;
    g.sigma_mm = usual_dial_sigma_mm;
    g.drag_rad_per_mm = usual_drag_rad_per_mm;
    if (low_dial) g.drop_mm = 150.0;
    for (const double travel : gauge_travels(ends_mm_[0], ends_mm_[1]))
      g.rows.push_back({travel, 0.0, 0.0, low_dial ? std::optional(0.0) : std::nullopt});
    a.gauges.push_back(std::move(g));
  }

  // A digital level on the toe rod and on what it must swing with.
  void levels() {
    struct Member {
      std::string name;
      int inner, outer;
      bool toe;
    };
    std::vector<Member> members;
    for (const auto& arm : layout_.arms)
      members.push_back({fmt::format("arm '{}'", arm.name), arm.body_front, arm.upright, false});
    for (std::size_t i = 0; i < layout_.rods.size(); ++i) {
      const auto& rod = layout_.rods[i];
      members.push_back({fmt::format("rod '{}'", rod.name), rod.inner, rod.upright,
                         static_cast<int>(i) == toe_rod_});
    }
    const auto tool = "digital level of 0.1°, a straight edge where the member is bent";
    const auto how =
        "along the line between the joints' centres, read both ways round and averaged";
    for (const auto& m : members) {
      add("level along " + m.name, tool, how)
          .readings.push_back(reading(ReadingKind::slope, m.inner, m.outer));
      if (!m.toe) continue;
      for (const auto& other : members) {
        if (other.outer == m.outer) continue;
        auto& both = add(fmt::format("level along {} and {}", m.name, other.name), tool, how);
        both.readings = {reading(ReadingKind::slope, m.inner, m.outer),
                         reading(ReadingKind::slope, other.inner, other.outer)};
      }
    }
  }

  void point(int p) {
    add("height of " + name(p), "height stick or combination square",
        "from the floor spot below it, corrected by the floor map; read once more from the start")
        .readings.push_back(reading(ReadingKind::height, p));
    auto& mark = add("floor mark of " + name(p), "plumb bob, tape and square",
                     "a new mark, not the old one read again: back from the baseline, out from the "
                     "centreline");
    mark.readings = {reading(ReadingKind::back, p), reading(ReadingKind::out, p)};
  }

  void tapes() {
    std::vector<std::array<int, 2>> pairs;
    for (const auto& arm : layout_.arms) {
      pairs.push_back({arm.body_front, arm.upright});
      pairs.push_back({arm.body_rear, arm.upright});
    }
    for (const auto& rod : layout_.rods) pairs.push_back({rod.inner, rod.upright});
    std::vector<int> outer;
    for (const auto& arm : layout_.arms) outer.push_back(arm.upright);
    for (const auto& rod : layout_.rods) outer.push_back(rod.upright);
    for (std::size_t i = 0; i < outer.size(); ++i)
      for (std::size_t j = 0; j < i; ++j) pairs.push_back({outer[j], outer[i]});
    const auto tool = "trammel bar with two points, or tape";
    for (const auto& p : pairs)
      add(fmt::format("tape {} to {}", name(p[0]), name(p[1])), tool, "between the joints' centres")
          .readings.push_back(reading(ReadingKind::distance, p[0], p[1]));
    if (pairs.size() < 2) return;
    auto& all = add(fmt::format("all {} of these tapes", pairs.size()), tool,
                    "between the joints' centres, each of them");
    for (const auto& p : pairs) all.readings.push_back(reading(ReadingKind::distance, p[0], p[1]));
  }

  void camber() {
    add("camber", "digital level on a bar across the rim",
        "on the rim's flange, not the tyre; the wheel turned half round and read again")
        .readings.push_back(reading(ReadingKind::camber, 0));
  }

  const Layout& layout_;
  int toe_rod_;  // what sets toe, -1: none
  AxleName axle_;
  Side side_;
  std::array<double, 2> ends_mm_{};  // of a gauge run, up and down
  std::vector<Action> actions_;
};

}  // namespace

std::vector<Action> possible_actions(const Car& car, const Spread& spread, AxleName axle) {
  std::vector<Action> all = Actions(car, axle, Side::left).all();
  const bool apart = std::any_of(
      spread.numbers.begin(), spread.numbers.end(),
      [&](const CarNumber& n) { return n.axle == axle && !n.both_sides && n.side == Side::right; });
  if (!apart) return all;
  auto right = Actions(car, axle, Side::right).all();
  const auto one_side = std::min(all.size(), right.size());
  std::vector<Action> both;
  for (std::size_t i = 0; i < one_side; ++i) {
    // What is set up for one wheel is wanted at the other as well.
    const bool slopes = !all[i].readings.empty() && all[i].readings[0].kind == ReadingKind::slope;
    if (all[i].gauges.empty() && !slopes) continue;
    Action a = all[i];
    a.both_sides = true;
    for (const auto& r : right[i].readings) a.readings.push_back(r);
    for (const auto& g : right[i].gauges) a.gauges.push_back(g);
    both.push_back(std::move(a));
  }
  for (auto* sides : {&all, &right})
    for (auto& a : *sides) a.what += fmt::format(", {}", word(a.side));
  for (auto& a : both) a.what += ", both sides";
  for (auto& a : right) all.push_back(std::move(a));
  for (auto& a : both) all.push_back(std::move(a));
  return all;
}

// A gauge run is a morning's work, a third dial one more thing to set.
int effort(const Action& a) {
  int e = static_cast<int>(a.readings.size());
  for (const auto& g : a.gauges) e += g.drop_mm ? 12 : 10;
  return e;
}

}  // namespace trammel
