#include "prove/next_shim.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace trammel {
namespace {

constexpr double worth_a_change_rad = 0.01 * degree_rad;  // less is not measured again
constexpr double rule_step_mm = 1.0;
// A hole is marked out to half a millimetre.
constexpr std::array<double, 5> hole_steps_mm{8.0, 4.0, 2.0, 1.0, 0.5};

bool is_fitted(const RunSetUp& as, std::size_t choice) {
  return !as.fit.part[choice][as.side].nothing();
}

// The choice that moves an end of the rod that sets toe.
std::optional<std::size_t> rod_choice(const Axle& axle, const RunSetUp& as) {
  if (!axle.toe_adjuster) return {};
  const auto& rod = axle.layout.rods[static_cast<std::size_t>(axle.toe_adjuster->rod)];
  std::optional<std::size_t> found;
  const auto rank = [&](std::size_t i) {
    return 2 * (is_fitted(as, i) ? 1 : 0) + (as.shelf.choices[i].made_to_measure() ? 0 : 1);
  };
  for (std::size_t i = 0; i < as.shelf.choices.size(); ++i) {
    const auto& joint = as.shelf.choices[i].option.joint;
    if (joint != rod.inner && joint != rod.upright) continue;
    if (!found || rank(i) > rank(*found)) found = i;
  }
  return found;
}

// Toe from ride height with what is fitted, at each travel.
struct KnownCurve {
  std::vector<double> travel_mm, rad;
};
KnownCurve known_curve(const RunProof& run, const Wanted& wanted) {
  KnownCurve k;
  if (run.window) {
    for (const auto& t : run.window->curve) {
      k.travel_mm.push_back(t.travel_mm);
      k.rad.push_back(t.rad);
    }
    return k;
  }
  for (const auto& row : run.rows)
    if (row.travel_mm >= wanted.window_mm[0] && row.travel_mm <= wanted.window_mm[1]) {
      k.travel_mm.push_back(row.travel_mm);
      k.rad.push_back(row.read_rad);
    }
  return k;
}

// The known curve, and what the model makes of it with something else fitted.
class Outlook {
 public:
  Outlook(const Ride& ride, const RunSetUp& as, KnownCurve known)
      : ride_(ride), as_(as), known_(std::move(known)), travels_(known_.travel_mm) {
    travels_.push_back(0.0);
    now_ = curve(as.fit);
  }
  bool stands() const { return now_.has_value(); }
  const RunCurve& now() const { return *now_; }

  std::optional<RunCurve> curve(const Fit& fit) const {
    RunSetUp other = as_;
    other.fit = fit;
    return run_curve(ride_, other, travels_).value;
  }
  // Largest; none where the corner has no position.
  std::optional<double> change(const Fit& fit) const {
    const auto c = curve(fit);
    if (!c) return {};
    double most = 0.0;
    for (std::size_t i = 0; i < known_.rad.size(); ++i)
      most = std::max(most, std::fabs(known_.rad[i] + (c->toe_rad[i] - c->toe_rad.back()) -
                                      (now_->toe_rad[i] - now_->toe_rad.back())));
    return most;
  }

