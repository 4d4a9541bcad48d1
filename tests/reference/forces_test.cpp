// Forces in members of the invented demo car against printed ones (cars/solved-forces.json,
// computed for this project by an independent solver: corner_by_itself.py --load prints them
// again), and against the reactions of an independent engine.

#include "travel/forces.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "cars.h"
#include "file/edit.h"
#include "reference/simbody_corner.h"
#include "travel/reasons.h"

namespace trammel::testing {
namespace {

// Printed to 10 N, and the loads to two or three digits: 1 % of the load that a member answers to.
constexpr double printed_n = 10.0, of_load = 0.01;
// The engine keeps its joints to 1e-11 mm and solves for accelerations, which a static car has none
// of: rounding alone, of forces up to some 10 kN.
constexpr double reaction_n = 1e-3;

Car without_springs(const std::string& name) {
  auto document = parse(demo_text(name));
  EXPECT_TRUE(document.value);
  for (const char* table : {"front.spring", "rear.spring"}) {
    auto next = without_table(*document.value, table);
    EXPECT_TRUE(next.value);
    document.value = std::move(next.value);
  }
  return car_of(document.value->text);
}

TEST(DemoForces, MembersCarryWhatIsPrinted) {
  const Car car = without_springs("pip-as-built.toml");
  const auto solved = nlohmann::json::parse(demo_text("solved-forces.json"))["pip"];
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& axle = *car.at(name);
    const auto m = build(axle.layout, axle.at(Side::left).numbers);
    const auto solution = solution_as_measured(m);
    const At<double> at(axle.layout, m, solution, {});
    ASSERT_GE(solved[word(name)].size(), 5U);
    for (const auto& row : solved[word(name)]) {
      SCOPED_TRACE(std::string(word(name)) + " " + row["case"].get<std::string>());
      const auto n = row["load_n"].get<std::array<double, 3>>();
      const auto f = forces(at, {{n[0], n[1], n[2]}, {}, row["trail_mm"].get<double>()});
      ASSERT_TRUE(f.value) << words(f.why);
      const double good = printed_n + of_load * (std::fabs(n[0]) + std::fabs(n[1]) + n[2]);
      for (const auto& [rod, force] : row["rod"].items())
        EXPECT_NEAR(f.value->rod_n[static_cast<std::size_t>(axle.layout.rod(rod))],
                    force.get<double>(), good)
            << rod;
      if (row.contains("leg")) {
        for (std::size_t k = 0; k < 2; ++k)
          EXPECT_NEAR(f.value->arm[0].leg_n[k], row["leg"][k].get<double>(), good) << "leg " << k;
      }
    }
  }
}

class ForcesAgainstSimbody : public ::testing::TestWithParam<NamedText> {};

// The engine is given the load and the support's thrust that the core found, and asked what its
// joints hold. Were the thrust wrong, what keeps the wheel at its height would have to help.
TEST_P(ForcesAgainstSimbody, JointsHoldWhatTheCoreSays) {
  const Car car = car_of(with_spring(GetParam()));
  const Axle& axle = *car.at(GetParam().axle);
  const auto& numbers = axle.at(Side::left).numbers;
  const auto m = build(axle.layout, numbers);
  SimbodyCorner engine(axle.layout, numbers, 1e-11);
  for (const double travel : {-40.0, 0.0, 35.0}) {
    SCOPED_TRACE(travel);
    const auto r = reach(m, solution_as_measured(m), {travel, 0.0});
    ASSERT_TRUE(r.arrived);
    engine.drive(travel, 0.0, 2.5);
    const At<double> at(axle.layout, m, r.at, {});
    const Load load{{-2300.0, -3100.0, 4200.0}, {700.0, 0.0, 0.0}, 25.0};
    const auto f = forces(at, load);
    ASSERT_TRUE(f.value) << words(f.why);
    const auto& support = m.spring ? *m.spring : *m.strut;
    const Vec3<double> ahead = unit(cross(at.spin, Vec3<double>{0, 0, 1}));
    const auto top = at.placed.position(support.top), foot = at.placed.position(support.foot);
    engine.load(
        {{at.contact - 25.0 * ahead, load.at_contact_n}, {at.placed.centre(), load.at_centre_n}},
        foot, f.value->support_n * unit(foot - top),
        support.foot.on.on == Carrier::arm ? support.foot.on.arm : -1);
    EXPECT_NEAR(engine.lift_n(), 0.0, reaction_n);
    for (std::size_t i = 0; i < f.value->rod_n.size(); ++i)
      EXPECT_NEAR(f.value->rod_n[i], engine.rod_n(i), reaction_n) << axle.layout.rods[i].name;
    for (std::size_t i = 0; i < f.value->arm.size(); ++i)
      EXPECT_LT(length(f.value->arm[i].ball_n - engine.ball_on_upright_n(i)), reaction_n)
          << axle.layout.arms[i].name;
  }
}

INSTANTIATE_TEST_SUITE_P(Layouts, ForcesAgainstSimbody, ::testing::ValuesIn(all_layouts),
                         [](const auto& layout) { return std::string(layout.param.name); });

}  // namespace
}  // namespace trammel::testing
