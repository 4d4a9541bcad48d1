// Closed forms that any solver of this kind must reproduce: plane geometry (instant centres,
// circles) and Rodrigues' rotation, derived by hand and evaluated with general software for
// arithmetic; no publication, but for Norton's four-bar and Bennett's law.

#include <gtest/gtest.h>

#include "base/quantity.h"
#include "travel/planar.h"

namespace trammel::testing {
namespace {

// Newton leaves rows within 1e-12 mm; a closed form at this size is good to a few parts in 1e13.
constexpr double exact_mm = 1e-9;
constexpr double exact_rad = 1e-11;
// Velocities come from a Jacobian within 1e-5 mm of the pose (solve.h): 3e-8 of themselves.
constexpr double velocity_mm = 5e-6;
// Tables that are printed with a fixed number of digits.
constexpr double printed_6_digits = 6e-7;
constexpr double printed_5_digits = 6e-6;

TEST(Exact, ParallelEqualArmsMoveTheWheelOnACircle) {
  constexpr double length = 350.0, theta0 = 5.0 * degree_rad;
  const double drop = length * std::sin(theta0), reach_y = length * std::cos(theta0);
  Corner c({700, 300});
  c.arm({700 - reach_y - 20, 200 + drop}, {680, 200})
      .arm({700 - reach_y - 20, 400 + drop}, {680, 400});
  c.rod({-120, 700 - reach_y - 40, 260 + drop}, {-120, 660, 260});
  const auto ride = c.sample(0);
  EXPECT_NEAR(ride.roll_centre_mm, 61.24206, printed_5_digits);  // 700 tan 5 deg
  for (const double z : {-60.0, -25.0, 0.0, 30.0, 60.0}) {
    const auto s = c.sample(z);
    // Falling outboard by theta: sin(theta) shrinks as the wheel rises.
    const double theta = std::asin(std::sin(theta0) - z / length);
    const double across = length * (std::cos(theta) - std::cos(theta0));
    EXPECT_NEAR(s.camber_rad, 0.0, exact_rad);
    EXPECT_NEAR(s.toe_rad, 0.0, exact_rad);
    EXPECT_NEAR(s.half_track_mm, 700 + across, exact_mm);
    EXPECT_NEAR(s.roll_centre_mm, (700 + across) * std::tan(theta), velocity_mm);
  }
}

TEST(Exact, LevelArmsPutTheRollCentreOnTheGround) {
  Corner c({700, 300});
  c.arm({330, 200}, {680, 200}).arm({330, 400}, {680, 400}).rod({-120, 330, 260}, {-120, 680, 260});
  EXPECT_NEAR(c.sample(0).roll_centre_mm, 0.0, exact_mm);
}

// The wheel centre is put on the contact point, so that the table's contact, a point of the
// upright, is what is read.
TEST(Exact, PlanarDoubleWishboneTable) {
  Corner c({750, 0});
  c.arm({350, 240}, {700, 220}).arm({420, 470}, {660, 500});
  c.rod({-120, 350, 240}, {-120, 700, 220});
  const auto ride = c.sample(0);
  EXPECT_NEAR(ride.roll_centre_mm, 143.715847, printed_6_digits);
  EXPECT_NEAR(ride.camber_gain / degree_rad, -0.035484, printed_6_digits);
  struct Row {
    double z, camber_deg, scrub_mm, roll_centre_mm;
  };
  for (const Row& row :
       {Row{-60, 1.766211, -15.149964, 232.61024}, Row{-40, 1.257098, -9.260505, 202.05570},
        Row{-20, 0.668673, -4.224547, 172.40104}, Row{20, -0.752065, 3.453643, 116.08894},
        Row{40, -1.592660, 6.176423, 89.63836}, Row{60, -2.528852, 8.209207, 64.51987}}) {
    const auto s = c.sample(row.z);
    EXPECT_NEAR(s.camber_rad / degree_rad, row.camber_deg, printed_6_digits) << row.z;
    EXPECT_NEAR(s.half_track_mm - 750, row.scrub_mm, printed_6_digits) << row.z;
    EXPECT_NEAR(s.roll_centre_mm, row.roll_centre_mm, printed_5_digits) << row.z;
  }
}

TEST(Exact, PlanarStrutTable) {
  Corner c({750, 0});
  c.arm({350, 230}, {700, 210}).strut({560, 820}, {640, 330});
  c.rod({-120, 350, 230}, {-120, 700, 210});
  const auto ride = c.sample(0);
  EXPECT_NEAR(ride.roll_centre_mm, 96.03803, printed_5_digits);
  EXPECT_NEAR(ride.camber_gain / degree_rad, -0.019613, printed_6_digits);
  struct Row {
    double z, camber_deg, scrub_mm, roll_centre_mm;
  };
  for (const Row& row :
       {Row{-40, 0.928033, -7.874529, 197.17731}, Row{40, -0.624531, 2.317421, -10.18529},
        Row{60, -0.803227, 1.302578, -66.56429}}) {
    const auto s = c.sample(row.z);
    EXPECT_NEAR(s.camber_rad / degree_rad, row.camber_deg, printed_6_digits) << row.z;
    EXPECT_NEAR(s.half_track_mm - 750, row.scrub_mm, printed_6_digits) << row.z;
    EXPECT_NEAR(s.roll_centre_mm, row.roll_centre_mm, printed_5_digits) << row.z;
  }
}

TEST(Exact, SwingAxle) {
  Corner c({700, 300});
  c.swing({100, 150, 330}, {-100, 150, 330});
  const auto s = c.sample(0);
  EXPECT_NEAR(s.roll_centre_mm, 420.0, exact_mm);
  // One over the swing length; the top leans in as the wheel rises.
  EXPECT_NEAR(s.camber_gain, -1.0 / 550.0, 1e-14);
  EXPECT_NEAR(s.camber_gain / degree_rad, -0.104174, printed_6_digits);
}

TEST(Exact, PureTrailingArmKeepsTheWheelUpright) {
  Corner c({700, 300});
  c.swing({400, 300, 290}, {400, 600, 290});
  for (const double z : {-60.0, 0.0, 60.0}) {
    const auto s = c.sample(z);
    EXPECT_NEAR(s.camber_rad, 0.0, exact_rad);
    EXPECT_NEAR(s.toe_rad, 0.0, exact_rad);
    EXPECT_NEAR(s.roll_centre_mm, 0.0, exact_mm);
    // Turned one for one with the arm: from the centre's height over the pivot.
    const double reach = std::hypot(400.0, 10.0);
    const double turned = std::asin((10 + z) / reach) - std::asin(10 / reach);
    EXPECT_NEAR(2.0 * std::asin(s.at.pose.turn.y), turned, exact_rad) << z;
  }
}

TEST(Exact, SemiTrailingArmTurnsTheWheelAboutItsPivotLine) {
  const Vec3<double> inner{310, 260, 290}, outer{420, 610, 275};
  Corner c({700, 300});
  c.numbers.camber_rad = -1.2 * degree_rad;
  c.numbers.toe_rad = 0.15 * degree_rad;
  c.swing(inner, outer);
  const auto k = unit(outer - inner);
  const Vec3<double> centre{0, 700, 300};
  const double cg = std::cos(-1.2 * degree_rad), sg = std::sin(-1.2 * degree_rad);
  const double cd = std::cos(0.15 * degree_rad), sd = std::sin(0.15 * degree_rad);
  const Vec3<double> spin{sd * cg, cd * cg, -sg};
  const auto rodrigues = [&](const Vec3<double>& v, double a) {
    return std::cos(a) * v + std::sin(a) * cross(k, v) + ((1 - std::cos(a)) * dot(k, v)) * k;
  };
  for (const double angle : {-0.15, -0.05, 0.08, 0.16}) {
    const auto moved_centre = inner + rodrigues(centre - inner, angle);
    const auto n = rodrigues(spin, angle);
    const auto s = c.sample(moved_centre.z - centre.z);
    EXPECT_NEAR(s.at.pose.centre_mm.x, moved_centre.x, exact_mm);
    EXPECT_NEAR(s.at.pose.centre_mm.y, moved_centre.y, exact_mm);
    EXPECT_NEAR(s.camber_rad, std::asin(-n.z), exact_rad);
    EXPECT_NEAR(s.toe_rad, std::atan2(n.x, n.y), exact_rad);
  }
}

// A rod equal and parallel to equal parallel arms, anywhere on the upright.
TEST(Exact, ZeroBumpSteerOfAParallelogram) {
  Corner c({720, 300});
  c.arm({340, 210}, {690, 190}).arm({320, 430}, {670, 410});
  c.rod({140, 290, 330}, {140, 640, 310}, true);
  for (double z = -80; z <= 80; z += 10) EXPECT_NEAR(c.sample(z).toe_rad, 0.0, exact_rad) << z;
}

// A rod that is a copy of one arm, slid along x; any arms.
TEST(Exact, ZeroBumpSteerOfACopiedArm) {
  Corner c({750, 300});
  c.arm({350, 240}, {700, 220}).arm({420, 470}, {660, 500});
  c.rod({-130, 350, 240}, {-130, 700, 220}, true);
  for (double z = -80; z <= 80; z += 10) EXPECT_NEAR(c.sample(z).toe_rad, 0.0, exact_rad) << z;
  Corner upper({750, 300});
  upper.arm({350, 240}, {700, 220}).arm({420, 470}, {660, 500});
  upper.rod({110, 420, 470}, {110, 660, 500}, true);
  for (double z = -80; z <= 80; z += 10) EXPECT_NEAR(upper.sample(z).toe_rad, 0.0, exact_rad) << z;
}

// Level equal arms of length L and a rod whose inner joint stands e too high, steering arm s behind
// the axle: d(toe)/dz = e / (L s) at ride. The table's angles turn about +z of the left wheel,
// where toe-in is negative.
TEST(Exact, HeightErrorOfTheInnerJoint) {
  const auto with_error = [](double e) {
    Corner c({700, 300});
    c.arm({350, 200}, {700, 200}).arm({350, 400}, {700, 400});
    c.rod({-130, 350, 300 + e}, {-130, 700, 300}, true);
    return c;
  };
  EXPECT_NEAR(with_error(5).sample(0).bump_steer, 5.0 / (350.0 * 130.0), 1e-12);
  EXPECT_NEAR(with_error(5).sample(0).bump_steer / degree_rad, 0.00629624, 6e-9);
  struct Row {
    double e, z, turn_deg;
  };
  for (const Row& row : {Row{5, -50, 0.3184080}, Row{5, -25, 0.1578903}, Row{5, 25, -0.1577284},
                         Row{5, 50, -0.3177453}, Row{10, -50, 0.6374928}, Row{10, -25, 0.3159441},
                         Row{10, 25, -0.3152967}, Row{10, 50, -0.6348419}})
    EXPECT_NEAR(-with_error(row.e).sample(row.z).toe_rad / degree_rad, row.turn_deg, 6e-8)
        << row.e << " " << row.z;
}

// The roll centre needs no forces: half track times d(scrub)/dz, in three dimensions too.
TEST(Exact, RollCentreIsTheSlopeOfScrub) {
  Corner c({715, 292});
  c.numbers.camber_rad = -0.4 * degree_rad;
  c.arm({345, 205}, {655, 178})
      .strut({545, 820}, {598, 330})
      .rod({-120, 320, 232}, {-128, 640, 226});
  const auto m = build(c.layout, c.numbers);
  const auto at_travel = [&](double z) {
    const auto r = reach(m, solution_as_measured(m), {z, 0.0});
    const At<double> at(c.layout, m, r.at, {});
    return at.contact;
  };
  // The contact point as a point of the upright: carried by the pose at ride.
  const auto ride = c.sample(0);
  const auto lever = at_travel(0) - ride.at.pose.centre_mm;
  const auto carried = [&](double z) {
    const auto s = c.sample(z);
    return s.at.pose.centre_mm + matrix(s.at.pose.turn) * lever;
  };
  constexpr double h = 0.01;
  const auto up = carried(h), down = carried(-h);
  EXPECT_NEAR(ride.roll_centre_mm, ride.half_track_mm * (up.y - down.y) / (up.z - down.z), 1e-5);
}

// R. L. Norton, Design of Machinery, example 4-1: a four-bar with a crank of 40, a coupler of 120,
// a rocker of 80 and a ground of 100; at a crank angle of 40 degrees he prints 20.298 (coupler) and
// 57.33 (rocker), crossed -60.98 and -98.01. Lengths as the book has them, the printed answers from
// memory; his rounding is up to 0.006 off the closed form (Freudenstein's), to which the table
// below is worked out with more digits. Here the crank is a lower arm, the coupler the upright, the
// rocker an upper arm; it starts at 30 degrees of the crank.
struct FourBarRow {
  const char* circuit;
  double coupler_30_deg, rocker_30_deg, coupler_40_deg, rocker_40_deg, norton_coupler_deg,
      norton_rocker_deg;
};
class NortonsFourBar : public ::testing::TestWithParam<FourBarRow> {};

TEST_P(NortonsFourBar, HasHisAngles) {
  const auto& row = GetParam();
  const YZ crank_centre{400, 300}, rocker_centre{500, 300};
  const auto from = [](const YZ& at, double length, double angle_deg) {
    return YZ{at.y + length * std::cos(angle_deg * degree_rad),
              at.z + length * std::sin(angle_deg * degree_rad)};
  };
  const YZ pin = from(crank_centre, 40, 30), far = from(rocker_centre, 80, row.rocker_30_deg);
  EXPECT_NEAR(std::hypot(far.y - pin.y, far.z - pin.z), 120, 1e-6);  // the table's own digits
  Corner c(pin);
  c.arm(crank_centre, pin).arm(rocker_centre, far);
  // A copy of the crank slid along x: the upright stays in its plane.
  c.rod({-120, crank_centre.y, crank_centre.z}, {-120, pin.y, pin.z});
  const auto s = c.sample(40 * (std::sin(40 * degree_rad) - std::sin(30 * degree_rad)));
  const auto& pose = s.at.pose;
  const YZ pin_now{pose.centre_mm.y, pose.centre_mm.z};
  EXPECT_NEAR(std::atan2(pin_now.z - crank_centre.z, pin_now.y - crank_centre.y) / degree_rad, 40,
              1e-9);
  const double coupler =
      row.coupler_30_deg + 2.0 * std::atan2(pose.turn.x, pose.turn.w) / degree_rad;
  const YZ far_now = from(pin_now, 120, coupler);
  const double rocker =
      std::atan2(far_now.z - rocker_centre.z, far_now.y - rocker_centre.y) / degree_rad;
  constexpr double printed = 0.01, worked_out = 1e-7;
  EXPECT_NEAR(coupler, row.norton_coupler_deg, printed);
  EXPECT_NEAR(rocker, row.norton_rocker_deg, printed);
  EXPECT_NEAR(coupler, row.coupler_40_deg, worked_out);
  EXPECT_NEAR(rocker, row.rocker_40_deg, worked_out);
}
INSTANTIATE_TEST_SUITE_P(Circuits, NortonsFourBar,
                         ::testing::Values(FourBarRow{"open", 22.40901460, 55.26777722, 20.29788279,
                                                      57.32488007, 20.298, 57.33},
                                           FourBarRow{"crossed", -56.43747800, -89.29624062,
                                                      -60.97796680, -98.00496408, -60.98, -98.01}),
                         [](const auto& row) { return std::string(row.param.circuit); });

// G. T. Bennett, A new mechanism, Engineering 76 (1903), from memory: four links in a ring, their
// hinges askew, opposite ones alike, can move where a / b = sin(alpha) / sin(beta); neighbouring
// hinges then keep tan(theta1 / 2) * tan(theta2 / 2) = sin((beta + alpha) / 2) / sin((beta -
// alpha) / 2). A link between two hinges holds every distance between a point of one and a point of
// the other: with the ground for one link and the upright for the one across, eight rods, five of
// which hold the upright and the other three keep their length by Bennett's law alone.
TEST(Exact, FiveRodsFollowBennettsLaw) {
  constexpr double alpha = 30 * degree_rad, beta = 50 * degree_rad, b = 300;
  const double a = b * std::sin(alpha) / std::sin(beta);
  EXPECT_NEAR(a / b, 0.652703645, 1e-9);
  const double product = std::sin(0.5 * (beta + alpha)) / std::sin(0.5 * (beta - alpha));
  EXPECT_NEAR(product, 3.701666314, 1e-9);
  // Along the hinges' common normals, in axes whose first one is the first hinge: x of the car.
  using V = Vec3<double>;
  struct Frame {
    V x, y, z, at;
  };
  const auto about_z = [](const Frame& f, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return Frame{c * f.x + s * f.y, c * f.y - s * f.x, f.z, f.at};
  };
  const auto along_x = [](const Frame& f, double by, double twist) {
    const double c = std::cos(twist), s = std::sin(twist);
    return Frame{f.x, c * f.y + s * f.z, c * f.z - s * f.y, f.at + by * f.x};
  };
  const Frame ground{{0, 1, 0}, {0, 0, 1}, {1, 0, 0}, {0, 600, 300}};
  const auto second_angle = [&](double first) {
    return 2.0 * std::atan(product / std::tan(0.5 * first));
  };
  constexpr double start = 20 * degree_rad, half = 60;
  const Frame second = along_x(about_z(ground, start), a, alpha);
  const Frame third = along_x(about_z(second, second_angle(start)), b, beta);
  const Frame fourth = along_x({ground.x, ground.y, ground.z, ground.at - b * ground.x}, 0, -beta);
  const auto on = [](const Frame& hinge, double by) { return hinge.at + by * hinge.z; };
  // That it closes: the fourth hinge is a link of a from the third.
  EXPECT_NEAR(length(along_x(about_z(third, -start), a, alpha).at - fourth.at), 0.0, 1e-12 * b);

  Corner c({second.at.y, second.at.z});
  c.numbers.points_mm[0] = second.at;
  c.rod(on(ground, half), on(second, half)).rod(on(ground, -half), on(second, -half));
  c.rod(on(fourth, half), on(third, half)).rod(on(fourth, -half), on(third, half));
  c.rod(on(fourth, -half), on(third, -half));
  const auto m = build(c.layout, c.numbers);
  const auto kept = [](const V& p, const V& q) { return length(p - q); };
  auto at = solution_as_measured(m);
  for (double theta = 25; theta < 80; theta += 5) {
    const auto r = reach(m, at, {a * (std::sin(theta * degree_rad) - std::sin(start)), 0.0});
    ASSERT_TRUE(r.arrived) << theta;
    at = r.at;
    const Placed<double> placed(m, at.pose, 0.0);
    const auto outer = [&](int rod) {
      return placed.position(m.distance[static_cast<std::size_t>(rod_row(c.layout, rod))].outer);
    };
    const V second_up = outer(0), second_down = outer(1), third_up = outer(2),
            third_down = outer(4);
    EXPECT_NEAR(kept(second_down, on(ground, half)), kept(on(second, -half), on(ground, half)),
                1e-9);
    EXPECT_NEAR(kept(second_up, on(ground, -half)), kept(on(second, half), on(ground, -half)),
                1e-9);
    EXPECT_NEAR(kept(third_down, on(fourth, half)), kept(on(third, -half), on(fourth, half)), 1e-9);
    const V at_second = 0.5 * (second_up + second_down), at_third = 0.5 * (third_up + third_down);
    const V hinge = unit(second_up - second_down);
    const V came = unit(at_second - ground.at), goes = unit(at_third - at_second);
    const double first = std::atan2(dot(came, ground.y), dot(came, ground.x));
    const double next = std::atan2(dot(cross(came, goes), hinge), dot(came, goes));
    EXPECT_NEAR(first / degree_rad, theta, 1e-9);
    EXPECT_NEAR(std::tan(0.5 * first) * std::tan(0.5 * next), product, 1e-9) << theta;
  }
}

// A crank and a rocker that turn in planes square to each other, joined by a rod with ball joints
// (an RSSR four-bar). |A(theta) - B(phi)| = L gives P cos phi + Q sin phi = R; the table is that
// closed form. Here the rocker is a swing arm and the rod is the line that drives it.
struct RockerRow {
  double theta_deg, phi_1_deg, phi_2_deg;
};
class SpatialFourBar : public ::testing::TestWithParam<RockerRow> {};

Mechanism<double> rocker(Layout& layout, double theta, double phi) {
  Corner c({0, 0});
  const Vec3<double> pivot{120, 60, 40};
  const Vec3<double> tip = pivot + Vec3<double>{0, 90 * std::cos(phi), 90 * std::sin(phi)};
  c.numbers.points_mm[0] = tip;
  c.swing(pivot, pivot + Vec3<double>{50, 0, 0});
  const int crank = c.point({40 * std::cos(theta), 40 * std::sin(theta), 0});
  const int foot = c.point(tip);
  c.layout.spring = LineOf{crank, foot, {Carrier::upright, -1}};
  layout = c.layout;
  return build(c.layout, c.numbers);
}

TEST_P(SpatialFourBar, FollowsTheClosedForm) {
  const auto& row = GetParam();
  Layout layout;
  for (const double phi : {row.phi_1_deg, row.phi_2_deg}) {
    // Started three degrees off, the rod the wrong length; then the length is driven to 130.
    const double start = (phi + 3.0) * degree_rad;
    const auto m = rocker(layout, row.theta_deg * degree_rad, start);
    const auto from = solution_as_measured(m, DrivenBy::spring_length);
    ASSERT_TRUE(from.found);
    const auto r = reach(m, from, {130.0, 0.0, DrivenBy::spring_length});
    ASSERT_TRUE(r.arrived) << row.theta_deg << " " << phi;
    const double turned = 2.0 * std::atan2(r.at.pose.turn.x, r.at.pose.turn.w);
    EXPECT_NEAR((start + turned) / degree_rad, phi, 6e-10) << row.theta_deg;  // nine digits printed
  }
}
INSTANTIATE_TEST_SUITE_P(Table, SpatialFourBar,
                         ::testing::Values(RockerRow{0, 136.147647952, -68.767512900},
                                           RockerRow{30, 144.531868980, -54.531868980},
                                           RockerRow{60, 171.447291741, -56.194609995},
                                           RockerRow{90, -135.810085462, -97.320016892},
                                           RockerRow{270, 174.326264882, -130.723445909}));

TEST(SpatialFourBarLimits, SaysWhereItCannotBeAssembled) {
  Layout layout;
  for (const double theta : {120.0, 180.0}) {
    const auto m = rocker(layout, theta * degree_rad, -110.0 * degree_rad);
    const auto from = solution_as_measured(m, DrivenBy::spring_length);
    ASSERT_TRUE(from.found);
    ASSERT_GT(from.drive.travel_mm, 130.0);
    const auto r = reach(m, from, {130.0, 0.0, DrivenBy::spring_length});
    EXPECT_FALSE(r.arrived) << theta;
    EXPECT_GT(r.at.drive.travel_mm, 130.0);
    // What it stops at is the shortest distance of crank and rocker circle, to the smallest step.
    double shortest = 1e9;
    for (double phi = 0; phi < 360; phi += 0.001) {
      const double dx = 120 - 40 * std::cos(theta * degree_rad);
      const double dy = 60 + 90 * std::cos(phi * degree_rad) - 40 * std::sin(theta * degree_rad);
      const double dz = 40 + 90 * std::sin(phi * degree_rad);
      shortest = std::min(shortest, std::sqrt(dx * dx + dy * dy + dz * dz));
    }
    EXPECT_NEAR(r.at.drive.travel_mm, shortest, 0.002) << theta;
  }
}

// A wheel on a swing arm cannot rise further than the arm is long.
TEST(Limits, SaysWhereTheMechanismLocks) {
  Corner c({700, 300});
  c.swing({400, 300, 300}, {400, 600, 300});
  const auto m = build(c.layout, c.numbers);
  const auto r = reach(m, solution_as_measured(m), {500.0, 0.0});
  EXPECT_FALSE(r.arrived);
  EXPECT_NEAR(r.at.drive.travel_mm, 400.0, 0.002);
  EXPECT_LT(residual_mm(m, r.at), 1e-9);
  EXPECT_TRUE(reach(m, solution_as_measured(m), {399.0, 0.0}).arrived);
}

}  // namespace
}  // namespace trammel::testing
