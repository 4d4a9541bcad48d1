// Toe over a run with parts fitted and its changes.
#include "prove/run_model.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <numbers>
#include <span>

#include "base/quantity.h"
#include "correct/rank.h"
#include "prove/reasons.h"
#include "prove/runs.h"
#include "travel/random_corner.h"
#include "travel/sensitivity.h"

namespace trammel::testing {
namespace {

// Central differences over 0.2 mm against exact slopes; the curve's bend over that way.
constexpr double slope_tolerance = 1e-8;  // rad per mm
// The same of a dial up to 0.3 m from the wheel's centre; and what Newton leaves there.
constexpr double dial_slope_tolerance = 1e-5;  // mm per mm
constexpr double dial_tolerance_mm = 1e-9;
constexpr double travel_slope_tolerance = 1e-7;  // the matrix is that of a place 1e-5 mm away

Car car_with(const RandomCorner& r) {
  Car car;
  car.at(r.layout().axle) = r.axle;
  return car;
}

// With nothing fitted and nothing set, the changes are those of the car as it sits: exact, through
// the implicit function theorem.
RC_GTEST_PROP(RunModel, ChangesAreTheExactOnesOfTheCarAsItSits, ()) {
  const auto corner = random_corner();
  const auto stands = ride(car_with(corner), nullptr);
  RC_ASSERT(stands.value.has_value());
  RunSetUp as;
  as.axle = corner.layout().axle;
  as.side = *rc::gen::inRange(0, 2) == 0 ? Side::left : Side::right;
  const double travel = 0.5 * random_travel();
  const auto model = run_model(*stands.value, as, {0.0, travel});
  RC_PRE(model.value.has_value());
  std::vector<int> wanted;
  for (const auto& input : model.value->inputs)
    if (input.of == RunInput::Of::number) wanted.push_back(input.number);
  const auto& axle = *stands.value->car.at(as.axle);
  const auto m = corner_mechanism(axle, as.side);
  const auto at = reach(m, solution_as_measured(m), {travel, 0.0});
  RC_ASSERT(at.arrived);
  const auto exact = sensitivity(axle.layout, m.numbers, at.at, {}, wanted);
  const auto place = static_cast<int>(model.value->place(travel));
  for (std::size_t k = 0; k < wanted.size(); ++k) {
    const double tolerance =
        slope_tolerance * (wanted[k] >= camber_number(axle.layout) ? 1e3 : 1.0);
    RC_ASSERT(std::fabs(model.value->per_input(place, static_cast<int>(k)) -
                        exact[k][static_cast<std::size_t>(Reading::toe)]) < tolerance);
  }
  const At<double> there(axle.layout, m, at.at, {});
  RC_ASSERT(std::fabs(model.value->slope[static_cast<std::size_t>(place)] -
                      read(Reading::bump_steer, there)) < 1e-12);
}

// The same of what a low dial and dials by themselves show.
RC_GTEST_PROP(RunModel, ChangesOfTheDialsAreTheExactOnesOfTheCarAsItSits, ()) {
  const auto corner = random_corner();
  const auto stands = ride(car_with(corner), nullptr);
  RC_ASSERT(stands.value.has_value());
  RunSetUp as;
  as.axle = corner.layout().axle;
  as.side = *rc::gen::inRange(0, 2) == 0 ? Side::left : Side::right;
  auto run = with_low_dial(blank_run(as.axle, as.side), 0.1 * *rc::gen::inRange(500, 3000));
  if (*rc::gen::inRange(0, 2) == 1) run = by_places(run);
  as.dials = dial_rows(run);
  const double travel = 0.5 * random_travel();
  const auto model = run_model(*stands.value, as, {0.0, travel});
  RC_PRE(model.value.has_value());
  const auto& layout = stands.value->car.at(as.axle)->layout;
  std::vector<int> wanted;
  for (const auto& input : model.value->inputs)
    if (input.of == RunInput::Of::number) wanted.push_back(input.number);
  wanted.push_back(travel_number(layout));
  const auto m = corner_mechanism(*stands.value->car.at(as.axle), as.side);
  const auto at = reach(m, solution_as_measured(m), {travel, 0.0});
  RC_ASSERT(at.arrived);
  const auto place = model.value->place(travel);
  for (std::size_t i = 0; i < wanted.size(); i += lane_count) {
    const std::size_t n = std::min(lane_count, wanted.size() - i);
    const auto c = dual_corner(layout, m.numbers, at.at, std::span(wanted).subspan(i, n), false);
    const Placed<Dual> placed(c.mechanism, c.at.pose, c.at.drive.rack_mm);
    for (std::size_t d = 0; d < as.dials.size(); ++d) {
      if (as.dials[d].of == DialRow::Of::toe) {
        RC_ASSERT(model.value->shown[d].mm.empty());
        continue;
      }
      const auto exact = dial_mm(as.dials[d], placed.turn() * c.mechanism.wheel.spin,
                                 placed.centre(), c.mechanism.centre_mm);
      RC_ASSERT(std::fabs(model.value->shown[d].mm[place] - exact.value) < dial_tolerance_mm);
      for (std::size_t k = 0; k < n; ++k) {
        const auto& slopes = model.value->shown_per_input[d];
        const bool of_travel = i + k + 1 == wanted.size();
        const double per = of_travel ? model.value->shown[d].slope[place]
                                     : slopes(static_cast<int>(place), static_cast<int>(i + k));
        // An angle moves a dial by as much as its distance from the wheel's centre.
        const double tolerance = of_travel ? travel_slope_tolerance
                                 : wanted[i + k] >= camber_number(layout)
                                     ? 1e3 * dial_slope_tolerance
                                     : dial_slope_tolerance;
        RC_ASSERT(std::fabs(per - exact.slope[k]) < tolerance);
      }
    }
  }
}

// Plain geometry: moving the inner end of a rod of length L on an arm a by a millimetre changes
// bump steer by 1432/(L·a) °/25 mm, rad to degrees and mm to 25 mm; within 15 % of it, since the
// rod leans.
TEST(RunModel, HeightOfTheRodsInnerEndByTheClosedForm) {
  const Car car = demo("pip.toml");
  const auto stands = *ride(car, nullptr).value;
  RunSetUp as;
  const auto model = run_model(stands, as, {-12.5, 0.0, 12.5});
  ASSERT_TRUE(model.value) << words(model.why, Units::metric);
  const auto& layout = car.at(AxleName::front)->layout;
  const auto& points = car.at(AxleName::front)->at(Side::left).numbers.points_mm;
  const auto& rod = layout.rods[static_cast<std::size_t>(layout.rod("steering"))];
  const auto& inner = points[static_cast<std::size_t>(rod.inner)];
  const auto& outer = points[static_cast<std::size_t>(rod.upright)];
  const double rod_mm = length(outer - inner), arm_mm = points[0].x - outer.x;
  double per_mm = 0.0;
  for (std::size_t k = 0; k < model.value->inputs.size(); ++k)
    if (model.value->inputs[k].of == RunInput::Of::number &&
        model.value->inputs[k].number == coordinate_number(rod.inner, 2))
      per_mm = model.value->per_input(2, static_cast<int>(k)) -
               model.value->per_input(0, static_cast<int>(k));
  EXPECT_NEAR(std::fabs(per_mm) / degree_rad, 1432.0 / (rod_mm * arm_mm),
              0.15 * 1432.0 / (rod_mm * arm_mm));
}

// The set moved in by the model is the set that the ranking judges.
TEST(RunModel, ACurveWithPartsIsTheOneThatIsRanked) {
  const FromFile f(demo_text("pip.toml"));
  const auto stands = *ride(f.car, nullptr).value;
  auto ranking = *rank(stands, {}, AxleName::front, f.wishes).value;
  const auto& best = *ranking.best();
  const GaugeRun run = blank_run(AxleName::front, Side::left);
  auto as = run_set_up(stands, f.wishes, {}, run, {});
  as.fit = best.fit;
  const auto curve = run_curve(stands, as, {0.0, 40.0});
  ASSERT_TRUE(curve.value) << words(curve.why, Units::metric);
  EXPECT_NEAR(curve.value->toe_rad[0], best.figures->wheel.left.toe_rad, 1e-12);
  EXPECT_NEAR(curve.value->slope[0], best.figures->wheel.left.bump_steer, 1e-12);
}

}  // namespace
}  // namespace trammel::testing
