// Plates against worked examples and against beams by hand.

#include "make/bracket.h"

#include <cmath>

#include "cars.h"
#include "make/part_drawings.h"
#include "make/reasons.h"

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
  m.offset_mm = 12.0;
  m.ball_width_mm = 12.0;
  return m;
}
Made in_its_plane(Made m) {
  m.offset_mm = 0.0;
  return m;
}

// A copy: what is asked of is often a judgement that ends with the line.
Check check_of(const PlateJudged& p, const std::string& what) {
  for (const auto& c : p.checks)
    if (what_gives(c) == what) return c;
  for (const auto& c : p.checks)
    if (what_gives(c).find(what) != std::string::npos) return c;
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

// Bhandari, Design of Machine Elements, example 7.8: 20 kN pull on a bracket 550 mm off its two
// bolts, 450 and 50 mm from the edge that it tilts about: 10,000 + 24,146.34 N on the far one,
// which 75 MPa make 455.28 mm² of.
TEST(Bracket, TiltingBracketOfAHandbook) {
  const auto on = tilted_bolts({450, 50}, 20e3, 20e3 * 550);
  EXPECT_NEAR(on[0], 34146.34, 0.01);
  EXPECT_NEAR(on[0] / 75, 455.2846, 1e-3);
  EXPECT_NEAR(on[1], 10e3 + 24146.34 / 9, 0.01);
}

// EN 1993-1-8, table 3.4 (from memory): a bolt M12 of class 8.8 with its thread in the shear plane
// takes 0.6 fub As / 1.25 = 32.37 kN. Here three times are wanted in hand instead of 1.25.
TEST(Bracket, AFixingInShear) {
  auto m = in_its_plane(bolted(24, {{-24, 14}, {24, 14}}));
  m.bolt.bolt_class = BoltClass::class_8_8;
  const auto p = judged(m, {0, -17}, 0, 6, {{"side", {4000, 0, 0}, 1.0, false}});
  EXPECT_NEAR(check_of(p, "fixing bolt, shear").limit * break_in_hand / 1.25, 32.37e3, 20.0);
}

// The same sum is what holds a plate: two fixings 60 apart up the plate, edge 20, new hole 50 below
// their middle; 1 kN across it, no offset. It tilts about its far edge 20 beyond the upper bolt
// (or its near one): 500 N and 50 N·m · 80/(80² + 20²).
TEST(Bracket, FixingsHoldAPlateThatTilts) {
  auto m = in_its_plane(bolted(20, {{0, 60}, {0, 0}}));
  const auto p = judged(m, {0, -20}, 0, 6, {{"across", {0, 0, 1000}, 1.0, false}});
  EXPECT_NEAR(check_of(p, "pulled").value, 500.0 + 50e3 * 80 / (6400 + 400), 1e-6);
}

// The drop of 17 mm under 4 kN, 6 × 40 plate (common practice, sums by hand): 68 N·m are 43 MPa in
// the plate's plane and 283 MPa flat, which S275 does not bear.
TEST(Bracket, AboutThePlaneThatItIsLoadedIn) {
  EXPECT_NEAR(4000.0 * 17.0 / modulus_in_plane_mm3(40, 6, 0), 42.5, printed_mpa);
  EXPECT_NEAR(4000.0 * 17.0 / modulus_flat_mm3(40, 6, 0), 283.3, printed_mpa);
  const auto m = in_its_plane(bolted(20, {{0, 0}, {0, 60}}));
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
  EXPECT_NEAR(break_in_hand * check_of(p, "tearing").limit, 53136.0, 1.0);
  EXPECT_NEAR(yield_in_hand * check_of(p, "bearing").limit, 29700.0, 1.0);
  // What is allowed stands after its factor: a third of the one, half of the other.
  EXPECT_NEAR(check_of(p, "tearing").used, 4000.0 / 17712.0, 1e-6);
  EXPECT_NEAR(check_of(p, "bearing").used, 4000.0 / 14850.0, 1e-6);
}

// What comes and goes is bent and twisted by the offset too (beams by hand): 2 kN to and fro across
// a plate of 6 × 48 less its hole of 12, 40 mm below its fixing, the ball 12 off its middle.
TEST(Bracket, FatigueTakesBendingAndTwistByTheOffset) {
  const std::vector<PlateLoad> swing{{"left", {2000, 0, 0}, 1.0, true},
                                     {"right", {-2000, 0, 0}, 1.0, true}};
  const auto m = bolted(24, {{0, 0}, {0, 60}});
  const double bent = 4000.0 * 40 / modulus_in_plane_mm3(48, 6, 12);
  const double twist = 4000.0 * 12 / modulus_torsion_mm3(48, 6);
  const auto goes = [](const PlateJudged& p) { return check_of(p, "fatigue"); };
  EXPECT_NEAR(goes(judged(m, {0, -40}, 0, 6, swing)).value,
              std::sqrt(bent * bent + 3 * twist * twist), 1e-6);
  EXPECT_NEAR(goes(judged(in_its_plane(m), {0, -40}, 0, 6, swing)).value, bent, 1e-6);
  // Pulled along the plate the offset bends it flat.
  const std::vector<PlateLoad> pull{{"down", {0, -2000, 0}, 1.0, true}};
  EXPECT_NEAR(goes(judged(m, {0, -40}, 0, 6, pull)).value,
              2000.0 / (6 * 36) + 2000.0 * 12 / modulus_flat_mm3(48, 6, 12), 1e-6);
  // Aluminium bears 71 where steel bears 160 (International Institute of Welding, plain metal; from
  // memory).
  auto soft = m;
  soft.material = std::get<Material>(read_material("6082-T6"));
  EXPECT_EQ(goes(judged(m, {0, -40}, 0, 6, swing)).limit, 90.0);
  EXPECT_NEAR(goes(judged(soft, {0, -40}, 0, 6, swing)).limit, 90.0 * 71 / 160, 1e-9);
}

// Half the plate and half the ball: a ball of 12 beside 6 mm stands 9 off the plate's middle or
// more.
TEST(Bracket, ABallNeedsRoomBesideThePlate) {
  auto m = bolted(24, {{-24, 14}, {24, 14}});
  m.offset_mm = 8.0;
  const auto close = check_of(judged(m, {0, -17}, 0, 6, {}), "ball beside");
  EXPECT_GT(close.used, 1.0);
  EXPECT_NEAR(close.limit, 9.0, 1e-9);
  EXPECT_NEAR(close.value, 8.0, 1e-9);
  EXPECT_LE(check_of(judged(m, {0, -17}, 1.5, 6, {}), "ball beside").used, 1.0);
  // What is not said is not judged, and named by its key.
  auto silent = m;
  silent.offset_mm.reset();
  const auto unsaid = judged(silent, {0, -17}, 0, 6, {});
  ASSERT_EQ(unsaid.unjudged.size(), 1U);
  EXPECT_EQ(unsaid.unjudged[0].of, NotJudged::Of::offset_of_plate);
  EXPECT_EQ(unjudged(unsaid.unjudged[0], Units::metric).key, "'offset' in its [[make]]");
  silent.ball_width_mm.reset();
  EXPECT_EQ(judged(silent, {0, -17}, 0, 6, {}).unjudged.size(), 2U);
}

// A fillet of 5 mm leg (3.5 throat) carries some 0.4 kN/mm in work (common practice): the same
// weld pulled straight through its middle is used about as far. Its ends, a throat each, do not
// count (EN 1993-1-8, from memory): 93 mm of 100 carry.
TEST(Bracket, AWeldInWork) {
  auto m = in_its_plane(bolted(20, {}));
  m.kind = MadeKind::welded_plate;
  m.weld = Weld{{-50, 0}, {50, 0}, 3.5};
  m.boss = std::get<Material>(read_material("S355"));
  const std::vector<PlateLoad> pull{{"pull", {0, -2 * 0.4e3 * 100, 0}, 1.0, false}};
  const auto p = judged(m, {0, -30}, 0, 6, pull);
  EXPECT_NEAR(check_of(p, "weld").value, 2 * 0.4e3 * 100 / (2 * 3.5 * 93), 1e-6);
  // The weaker of what it joins is the plate: S275, 410 MPa (EN 10025-2), a third of it in shear.
  EXPECT_NEAR(check_of(p, "weld").used, check_of(p, "weld").value / (410 / std::sqrt(3.0) / 3.0),
              1e-9);
  EXPECT_TRUE(check_of(p, "weld").of_weld());
  // Beside the middle it bends the weld as a beam of two throats.
  const auto bent = judged(m, {0, -30}, 0, 6, {{"side", {4000, 0, 0}, 1.0, false}});
  const double by_hand = std::hypot(6.0 * 4000.0 * 30.0 / (2 * 3.5 * 93 * 93), 4000.0 / 651.0);
  EXPECT_NEAR(check_of(bent, "weld").value, by_hand, 1e-6);
  EXPECT_TRUE(bent.weld_unjudged.empty());
}

// The weaker of plate and boss counts: A36 has 400 MPa where S355 has 470.
TEST(Bracket, AWeldIsAsStrongAsTheWeakerOfWhatItJoins) {
  auto m = in_its_plane(bolted(20, {}));
  m.kind = MadeKind::welded_plate;
  m.material = std::get<Material>(read_material("S355"));
  m.weld = Weld{{-50, 0}, {50, 0}, 3.5};
  const std::vector<PlateLoad> side{{"side", {4000, 0, 0}, 1.0, false}};
  const auto limit = [&](const char* boss) {
    m.boss = std::get<Material>(read_material(boss));
    return check_of(judged(m, {0, -30}, 0, 6, side), "weld").limit;
  };
  EXPECT_NEAR(limit("S355"), 470 / std::sqrt(3.0) / 3, 1e-9);
  EXPECT_NEAR(limit("A36"), 400 / std::sqrt(3.0) / 3, 1e-9);
  // What must not be welded fails whatever its stress; what is not named is not judged.
  m.boss = std::get<Material>(read_material("EN-GJS-400-15"));
  EXPECT_TRUE(judged(m, {0, -30}, 0, 6, {}).fails());
  m.boss.reset();
  const auto unknown = judged(m, {0, -30}, 0, 6, side);
  EXPECT_FALSE(unknown.serves());
  ASSERT_EQ(unknown.weld_unjudged.size(), 1U);
  EXPECT_EQ(unknown.weld_unjudged[0].of, NotJudged::Of::base_metal);
  // A throat of 3.5 is more than 0.7 of a plate of 4 (a fillet's leg as thick as the plate, common
  // practice), not of one of 5.
  m.boss = std::get<Material>(read_material("S355"));
  EXPECT_GT(check_of(judged(m, {0, -30}, 0, 4, side), "throat").used, 1.0);
  EXPECT_LE(check_of(judged(m, {0, -30}, 0, 5, side), "throat").used, 1.0);
  // EN 1993-1-8 (from memory): less than 30 mm between its ends carries nothing.
  m.weld = Weld{{-18, 0}, {18, 0}, 3.5};
  EXPECT_GT(check_of(judged(m, {0, -30}, 0, 6, side), "length").used, 1.0);
}

// Two tabs of 5 mm and a ball of 16 without a gap under 4 kN: 13 N·m in the pin (common practice).
TEST(Bracket, ThePinOfAClevis) {
  auto m = bolted(24, {});
  m.kind = MadeKind::clevis;
  m.ball_width_mm = 16;
  m.weld = Weld{{-30, 30}, {30, 30}, 3.5};
  const auto p = judged(m, {0, 0}, 0, 5, {{"side", {4000, 0, 0}, 1.0, false}});
  const double root = basic_diameters(m.bolt.thread).root_mm;
  const double moment =
      check_of(p, "pin bent").value * 3.14159265358979 * root * root * root / 32.0;
  EXPECT_NEAR(moment, 13000.0, 1.0);
}

TEST(Bracket, TheThinnestOfTheStockThatServesIsTaken) {
  const auto m = bolted(24, {{-24, 14}, {24, 14}});
  const std::vector<PlateLoad> loads{{"side", {1500, 0, 0}, 2.0, true}};
  const auto c = chosen_plate(m, {5, -17}, 0, loads, true);
  EXPECT_EQ(c.why, PlateChoice::Why::none);
  ASSERT_TRUE(c.plate);
  EXPECT_TRUE(c.plate->serves());
  double thinner = 0.0;
  for (const double t : m.stock_mm)
    if (t < c.plate->thickness_mm) thinner = t;
  ASSERT_GT(thinner, 0.0);
  EXPECT_TRUE(judged(m, {5, -17}, 0, thinner, loads).fails());
  // What is asked for and does not serve is said, with what would.
  auto thin = m;
  thin.thickness_mm = 2.0;
  const auto refused = chosen_plate(thin, {5, -17}, 0, loads, true);
  EXPECT_EQ(refused.why, PlateChoice::Why::too_thin);
  EXPECT_EQ(refused.serves_mm, c.plate->thickness_mm);
  const auto said = why_words(refused, Units::metric), inch = why_words(refused, Units::inch);
  EXPECT_TRUE(said.starts_with("2 mm does not serve: ")) << said;
  EXPECT_NE(said.find("mm of the stock serves"), std::string::npos) << said;
  EXPECT_TRUE(inch.starts_with("0.079 in does not serve: ")) << inch;
  EXPECT_NE(inch.find(" in of the stock serves"), std::string::npos) << inch;
  // Nothing serves: what fails first and what helps.
  const auto none = chosen_plate(m, {5, -17}, 40, {{"hard", {60000, 0, 0}, 2.0, true}}, true);
  EXPECT_EQ(none.why, PlateChoice::Why::none_serves);
  EXPECT_NE(why_words(none, Units::metric).find("What helps"), std::string::npos);
}

// What it has to bear is not known: no thickness is chosen. One that the file has stays, and may
// fail by a load that is known.
TEST(Bracket, WithoutItsLoadsNoThicknessIsChosen) {
  auto m = bolted(24, {{-24, 14}, {24, 14}});
  const auto none = chosen_plate(m, {5, -17}, 0, {}, false);
  EXPECT_FALSE(none.plate);
  EXPECT_EQ(none.why, PlateChoice::Why::not_known);
  m.thickness_mm = 6.0;
  EXPECT_TRUE(chosen_plate(m, {5, -17}, 0, {}, false).plate);
  const auto some = chosen_plate(m, {5, -17}, 0, {{"hard", {60000, 0, 0}, 2.0, true}}, false);
  ASSERT_TRUE(some.plate);
  EXPECT_TRUE(some.plate->fails());
}

// More load, a longer lever or a thinner plate never uses a part less.
TEST(Bracket, UseGrowsWithLoadAndLever) {
  const auto m = in_its_plane(bolted(24, {{-24, 14}, {24, 14}}));
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