 private:
  const Ride& ride_;
  const RunSetUp& as_;
  KnownCurve known_;
  std::vector<double> travels_;
  std::optional<RunCurve> now_;
};

struct Best {
  Fit fit;
  double rad = 0.0;
  bool take(const Outlook& outlook, const Fit& other) {
    const auto change = outlook.change(other);
    if (!change || !(*change < rad)) return false;
    fit = other;
    rad = *change;
    return true;
  }
};

void try_sizes(const Outlook& outlook, const Choice& choice, std::size_t at, Side side,
               Best& best) {
  for (const double size : choice.sizes_mm) {
    Fit other = best.fit;
    other.part[at][side].size_mm = size;
    best.take(outlook, other);
  }
}

void try_places(const Outlook& outlook, const Choice& choice, std::size_t at, Side side,
                Best& best) {
  const Best start = best;
  const auto moved = [&](Fit fit, int axis, double to) {
    const auto& range = choice.range_mm[static_cast<std::size_t>(axis)];
    fit.part[at][side].by_mm[axis] = std::clamp(to, range[0], range[1]);
    return fit;
  };
  for (const double step : hole_steps_mm)
    for (bool better = true; better;) {
      better = false;
      for (const int axis : choice.axes)
        for (const double by : {step, -step})
          better |=
              best.take(outlook, moved(best.fit, axis, best.fit.part[at][side].by_mm[axis] + by));
    }
  for (const int axis : choice.axes) {
    const auto back = moved(best.fit, axis, start.fit.part[at][side].by_mm[axis]);
    const auto change = outlook.change(back);
    if (change && *change < best.rad + worth_a_change_rad) best = {back, *change};
  }
}

// What one more millimetre does to the slope at ride height.
struct Effect {
  int axis = 0;
  double per_mm = 0.0;
};
Effect effect_of(const Outlook& outlook, const Choice& choice, std::size_t at, Side side,
                 const Fit& fitted) {
  const auto per_mm = [&](const Fit& other) {
    const auto more = outlook.curve(other);
    return more ? (more->slope.back() - outlook.now().slope.back()) / rule_step_mm : 0.0;
  };
  Fit other = fitted;
  if (!choice.made_to_measure()) {
    other.part[at][side].size_mm += rule_step_mm;
    return {0, per_mm(other)};
  }
  Effect most;
  for (const int axis : choice.axes) {
    other = fitted;
    other.part[at][side].by_mm[axis] += rule_step_mm;
    if (const double e = per_mm(other); std::fabs(e) > std::fabs(most.per_mm)) most = {axis, e};
  }
  return most;
}

}  // namespace

std::optional<NextShim> next_shim(const Ride& ride, const RunSetUp& as, const RunProof& run,
                                  const Wanted& wanted) {
  const auto at = rod_choice(*ride.car.at(as.axle), as);
  auto known = known_curve(run, wanted);
  if (!at || known.travel_mm.empty()) return {};
  const Outlook outlook(ride, as, std::move(known));
  if (!outlook.stands()) return {};
  const auto& choice = as.shelf.choices[*at];
  NextShim n;
  n.choice = *at;
  n.option = choice.option.name;
  n.made = choice.made_to_measure();
  n.fitted = as.fit;
  n.of_the_rows = !run.window;
  n.slope = run.window ? run.window->slope : run.shape.slope;
  n.fitted_rad = *outlook.change(as.fit);
  Best best{as.fit, n.fitted_rad};
  if (n.made) try_places(outlook, choice, *at, as.side, best);
  else try_sizes(outlook, choice, *at, as.side, best);
  n.changes = best.rad < n.fitted_rad - worth_a_change_rad;
  n.next = n.changes ? best.fit : n.fitted;
  n.next_rad = n.changes ? best.rad : n.fitted_rad;

  const auto effect = effect_of(outlook, choice, *at, as.side, n.fitted);
  n.axis = effect.axis;
  n.slope_per_mm = effect.per_mm;
  if (n.slope_per_mm == 0.0) return n;
  n.by_mm = -n.slope / n.slope_per_mm;
  const auto& sizes = choice.sizes_mm;
  const auto& part = n.fitted.part[*at][as.side];
  std::array<double, 2> ends{part.size_mm, part.size_mm};
  if (n.made) ends = choice.range_mm[static_cast<std::size_t>(n.axis)];
  else if (!sizes.empty())
    ends = {*std::min_element(sizes.begin(), sizes.end()),
            *std::max_element(sizes.begin(), sizes.end())};
  const double is = n.made ? part.by_mm[n.axis] : part.size_mm;
  n.shelf_ends = n.by_mm > 0.0 ? is >= ends[1] : is <= ends[0];
  return n;
}

}  // namespace trammel
