#include "prove/next_shim.h"

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

constexpr double worth_a_change_rad =
    0.01 * 3.14159265358979 / 180.0;  // less is not measured again
constexpr double rule_step_mm = 1.0;

// The choice of sizes that moves an end of the rod that sets toe; one that is fitted first.
std::optional<std::size_t> rod_choice(const Axle& axle, const RunSetUp& as) {
  if (!axle.toe_adjuster) return {};
  const auto& rod = axle.layout.rods[static_cast<std::size_t>(axle.toe_adjuster->rod)];
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < as.shelf.choices.size(); ++i) {
    const auto& choice = as.shelf.choices[i];
    if (choice.made_to_measure() ||
        (choice.option->joint != rod.inner && choice.option->joint != rod.upright))
      continue;
    if (!found || (as.fit.size_mm[*found] == 0.0 && as.fit.size_mm[i] != 0.0)) found = i;
  }
  return found;
}

// Toe from ride height without parts moved, at each travel.
struct Known {
  std::vector<double> travel_mm, rad;
};
Known known_curve(const RunProof& run, const Wanted& wanted) {
  Known k;
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

}  // namespace

std::optional<NextShim> next_shim(const Ride& ride, const RunSetUp& as, const RunProof& run,
                                  const Wanted& wanted) {
  const auto choice = rod_choice(*ride.car.at(as.axle), as);
  auto known = known_curve(run, wanted);
  if (!choice || known.travel_mm.empty()) return {};
  NextShim n;
  n.option = as.shelf.choices[*choice].option->name;
  n.fitted_mm = as.fit.size_mm[*choice];
  n.of_the_rows = !run.window;
  n.slope = run.window ? run.window->slope : run.shape.slope;
  auto travels = known.travel_mm;
  travels.push_back(0.0);
  const auto with = [&](double size) {
    RunSetUp other = as;
    other.fit.size_mm[*choice] = size;
    return run_curve(ride, other, travels);
  };
  const auto now = with(n.fitted_mm);
  if (!now.value) return {};
  const auto change_with = [&](const RunCurve& c) {
    double most = 0.0;
    for (std::size_t i = 0; i < known.rad.size(); ++i)
      most = std::max(most, std::fabs(known.rad[i] + (c.toe_rad[i] - c.toe_rad.back()) -
                                      (now.value->toe_rad[i] - now.value->toe_rad.back())));
    return most;
  };
  n.size_mm = n.fitted_mm;
  n.fitted_rad = n.size_rad = change_with(*now.value);
  for (const double size : as.shelf.choices[*choice].sizes_mm) {
    const auto curve = with(size);
    if (!curve.value) continue;
    const double change = change_with(*curve.value);
    if (change < n.size_rad && change < n.fitted_rad - worth_a_change_rad) {
      n.size_rad = change;
      n.size_mm = size;
    }
  }
  if (const auto more = with(n.fitted_mm + rule_step_mm); more.value) {
    n.slope_per_mm = (more.value->slope.back() - now.value->slope.back()) / rule_step_mm;
    if (n.slope_per_mm != 0.0) n.by_mm = -n.slope / n.slope_per_mm;
    const auto& sizes = as.shelf.choices[*choice].sizes_mm;
    if (!sizes.empty())
      n.shelf_ends = n.by_mm > 0.0 ? n.fitted_mm >= *std::max_element(sizes.begin(), sizes.end())
                                   : n.fitted_mm <= *std::min_element(sizes.begin(), sizes.end());
  }
  return n;
}

}  // namespace trammel
