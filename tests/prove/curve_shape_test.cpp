// Shapes of measured curves: nothing is claimed that the readings do not show.
#include "prove/curve_shape.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <numbers>

#include "base/quantity.h"
#include "base/statistics.h"
#include "prove/runs.h"

namespace trammel::testing {
namespace {

constexpr double per_25mm = degree_rad / 25.0;

// A run of a given curve; `dial_mm` of noise from `seed`.
GaugeRun run_of(double slope, double bend, double twist, double dial_mm = 0.0,
                std::uint64_t seed = 1) {
  auto run = blank_run(AxleName::front, Side::left);
  Sampler sampler(seed);
  for (auto& row : run.rows) {
    const double t = row.travel_mm;
    row.rear_mm =
        run.base_mm * std::tan(t * (slope + t * (bend + t * twist))) + dial_mm * sampler.normal();
    row.front_mm = dial_mm * sampler.normal();
  }
  return run;
}

TEST(CurveShape, EachShapeByItsName) {
  const struct {
    double slope, bend, twist;  // °/25 mm, ° at 40 mm, ° at 40 mm
    CurveShape shape;
  } table[] = {
      {-0.22, 0.0, 0.0, CurveShape::straight_out},
      {0.10, 0.0, 0.0, CurveShape::straight_in},
      {-0.22, -0.10, 0.0, CurveShape::straight_out},
      {0.01, -0.15, 0.0, CurveShape::arch},
      {-0.01, 0.15, 0.0, CurveShape::trough},
      {0.10, 0.0, -0.15, CurveShape::s},
      {0.0, 0.0, 0.0, CurveShape::flat},
  };
  for (const auto& row : table)
    for (const double dial_mm : {0.0, usual_dial_sigma_mm}) {
      const auto f = curve_fit(run_of(row.slope * per_25mm, row.bend * degree_rad / (40.0 * 40.0),
                                      row.twist * degree_rad / (40.0 * 40.0 * 40.0), dial_mm));
      EXPECT_EQ(f.shape, row.shape)
          << row.slope << " " << row.bend << " " << row.twist << " " << word(f.shape);
    }
}

// Computed for this project by an independent solver: the demo hatch as lowered toes out by 0.218°
// per 25 mm in bump, nearly straight with a bend to toe-out; its own run (300 mm base, dials good
// to 0.03 mm) says so.
TEST(CurveShape, TheDemoHatchAsLowered) {
  const FromFile f(demo_text("pip-survey.toml"));
  const auto fit = curve_fit(f.survey.gauges[0]);
  EXPECT_EQ(fit.shape, CurveShape::straight_out);
  EXPECT_NEAR(fit.slope / per_25mm, -0.218, 3.0 * fit.slope_sigma / per_25mm);
  EXPECT_LT(fit.slope_sigma / per_25mm, 0.006);
  EXPECT_LT(fit.bend, -3.0 * fit.bend_sigma);
}

// Noise alone has no shape, and a true slope lies within four of its uncertainties.
RC_GTEST_PROP(CurveShape, NoiseHasNoShapeAndTheSlopeIsWithinItsUncertainty, ()) {
  const auto seed = static_cast<std::uint64_t>(*rc::gen::inRange(1, 1000000));
  const double slope = 0.001 * *rc::gen::inRange(-300, 301) * per_25mm;
  const auto f = curve_fit(run_of(slope, 0.0, 0.0, usual_dial_sigma_mm, seed));
  RC_ASSERT(std::fabs(f.slope - slope) < 5.0 * f.slope_sigma);
  const auto none = curve_fit(run_of(0.0, 0.0, 0.0, 0.02 * usual_dial_sigma_mm, seed));
  RC_ASSERT(none.shape == CurveShape::flat);
}

// Up against down is no shape.
TEST(CurveShape, PlayIsNotTakenForABend) {
  auto run = run_of(-0.1 * per_25mm, 0.0, 0.0);
  const auto way = directions(run);
  for (std::size_t i = 0; i < run.rows.size(); ++i)
    run.rows[i].rear_mm += 0.5 * way[i] * 0.1 * degree_rad * run.base_mm;
  const auto f = curve_fit(run);
  EXPECT_EQ(f.shape, CurveShape::straight_out);
  EXPECT_NEAR(f.slope / per_25mm, -0.1, 1e-3);
  EXPECT_EQ(f.bend, 0.0);
}

}  // namespace
}  // namespace trammel::testing
