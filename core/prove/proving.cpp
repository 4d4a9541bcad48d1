#include "prove/proving.h"

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

constexpr double clearly_better = 0.1;  // of a chance, or of the tolerance used

// Parts change from run to run: the last one of a corner is what stands on the car.
std::optional<std::size_t> last_run(const std::vector<RunProof>& runs, AxleName axle, Side side) {
  std::optional<std::size_t> last;
  for (std::size_t i = 0; i < runs.size(); ++i)
    if (runs[i].axle == axle && runs[i].side == side) last = i;
  return last;
}

GaugeRun run_on(AxleName axle, Side side) {
  GaugeRun run;
  run.axle = axle;
  run.side = side;
  return run;
}

// The worst of an axle's corners.
Verdict worse(Verdict a, Verdict b) { return static_cast<int>(a) > static_cast<int>(b) ? a : b; }

bool slopes_opposite(const std::vector<RunProof>& runs, const AxleProved& a) {
  if (a.corners.size() < 2) return false;
  const auto& l = runs[a.corners[0].run].shape;
  const auto& r = runs[a.corners[1].run].shape;
  const auto leans = [](const CurveFit& f) { return std::fabs(f.slope) > 3.0 * f.slope_sigma; };
  return leans(l) && leans(r) && l.slope * r.slope < 0.0;
}

bool other_parts(const Fit& x, const Fit& y, Side side) {
  constexpr double same_mm = 0.05;
  for (std::size_t i = 0; i < x.part.size() && i < y.part.size(); ++i) {
    const auto &a = x.part[i][side], &b = y.part[i][side];
    if (std::fabs(a.size_mm - b.size_mm) > same_mm || length(a.by_mm - b.by_mm) > same_mm)
      return true;
  }
  return false;
}

// What is fitted against the best of the ranking, as the car is known now.
void rank_again(AxleProved& a, const AxleCorrection& c, const Ride& ride, const Spread& spread,
                const Wishes& wishes) {
  const auto& r = c.ranking;
  // Each side as it was run; one that was not is taken to have what the other has.
  Fit fit = a.corners.front().as.fit;
  for (const auto& corner : a.corners)
    for (std::size_t i = 0; i < fit.part.size(); ++i)
      fit.part[i][corner.side] = corner.as.fit.part[i][corner.side];
  if (a.corners.size() == 1) {
    const Side run = a.corners.front().side;
    for (auto& part : fit.part) part[other_side(run)] = part[run];
  }
  a.as_fitted = tried(ride, spread, wishes, r, fit);
  const auto* best = r.best();
  if (!best || !a.as_fitted->figures) return;
  const bool better = best->chance && a.as_fitted->chance
                          ? *best->chance > *a.as_fitted->chance + clearly_better
                          : best->share < (1.0 - clearly_better) * a.as_fitted->share;
  if (better) a.best_now = *best;
}

}  // namespace

Proving prove(const std::vector<RunProof>& runs, const Ride& ride, const Adjusted& adjusted,
              const Survey& survey, const Wishes& wishes, const Correction& correction) {
  Proving p;
  p.runs = runs;
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    if (!ride.car.at(name)) continue;
    const auto i = static_cast<std::size_t>(name);
    const auto& c = correction.at(name);
    AxleProved a;
    a.axle = name;
    for (const Side side : each_side) {
      const auto run = last_run(runs, name, side);
      if (!run) continue;
      CornerProved corner;
      corner.side = side;
      corner.run = *run;
      corner.as = run_set_up(ride, wishes, survey, run_on(name, side), runs[*run].with);
      if (!runs[*run].why)
        corner.next = next_shim(ride, corner.as, runs[*run], wanted_of(wishes.target[i]));
      a.corners.push_back(std::move(corner));
    }
    if (a.corners.size() == each_side.size())
      a.verdict = worse(runs[a.corners[0].run].verdict, runs[a.corners[1].run].verdict);
    for (const auto& run : survey.begun)
      if (run.with && run.axle == name) ++a.unfinished;
    if (c && c->to_fit())
      for (const auto& corner : a.corners)
        a.other_set = a.other_set || other_parts(corner.as.fit, c->to_fit()->fit, corner.side);
    a.slopes_opposite = slopes_opposite(runs, a);
    if (!a.corners.empty() && c) rank_again(a, *c, ride, adjusted.spread, wishes);
    if (c && c->to_fit()) {
      const bool mirrored = ride.car.at(name)->right_is_mirrored;
      for (const Side side : each_side) {
        // The mirror image's run reads the same; it is told once.
        if (a.corner(side) || (side == Side::right && mirrored && !a.expected.empty())) continue;
        auto as = run_set_up(ride, wishes, survey, run_on(name, side), {});
        as.fit = c->to_fit()->fit;
        a.expected.push_back(expected_run(ride, adjusted.spread, survey, as));
        if (!a.to_fit) a.to_fit = std::move(as);
      }
    }
    if (!a.corners.empty() || a.to_fit) p.axle[i] = std::move(a);
  }
  return p;
}

}  // namespace trammel
