// Whole curves against an independent solver that anybody can run (corner_by_itself.py: Newton with
// slopes by differences, nothing of ours in it), on the demo cars and on every layout it knows.

#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>
#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "travel/reasons.h"
#include "travel/sweep.h"

namespace trammel::testing {
namespace {

// Its Newton ends at 1e-11 mm. Its slopes are differences over 0.1 mm: curvature leaves some 1e-6
// of a degree per 25 mm and, of the roll centre, 1e-4 mm.
struct Same {
  double deg = 1e-8, slope = 1e-5, axis_deg = 1e-8, mm = 1e-6, roll_centre_mm = 2e-4;
};
// Its floor stays level. The floor of a lowered car goes through the contact points, which camber
// lifts by some 0.02 mm more at one axle than at the other: a pitch of half a thousandth of a
// degree, all of it caster and a hundredth of it toe and camber.
constexpr Same lowered_same{2e-5, 1e-5, 1e-3, 5e-3, 1e-3};

nlohmann::json by_itself(const std::string& file, AxleName axle, const std::string& more) {
  const std::string out = fmt::format("{}/by_itself_{}.json", MADE_RUNS_FOLDER, ::getpid());
  const auto line = fmt::format("/usr/bin/python3 -B {} {} {} {} > {}", CORNER_SCRIPT, file,
                                word(axle), more, out);
  EXPECT_EQ(std::system(line.c_str()), 0) << line;
  std::ifstream in(out);
  auto j = nlohmann::json::parse(in);
  in.close();
  std::remove(out.c_str());
  return j;
}

void expect_same(const Ride& stands, AxleName axle, const nlohmann::json& want, const Same& same) {
  const auto travels = want["travel_mm"].get<std::vector<double>>();
  ASSERT_GT(travels.size(), 5U);
  const auto s = sweep(stands, axle, {travels, 0.0, 0.0});
  for (std::size_t i = 0; i < travels.size(); ++i) {
    ASSERT_TRUE(s.positions[i].side[0]) << travels[i];
    const auto& at = *s.positions[i].side[0];
    EXPECT_NEAR(at[Reading::toe] / degree_rad, want["toe_deg"][i], same.deg) << travels[i];
    EXPECT_NEAR(at[Reading::camber] / degree_rad, want["camber_deg"][i], same.deg) << travels[i];
    EXPECT_NEAR(at[Reading::roll_centre_height], want["roll_centre_height_mm"][i],
                same.roll_centre_mm)
        << travels[i];
  }
  const auto& ride_at = *s.ride.side[0];
  const auto& wanted = want["ride"];
  EXPECT_NEAR(ride_at[Reading::bump_steer] * 25 / degree_rad, wanted["toe_slope_deg_per_25_mm"],
              same.slope);
  EXPECT_NEAR(ride_at[Reading::camber_gain] * 25 / degree_rad, wanted["camber_gain_deg_per_25_mm"],
              same.slope);
}

struct DemoAxle {
  const char* car;
  AxleName axle;
};
class DemoByItself : public ::testing::TestWithParam<DemoAxle> {};

TEST_P(DemoByItself, AsBuiltAndLowered) {
  const auto& [name, axle] = GetParam();
  const auto file = std::string(name) + "-as-built.toml";
  const Car car = demo(file);
  const auto* lowered = car.state("lowered");
  ASSERT_NE(lowered, nullptr);
  for (const RideState* state : {static_cast<const RideState*>(nullptr), lowered}) {
    SCOPED_TRACE(state ? "lowered" : "as built");
    const double by = state ? -state->axle[static_cast<std::size_t>(axle)].height_mm : 0.0;
    const auto stands = ride(car, state);
    ASSERT_TRUE(stands.value) << words(stands.why, Units::metric);
    const auto want = by_itself(CARS_FOLDER + ("/" + file), axle, fmt::format("--lowered {}", by));
    const Same same = state ? lowered_same : Same{};
    expect_same(*stands.value, axle, want, same);
    if (axle == AxleName::rear) continue;
    const CornerAt at = *sweep(*stands.value, axle, {{0.0}, 0.0, 0.0}).ride.side[0];
    const auto& wanted = want["ride"];
    EXPECT_NEAR(at[Reading::caster] / degree_rad, wanted["caster_deg"], same.axis_deg);
    EXPECT_NEAR(at[Reading::steering_axis_inclination] / degree_rad,
                wanted["steering_axis_inclination_deg"], same.axis_deg);
    EXPECT_NEAR(at[Reading::scrub_radius], wanted["scrub_radius_mm"], same.mm);
    EXPECT_NEAR(at[Reading::caster_trail], wanted["caster_trail_mm"], same.mm);
  }
}
INSTANTIATE_TEST_SUITE_P(
    Cars, DemoByItself,
    ::testing::Values(DemoAxle{"pip", AxleName::front}, DemoAxle{"pip", AxleName::rear},
                      DemoAxle{"nibbet", AxleName::front}, DemoAxle{"nibbet", AxleName::rear}),
    [](const auto& row) { return std::string(row.param.car) + "_" + word(row.param.axle); });

TEST(LayoutsByItself, SkewedCornersOfEveryKind) {
  for (const NamedText& layout : all_layouts) {
    const std::string text = layout.text, name = layout.name;
    if (text.find(".swing.") != std::string::npos || name == "toe_link_on_arm")
      continue;  // it knows neither
    SCOPED_TRACE(name);
    const std::string file = fmt::format("{}/by_itself_{}.toml", MADE_RUNS_FOLDER, ::getpid());
    std::ofstream(file) << text;
    const Car car = car_of(text);
    const auto stands = ride(car, nullptr);
    ASSERT_TRUE(stands.value) << words(stands.why, Units::metric);
    expect_same(*stands.value, layout.axle, by_itself(file, layout.axle, "--keep"), Same{});
    std::remove(file.c_str());
  }
}

}  // namespace
}  // namespace trammel::testing
