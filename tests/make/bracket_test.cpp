// Plates against worked examples and against beams by hand.

#include "make/bracket.h"

#include <cmath>

#include "cars.h"
#include "make/part_drawings.h"

namespace trammel::testing {
namespace {

constexpr double exact = 1e-9;
// Printed to whole newtons and to 0.1 MPa.
constexpr double printed_n = 0.5, printed_mpa = 0.05;

Made bolted(double edge, std::vector<std::array<double, 2>> fixings) {
  Made m;
  m.kind = MadeKind::bolted_plate;
  m.material = std::get<Material>(read_material("S275"));
  m.bolt = {std::get<Thread>(read_thread("M12x1.75")), BoltClass::class_10_9};
  m.stock_mm = {5, 6, 8, 10};
  m.edge_mm = edge;
  m.fixings_mm = std::move(fixings);
  return m;
}

const Check& check_of(const PlateJudged& p, const std::string& what) {
  for (const auto& c : p.checks)
    if (c.what.find(what) != std::string::npos) return c;
  ADD_FAILURE() << "no check of " << what;
  static const Check none{};
  return none;
}

// Bhandari, Design of Machine Elements, example 7.4: 5 kN at 305 mm from the middle of three bolts,
// 75 mm apart: 1666.67 + 10166.67 N on the outer one; its shear of 63.33 MPa asks for a core of
// 15.424 mm.
TEST(Bracket, EccentricBoltGroupOfAHandbook) {
  const auto on = bolt_group({{-75, 0}, {0, 0}, {75, 0}}, {305, 0}, {0, -5000});
  EXPECT_NEAR(on[2][1], -11833.33, printed_n);
  EXPECT_NEAR(on[0][1], 10166.67 - 1666.67, printed_n);
  EXPECT_NEAR(std::sqrt(4.0 * std::fabs(on[2][1]) / (3.14159265358979 * 63.33)), 15.424, 1e-3);
}

// What bolts carry is what is asked of them: force and moment.
TEST(Bracket, ABoltGroupHoldsItsForceAndMoment) {
  const std::vector<std::array<double, 2>> bolts{{0, 0}, {38, 12}, {-14, 40}, {9, -21}};
  const std::array<double, 2> at{61, -33}, force{-1700, 2900};
  double fx = 0, fy = 0, moment = 0;
  const auto on = bolt_group(bolts, at, force);
  for (std::size_t i = 0; i < bolts.size(); ++i) {
    fx += on[i][0];
    fy += on[i][1];
    moment += bolts[i][0] * on[i][1] - bolts[i][1] * on[i][0];
  }
  EXPECT_NEAR(fx, force[0], exact * 1e4);
  EXPECT_NEAR(fy, force[1], exact * 1e4);
  EXPECT_NEAR(moment, at[0] * force[1] - at[1] * force[0], exact * 1e6);
}

// Beam theory: b t²/6 and t b²/6 for 50 × 8 (533.33 mm³; 500 N at 40 mm are 37.5 MPa) and for the
// tab of common practice, 6 × 40: 1600 mm³ edge-on, 240 flat.
TEST(Bracket, SectionModuli) {
  EXPECT_NEAR(modulus_flat_mm3(50, 8, 0), 533.333, 1e-3);
  EXPECT_NEAR(500.0 * 40.0 / modulus_flat_mm3(50, 8, 0), 37.5, printed_mpa);
  EXPECT_NEAR(modulus_in_plane_mm3(40, 6, 0), 1600.0, exact);
  EXPECT_NEAR(modulus_flat_mm3(40, 6, 0), 240.0, exact);
  // A square bar in torsion: 0.208 a³ (Roark; Timoshenko), from memory.
  EXPECT_NEAR(modulus_torsion_mm3(10, 10), 208.0, 0.5);
}

// The drop of 17 mm under 4 kN, 6 × 40 plate (common practice, sums by hand): 68 N·m are 43 MPa in
// the plate's plane and 283 MPa flat, which S275 does not bear.
TEST(Bracket, AboutThePlaneThatItIsLoadedIn) {
  EXPECT_NEAR(4000.0 * 17.0 / modulus_in_plane_mm3(40, 6, 0), 42.5, printed_mpa);
  EXPECT_NEAR(4000.0 * 17.0 / modulus_flat_mm3(40, 6, 0), 283.3, printed_mpa);
  const auto m = bolted(20, {{0, 0}, {0, 60}});
  const auto in_plane = judged(m, {0, -17}, 0, 6, {{"side", {4000, 0, 0}, 1.0, false}});
  const auto across = judged(m, {0, -17}, 0, 6, {{"across", {0, 0, 4000}, 1.0, false}});
  EXPECT_NEAR(check_of(in_plane, "bent").value,
              4000.0 * 17.0 / modulus_in_plane_mm3(40, 6, m.bolt.thread.diameter_mm), 1e-6);
  EXPECT_GT(check_of(across, "bent").used, 1.0);
  EXPECT_LT(check_of(in_plane, "bent").used, 1.0);
}

// By hand (common practice): t 6, M12, edge 24 in S275: tearing out 2·6·18·0.6·410 = 53 kN, bearing
// 12·6·1.5·275 = 30 kN.
TEST(Bracket, BearingAndTearingOutDoNotGovern) {
  const auto m = bolted(24, {{0, 40}, {0, 80}});
  const auto p = judged(m, {0, 0}, 0, 6, {{"side", {4000, 0, 0}, 1.0, false}});
  EXPECT_NEAR(check_of(p, "tearing").limit, 53136.0, 1.0);
  EXPECT_NEAR(check_of(p, "bearing").limit, 29700.0, 1.0);
}

// A fillet of 5 mm leg (3.5 throat) carries some 0.4 kN/mm in work (common practice): the same
// weld pulled straight through its middle is used about as far.
TEST(Bracket, AWeldInWork) {
  auto m = bolted(20, {});
  m.kind = MadeKind::welded_plate;
  m.weld = Weld{{-50, 0}, {50, 0}, 3.5};
  const auto p = judged(m, {0, -30}, 0, 6, {{"pull", {0, -2 * 0.4e3 * 100, 0}, 1.0, false}});
  EXPECT_NEAR(check_of(p, "weld").value, 2 * 0.4e3 * 100 / (2 * 3.5 * 100), 1e-6);
  EXPECT_NEAR(check_of(p, "weld").used, 1.0, 0.5);
  // Beside the middle it bends the weld as a beam of two throats.
  const auto bent = judged(m, {0, -30}, 0, 6, {{"side", {4000, 0, 0}, 1.0, false}});
  const double by_hand = std::hypot(6.0 * 4000.0 * 30.0 / (2 * 3.5 * 100 * 100), 4000.0 / 700.0);
  EXPECT_NEAR(check_of(bent, "weld").value, by_hand, 1e-6);
  m.boss = "EN-GJS-400-15";
  m.boss_welds = false;
  EXPECT_FALSE(judged(m, {0, -30}, 0, 6, {}).serves());
}

// Two tabs of 5 mm and a ball of 16 without a gap under 4 kN: 13 N·m in the pin (common practice).
TEST(Bracket, ThePinOfAClevis) {
  auto m = bolted(24, {});
  m.kind = MadeKind::clevis;
  m.weld = Weld{{-30, 30}, {30, 30}, 3.5};
  const auto p = judged(m, {0, 0}, 0, 5, {{"side", {4000, 0, 0}, 1.0, false}});
  const double root = basic_diameters(m.bolt.thread).root_mm;
  const double moment =
      check_of(p, "pin bent").value * 3.14159265358979 * root * root * root / 32.0;
  EXPECT_NEAR(moment, 13000.0, 1.0);
}

TEST(Bracket, TheThinnestOfTheStockThatServesIsTaken) {
  const auto m = bolted(24, {{-24, 14}, {24, 14}});
  const std::vector<PlateLoad> loads{{"side", {2500, 0, 0}, 2.0, true}};
  const auto c = chosen_plate(m, {5, -17}, 0, loads);
  EXPECT_TRUE(c.why.empty()) << c.why;
  double thinner = 0.0;
  for (const double t : m.stock_mm)
    if (t < c.plate.thickness_mm) thinner = t;
  ASSERT_GT(thinner, 0.0);
  EXPECT_FALSE(judged(m, {5, -17}, 0, thinner, loads).serves());
  // What is asked for and does not serve is said, with what would.
  auto thin = m;
  thin.thickness_mm = 2.0;
  const auto refused = chosen_plate(thin, {5, -17}, 0, loads);
  EXPECT_NE(refused.why.find("2 mm does not serve"), std::string::npos) << refused.why;
  EXPECT_NE(refused.why.find("mm of the stock serves"), std::string::npos) << refused.why;
  // Nothing serves: what fails first and what helps.
  const auto none = chosen_plate(m, {5, -17}, 40, {{"hard", {60000, 0, 0}, 2.0, true}});
  EXPECT_NE(none.why.find("no thickness of the stock serves"), std::string::npos) << none.why;
  EXPECT_NE(none.why.find("What helps"), std::string::npos) << none.why;
}

// More load, a longer lever or a thinner plate never uses a part less.
TEST(Bracket, UseGrowsWithLoadAndLever) {
  const auto m = bolted(24, {{-24, 14}, {24, 14}});
  const auto used = [&](double force, double drop, double t) {
    return check_of(judged(m, {0, -drop}, 0, t, {{"side", {force, 300, 200}, 1.0, true}}), "bent")
        .used;
  };
  EXPECT_GT(used(5000, 20, 6), used(4000, 20, 6));
  EXPECT_GT(used(4000, 30, 6), used(4000, 20, 6));
  EXPECT_GT(used(4000, 20, 5), used(4000, 20, 6));
}

// Round a triangle of equal circles the edge is three sides and a whole turn of arc.
TEST(PartDrawings, HullOfCircles) {
  const auto hull = hull_round({{{0, 0}, 20}, {{60, 0}, 20}, {{0, 80}, 20}});
  const double pi = 3.14159265358979;
  EXPECT_NEAR(length_mm(hull), 60 + 80 + 100 + 2 * pi * 10, 1e-9);
  EXPECT_NEAR(area_mm2(hull), 2400 + 240 * 10 + pi * 100, 1e-6);
  // What lies inside changes nothing; points are corners.
  const auto same = hull_round({{{0, 0}, 20}, {{20, 20}, 4}, {{60, 0}, 20}, {{0, 80}, 20}});
  EXPECT_NEAR(area_mm2(same), area_mm2(hull), 1e-9);
  const auto points = hull_round({{{0, 0}, 0}, {{60, 0}, 0}, {{0, 80}, 0}});
  EXPECT_NEAR(area_mm2(points), 2400, 1e-9);
  EXPECT_EQ(points.corners.size(), 3U);
}

}  // namespace
}  // namespace trammel::testing
