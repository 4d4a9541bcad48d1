// The rows of a survey: what each kind of reading says, against formulas written out here, and how
// it changes with every unknown, against differences.

#include "measure/network.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <numbers>

#include "base/quantity.h"
#include "cars.h"
#include "measure/surveyed.h"
#include "travel/ride.h"
#include "travel/sensitivity.h"

namespace trammel::testing {
namespace {

// An angle counts by what it moves at a wheel's radius, so that all slopes are of mm with mm.
constexpr double lever_mm = 300.0;
// Central differences at steps of 0.02 mm: what they leave out is (0.02 mm)^2 of a sixth of a third
// derivative, which is below 1e-4 for the shortest length here; rounding is 1e-12 mm a step.
constexpr double step_mm = 0.02;
constexpr double difference_part = 1e-7;
// The same sum in another order, of numbers below 3 m.
constexpr double same_mm = 1e-9;
constexpr double same_rad = 1e-12;
// A plane through the floor spots is held level by 1e-6 m^2 beside the square of their distance,
// which is 0.01 m^2 and more: a part of 1e-4 of what the floor falls between them, some 3 mm.
constexpr double floor_mm = 1e-3;
// How camber changes with the floor's rise leaves out products of rise, camber and toe, each some
// 0.02 rad: a part of 1e-3 of what 0.1 degree of rise is worth.
constexpr double products_of_rises = 1e-6;

// Every kind of reading, of both axles and both sides. Values do not matter here: the tests set
// them. One to a line, so that a fault would name its line.
constexpr const char* every_reading = R"(reading = [
  { name = "height",     height = "front.left.arm.lower.upright", value = 1 },
  { name = "height r",   height = "rear.right.rod.toe.body", value = 1 },
  { name = "height d",   height = "sill_hole", value = 1 },
  { name = "height f",   height = "front.left.arm.lower.upright face", value = 1 },
  { name = "height fr",  height = "front.right.strut.foot face", value = 1 },
  { name = "arch",       height = "front.left.arch", value = 1 },
  { name = "mark",       mark = "front.left.rod.steering.upright", back = 1, out = 1, plumb = 1.5, sigma = 0.5 },
  { name = "mark r",     mark = "front.right.rod.steering.upright", back = [1, 1], out = 1, plumb = 1.5 },
  { name = "mark plain", mark = "rear.left.strut.top", back = 1, out = 1 },
  { name = "mark d",     mark = "sill_hole", back = 1, out = 1 },
  { name = "distance",   distance = ["front.left.arm.lower.upright", "front.left.arm.lower.body_rear"], value = 1 },
  { name = "across",     distance = ["front.left.arm.lower.body_front", "front.right.arm.lower.body_rear"], value = 1 },
  { name = "distance d", distance = ["sill_hole", "front.left.arm.lower.body_rear"], value = 1 },
  { name = "on floor",   distance = ["front.left.strut.top", "rear.right.rod.lateral.upright on floor"], value = 1 },
  { name = "floors",     distance = ["front.left.arm.lower.upright on floor", "sill_hole on floor"], value = 1 },
  { name = "to face",    distance = ["front.left.arm.lower.upright face", "front.left.strut.foot"], value = 1 },
  { name = "slope",      slope = ["front.left.rod.steering.body", "front.left.rod.steering.upright"], value = 1 },
  { name = "slope r",    slope = ["rear.right.rod.lateral.body", "rear.right.rod.lateral.upright"], value = 1 },
  { name = "length",     length = "front.left.rod.steering", value = 1 },
  { name = "offset",     offset = "front.left.arm.lower.upright", along = [0.1, 0.2, 1], value = 11 },
  { name = "offset r",   offset = "front.right.strut.foot", along = [0.3, -1, 0.2], value = 7 },
  { name = "camber",     camber = "front.left", value = -1 },
  { name = "camber r",   camber = "front.right", value = -1 },
  { name = "camber t",   camber = "front.right", travel = 27, value = -1 },
  { name = "camber tl",  camber = "rear.left", travel = -18, value = -1 },
  { name = "toe",        toe = "front.right", value = 0.1 },
  { name = "toe t",      toe = "front.left", travel = -33, value = 0.1 },
  { name = "toe tr",     toe = "rear.right", travel = 21, value = 0.1 },
  { name = "ride",       ride_height = "front.left", value = 320 },
  { name = "ride r",     ride_height = "rear.right", value = 320 },
  { name = "two dials",  gauge = "front.left", base = 300, sigma = 0.03, rows = [
    [0, 0, 0], [20, 0, 0], [30, 0, 0], [20, 0, 0], [-10, 0, 0], [0, 0, 0]] },
  { name = "two dials r", gauge = "front.right", base = 320, rows = [[0, 0, 0], [15, 0, 0], [20, 0, 0]] },
  { name = "low dial",   gauge = "rear.right", base = 280, drop = 150, sigma = 0.02, rows = [
    [0, 0, 0, 0], [15, 0, 0, 0], [0, 0, 0, 0], [-10, 0, 0, 0]] },
  { name = "plate",      gauge = "front.right", base = 310, plate = 60, dial_height = 8, dial_ahead = 149, rows = [
    [0, 0, 0], [20, 0, 0], [-20, 0, 0]] },
  { name = "plate low",  gauge = "rear.left", base = 300, plate = 55, drop = 140, rows = [
    [0, 0, 0, 0], [20, 0, 0, 0], [-20, 0, 0, 0]] },
]
)";

// Circumstances, all uncertain; the floor is a plane of its own in each test.
constexpr const char* circumstances = R"(
[survey]
baseline = "600 ± 2 mm"
square = "0.2° ± 0.1°"
centreline = "1.5 ± 1 mm"
rack = "0.8 ± 1 mm"
rises_forward = "RISES"
rises_left = "RISES"
symmetry = "1.5 mm"
floor = [[420, 760, -1], [380, -30, -2.5], [-90, 730, 1.2], [-1180, 20, 0.7], [-2450, 690, 2], [-2300, -710, -1.5]]
floor_sigma = 0.7
[survey.point]
sill_hole = ["-650 ± 5", "402 ± 5", 171]
)";

std::string with(std::string text, const std::string& word, const std::string& by) {
  for (auto at = text.find(word); at != std::string::npos; at = text.find(word, at + by.size()))
    text.replace(at, word.size(), by);
  return text;
}

// `rises`: of the floor, forward and to the left.
Surveyed risen(const std::string& rises) {
  return Surveyed(every_reading + demo_text("pip.toml") + with(circumstances, "RISES", rises));
}
constexpr const char* level_floor = "0° ± 0.1°";
constexpr const char* rising = "0.8° ± 0.1°";

bool is_wheel(ReadingKind k) { return k == ReadingKind::camber || k == ReadingKind::toe; }

// Every number that a wheel of the axle depends on is uncertain, as under `sigma = 20` in a file.
void make_uncertain(Axle& axle) {
  for (auto& side : axle.side) {
    for (const int p : holding_points(axle.layout))
      side.sigma_mm[static_cast<std::size_t>(p)] = {20.0, 20.0, 20.0};
    side.camber_sigma_rad = side.toe_sigma_rad = 0.01;
  }
}

std::string words_of(const Network& net, std::size_t i) { return net.unknowns()[i].label; }

bool is_of(const Network& net, std::size_t i, const char* end) {
  return words_of(net, i).ends_with(end);
}
// What makes one unit of an unknown count as 1 mm.
double unit_of(const Network& net, std::size_t i) {
  for (const char* angle :
       {"camber", "toe", "baseline", "forward", "to the left", "up against down"})
    if (is_of(net, i, angle) && words_of(net, i) != "baseline") return 1.0 / lever_mm;
  return is_of(net, i, "slope from backlash") ? 1e-2 / lever_mm : 1.0;
}

// Truth: everything a little off from where the file has it, each number by another amount, and the
// floor a plane.
struct Plane {
  double at_origin, per_x, per_y;
  double at(double x, double y) const { return at_origin + per_x * x + per_y * y; }
};
constexpr Plane truly{-0.4, 0.0009, 0.0012};

std::vector<double> truth_of(const Network& net, const Survey& survey) {
  auto x = net.start();
  std::size_t floor = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    if (words_of(net, i) == "floor") {
      const auto& f = survey.floor[floor++];
      x[i] = truly.at(f.x_mm, f.y_mm);
      continue;
    }
    x[i] += 2.5 * std::sin(1.0 + 1.7 * static_cast<double>(i)) * unit_of(net, i);
  }
  EXPECT_EQ(floor, survey.floor.size());
  return x;
}

// ------------------------------------------------------------------ slopes

// Every row's slopes with every unknown, against differences of the rows themselves. Returns how
// many rows there are.
std::size_t expect_slopes(const Network& net, const std::vector<double>& x) {
  const auto out = net.nothing_left_out();
  std::vector<Row> here, up, down;
  std::vector<RowSource> sources;
  EXPECT_TRUE(net.rows(x, out, here, &sources));
  std::vector<std::vector<double>> slope(here.size(), std::vector<double>(x.size(), 0.0));
  for (std::size_t r = 0; r < here.size(); ++r)
    for (const auto& s : here[r].slopes) slope[r][static_cast<std::size_t>(s.unknown)] += s.per;
  std::vector<int> moves(here.size(), 0);
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double unit = unit_of(net, i);
    auto moved = x;
    moved[i] = x[i] + step_mm * unit;
    EXPECT_TRUE(net.rows(moved, out, up));
    moved[i] = x[i] - step_mm * unit;
    EXPECT_TRUE(net.rows(moved, out, down));
    for (std::size_t r = 0; r < here.size(); ++r) {
      // In what was read: mm, or an angle at the lever.
      const double size = sources[r].sigma * (sources[r].sigma < 0.01 ? lever_mm : 1.0);
      const double expected = size * (up[r].off - down[r].off) / (2.0 * step_mm);
      const bool by_rise =
          sources[r].name.starts_with("camber") && words_of(net, i).starts_with("rise of");
      EXPECT_NEAR(slope[r][i] * unit * size, expected,
                  (by_rise ? products_of_rises : difference_part) * (1.0 + std::fabs(expected)))
          << sources[r].name << " with " << words_of(net, i);
      if (std::fabs(expected) > 1e-4) ++moves[r];
    }
  }
  for (std::size_t r = 0; r < here.size(); ++r)
    EXPECT_GT(moves[r], 0) << sources[r].name << " depends on nothing";
  return here.size();
}

TEST(NetworkSlopes, OfHeightsMarksTapesAndLevels) {
  auto s = risen(rising);
  std::erase_if(s.survey.readings, [](const TakenReading& r) { return is_wheel(r.kind); });
  s.survey.gauges.clear();
  const Network net(s.car, s.survey);
  EXPECT_GT(expect_slopes(net, truth_of(net, s.survey)), 60U);  // with the ties between the sides
}

struct Lie {
  const char* name;
  const char* rises;
  AxleName axle;
};
class NetworkWheels : public ::testing::TestWithParam<Lie> {};
INSTANTIATE_TEST_SUITE_P(Ground, NetworkWheels,
                         ::testing::Values(Lie{"level_front", level_floor, AxleName::front},
                                           Lie{"level_rear", level_floor, AxleName::rear},
                                           Lie{"rising_front", rising, AxleName::front},
                                           Lie{"rising_rear", rising, AxleName::rear}),
                         [](const auto& i) { return std::string(i.param.name); });

TEST_P(NetworkWheels, Slopes) {
  auto s = risen(GetParam().rises);
  std::erase_if(s.survey.readings, [&](const TakenReading& r) {
    return !is_wheel(r.kind) || r.spot.axle != GetParam().axle;
  });
  s.survey.gauges.clear();
  make_uncertain(*s.car.at(GetParam().axle));
  const Network net(s.car, s.survey);
  EXPECT_GT(expect_slopes(net, truth_of(net, s.survey)), 60U);
}

class NetworkGauges : public ::testing::TestWithParam<const char*> {};
INSTANTIATE_TEST_SUITE_P(Runs, NetworkGauges,
                         ::testing::Values("two dials", "two dials r", "low dial", "plate",
                                           "plate low"),
                         [](const auto& i) { return with(i.param, " ", "_"); });

TEST_P(NetworkGauges, Slopes) {
  auto s = risen(level_floor);
  s.survey.readings.clear();
  std::erase_if(s.survey.gauges, [&](const GaugeRun& g) { return g.name != GetParam(); });
  ASSERT_EQ(s.survey.gauges.size(), 1U);
  make_uncertain(*s.car.at(s.survey.gauges[0].axle));
  const Network net(s.car, s.survey);
  EXPECT_GT(expect_slopes(net, truth_of(net, s.survey)), 60U);
}

TEST(Network, HasARowForEverythingThatSaysSomething) {
  const auto s = risen(level_floor);
  const Network net(s.car, s.survey);
  std::map<RowSource::Of, int> count;
  std::vector<Row> rows;
  std::vector<RowSource> sources;
  ASSERT_TRUE(net.rows(net.start(), net.nothing_left_out(), rows, &sources));
  ASSERT_EQ(rows.size(), sources.size());
  for (const auto& source : sources) ++count[source.of];
  EXPECT_EQ(count[RowSource::Of::reading], 26 + 2 + 3 + 2 + 2);  // one value a line, but four marks
  // Dials: differences, low ones by themselves, or each by itself.
  EXPECT_EQ(count[RowSource::Of::gauge], 6 + 3 + 2 * 4 + 2 * 3 + 3 * 3);
  // Each circumstance, floor spot and coordinate of a datum with a ±, two for each plumb mark, the
  // travel zero and the drag of each run.
  EXPECT_EQ(count[RowSource::Of::circumstance], 6 + 6 + 2 + 2 * 2 + 2 * 5);
  EXPECT_EQ(count[RowSource::Of::prior], static_cast<int>(stated_spread(s.car).numbers.size()));
  EXPECT_GT(count[RowSource::Of::prior], 0);
}

// ------------------------------------------------------------------ values

// What every reading of the survey should say where the truth is as x has it, worked out from the
// car and the circumstances without the network.
class Truth {
 public:
  Truth(const Surveyed& s, const Network& net)
      : x(truth_of(net, s.survey)), car(net.car_at(x)), net_(net), as_written_(s.car) {
    baseline = valued("baseline");
    square = valued("squareness of the baseline");
    centreline = valued("centreline");
    rack = valued("rack off its centre");
    forward = valued("rise of the floor forward");
    left = valued("rise of the floor to the left");
  }

  double valued(const std::string& label) const {
    std::vector<double> found;
    for (std::size_t i = 0; i < x.size(); ++i)
      if (words_of(net_, i) == label) found.push_back(x[i]);
    EXPECT_EQ(found.size(), 1U) << label;
    return found.at(0);
  }
  // The two errors of a plumb mark, forward along one tape and to the left along the other.
  Vec3<double> plumbed(int mark) const {
    std::vector<double> found;
    for (std::size_t i = 0; i < x.size(); ++i)
      if (words_of(net_, i) == "plumb mark") found.push_back(x[i]);
    const auto k = static_cast<std::size_t>(2 * mark);
    return {found.at(k), found.at(k + 1), 0.0};
  }

  // A joint, a face of it ("... face"), its place on the floor ("... on floor"), or a datum.
  Vec3<double> at(std::string name) const {
    if (name.ends_with(" on floor")) {
      auto p = at(name.substr(0, name.size() - 9));
      p.z = truly.at(p.x, p.y);
      return p;
    }
    if (name == "front.left.arm.lower.upright face")
      return at("front.left.arm.lower.upright") -
             valued("offset of front.left.arm.lower.upright") * unit(Vec3<double>{0.1, 0.2, 1.0});
    if (name == "front.right.strut.foot face")  // `along` is written for the left side
      return at("front.right.strut.foot") -
             valued("offset of front.right.strut.foot") * unit(Vec3<double>{0.3, 1.0, 0.2});
    if (name == "sill_hole") return {valued("sill_hole x"), valued("sill_hole y"), 171.0};
    for (const AxleName a : {AxleName::front, AxleName::rear})
      for (const Side side : {Side::left, Side::right}) {
        const auto head = std::string(word(a)) + "." + word(side) + ".";
        if (!name.starts_with(head)) continue;
        const int p = car.at(a)->layout.point(name.substr(head.size()));
        EXPECT_GE(p, 0) << name;
        return car.at(a)->at(side).numbers.points_mm[static_cast<std::size_t>(p)];
      }
    ADD_FAILURE() << name;
    return {};
  }
  double above_floor(const std::string& name) const {
    const auto p = at(name);
    return p.z - truly.at(p.x, p.y);
  }
  // From a mark to the line through the baseline's middle, which lies `baseline` ahead on the
  // string, turned by `square` with its left end ahead.
  double back(const Vec3<double>& mark) const {
    const double ahead = baseline + std::tan(square) * mark.y;
    return (ahead - mark.x) * std::cos(square);
  }
  double out(const Vec3<double>& mark) const { return std::fabs(mark.y - centreline); }
  double apart(const std::string& a, const std::string& b) const { return length(at(b) - at(a)); }
  // How far a point stands above a level plane through the origin of the car, whose own floor
  // rises against it.
  double above_level(const Vec3<double>& p) const {
    const double f = std::tan(forward), l = std::tan(left);
    return (f * p.x + l * p.y + p.z) / std::sqrt(1.0 + f * f + l * l);
  }
  double rises(const std::string& a, const std::string& b) const {
    return std::asin((above_level(at(b)) - above_level(at(a))) / apart(a, b));
  }

  // A wheel at a travel and a turn of the rack: of its own axes, outboard positive.
  struct Wheel {
    Mechanism<double> mechanism;
    Solution<double> at;
    double toe = 0.0, camber = 0.0, camber_by_level = 0.0;
    Vec3<double> spin;
  };
  Wheel wheel(AxleName axle, Side side, double travel, double rack_out = 0.0) const {
    const auto& a = *car.at(axle);
    Wheel w;
    w.mechanism = corner_mechanism(a, side);
    const auto r = reach(w.mechanism, solution_as_measured(w.mechanism), {travel, rack_out});
    EXPECT_TRUE(r.arrived);
    w.at = r.at;
    const At<double> plain(a.layout, w.mechanism, w.at, {});
    w.toe = read(Reading::toe, plain);
    w.camber = read(Reading::camber, plain);
    w.spin = plain.spin;
    // A ground that is level: only its up counts for camber.
    Ground<double> ground;
    ground.up = unit(
        Vec3<double>{std::tan(forward), (side == Side::left ? 1.0 : -1.0) * std::tan(left), 1.0});
    ground.outboard = unit(cross(ground.up, Vec3<double>{1.0, 0.0, 0.0}));
    ground.forward = cross(ground.outboard, ground.up);
    w.camber_by_level = read(Reading::camber, At<double>(a.layout, w.mechanism, w.at, ground));
    return w;
  }

  // By the names of the survey above, one for each value.
  std::map<std::string, double> readings() const {
    const auto rod_left = at("front.left.rod.steering.upright");
    const auto rod_right = at("front.right.rod.steering.upright");
    const auto front = AxleName::front, rear = AxleName::rear;
    // The arch is read above the wheel's centre as written.
    const auto& arch = as_written_.at(front)->at(Side::left).numbers.points_mm[0];
    return {
        {"height", above_floor("front.left.arm.lower.upright")},
        {"height r", above_floor("rear.right.rod.toe.body")},
        {"height d", above_floor("sill_hole")},
        {"height f", above_floor("front.left.arm.lower.upright face")},
        {"height fr", above_floor("front.right.strut.foot face")},
        {"arch", valued("front.left.arch") - truly.at(arch.x, arch.y)},
        {"mark back", back(rod_left) - plumbed(0).x},
        {"mark out", out(rod_left) + plumbed(0).y},
        {"mark r back #1", back(rod_right) - plumbed(1).x},
        {"mark r back #2", back(rod_right) - plumbed(1).x},
        {"mark r out", out(rod_right) - plumbed(1).y},
        {"mark plain back", back(at("rear.left.strut.top"))},
        {"mark plain out", out(at("rear.left.strut.top"))},
        {"mark d back", back(at("sill_hole"))},
        {"mark d out", out(at("sill_hole"))},
        {"distance", apart("front.left.arm.lower.upright", "front.left.arm.lower.body_rear")},
        {"across", apart("front.left.arm.lower.body_front", "front.right.arm.lower.body_rear")},
        {"distance d", apart("sill_hole", "front.left.arm.lower.body_rear")},
        {"on floor", apart("front.left.strut.top", "rear.right.rod.lateral.upright on floor")},
        {"floors", apart("front.left.arm.lower.upright on floor", "sill_hole on floor")},
        {"to face", apart("front.left.arm.lower.upright face", "front.left.strut.foot")},
        {"slope", rises("front.left.rod.steering.body", "front.left.rod.steering.upright")},
        {"slope r", rises("rear.right.rod.lateral.body", "rear.right.rod.lateral.upright")},
        {"length", apart("front.left.rod.steering.body", "front.left.rod.steering.upright")},
        {"offset", valued("offset of front.left.arm.lower.upright")},
        {"offset r", valued("offset of front.right.strut.foot")},
        {"camber", wheel(front, Side::left, 0.0).camber_by_level},
        {"camber r", wheel(front, Side::right, 0.0).camber_by_level},
        {"camber t", wheel(front, Side::right, 27.0).camber_by_level},
        {"camber tl", wheel(rear, Side::left, -18.0).camber_by_level},
        {"toe", wheel(front, Side::right, 0.0).toe},
        {"toe t", wheel(front, Side::left, -33.0).toe},
        {"toe tr", wheel(rear, Side::right, 21.0).toe},
        {"ride", valued("front.left.arch") - at("front.left.wheel.centre").z},
        {"ride r", valued("rear.right.arch") - at("rear.right.wheel.centre").z},
    };
  }

  // What the dials of a run show at a row, outward positive, on a stand that has not been touched:
  // front, rear and low one.
  std::array<double, 3> dials(const GaugeRun& g, std::size_t row) const {
    const double travel = g.rows[row].travel_mm;
    const double outboard = g.side == Side::left ? 1.0 : -1.0;
    // Rows follow each other up or down; the first goes the way of the second.
    const double to = g.rows[std::max<std::size_t>(row, 1)].travel_mm;
    const double from = g.rows[std::max<std::size_t>(row, 1) - 1].travel_mm;
    const double way = to > from ? 1.0 : -1.0;
    // The rack stood off its centre when the joints were read, and is at it for the run.
    const bool steered = car.at(g.axle)->layout.steered();
    const auto w = wheel(g.axle, g.side, travel + valued(g.name + ": zero of travel"),
                         steered ? -outboard * rack : 0.0);
    const bool both_ways = g.name != "two dials r";
    const double play = both_ways ? valued(g.name + ": up against down") : 0.0;
    const double extra_toe = valued(g.name + ": slope from backlash") * travel + 0.5 * way * play;
    const double zero =
        valued(g.name + (g.places ? ": zero of the front dial" : ": zero of the dials"));
    const double low_zero = g.drop_mm ? valued(g.name + ": zero of the low dial") : 0.0;
    if (!g.places) {
      // Any place of the plate between the dials does: they all walk together as the track changes.
      const double walk = 0.7 * travel;
      const double across = g.base_mm * std::tan(w.toe) + zero + g.base_mm * extra_toe;
      const double tip = g.drop_mm.value_or(0.0) * -std::tan(w.camber) / std::cos(w.toe);
      return {walk - 0.5 * across, walk + 0.5 * across, walk + tip + low_zero};
    }
    // Each dial goes along y where it stands; the plate is square to the wheel's spin.
    const auto& c = w.at.pose.centre_mm;
    const auto plate = c + g.places->plate_mm * w.spin;
    const auto& measured = w.mechanism.centre_mm;
    const auto shows = [&](double ahead, double above) {
      const Vec3<double> stand{measured.x + ahead, measured.y + g.places->plate_mm,
                               measured.z + above};
      return dot(plate - stand, w.spin) / w.spin.y;
    };
    const auto& p = *g.places;
    const double half = 0.5 * g.base_mm;
    return {shows(p.ahead_mm, p.height_mm) + zero - half * extra_toe,
            shows(p.ahead_mm - g.base_mm, p.height_mm) +
                valued(g.name + ": zero of the rear dial") + half * extra_toe,
            shows(p.ahead_mm - half, p.height_mm - g.drop_mm.value_or(0.0)) + low_zero};
  }

  std::vector<double> x;
  Car car;
  double baseline = 0.0, square = 0.0, centreline = 0.0, rack = 0.0, forward = 0.0, left = 0.0;

 private:
  const Network& net_;
  const Car& as_written_;
};

// The survey as it would be read at the truth, without noise.
void read_without_noise(Surveyed& s, const Truth& truth) {
  const auto values = truth.readings();
  std::size_t set = 0;
  for (auto& r : s.survey.readings) {
    ASSERT_TRUE(values.contains(r.name)) << r.name;
    r.value = values.at(r.name);
    ++set;
  }
  EXPECT_EQ(set, values.size());
  for (auto& g : s.survey.gauges)
    for (std::size_t i = 0; i < g.rows.size(); ++i) {
      const auto dials = truth.dials(g, i);
      g.rows[i].front_mm = dials[0];
      g.rows[i].rear_mm = dials[1];
      if (g.drop_mm) g.rows[i].low_mm = dials[2];
    }
}

TEST(Network, ReadingsWithoutNoiseLeaveNothingOver) {
  auto s = risen(rising);
  const Network net(s.car, s.survey);
  const Truth truth(s, net);
  read_without_noise(s, truth);
  std::vector<Row> rows, elsewhere;
  std::vector<RowSource> sources;
  ASSERT_TRUE(net.rows(truth.x, net.nothing_left_out(), rows, &sources));
  ASSERT_TRUE(net.rows(net.start(), net.nothing_left_out(), elsewhere));
  int readings = 0, gauges = 0, misfits = 0;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    SCOPED_TRACE(sources[i].name);
    const double off = rows[i].off * sources[i].sigma;
    if (sources[i].of == RowSource::Of::reading) {
      const auto& r = s.survey.readings[static_cast<std::size_t>(sources[i].index)];
      const bool by_floor = r.kind == ReadingKind::height || r.other.at == Spot::At::floor;
      const bool angle = quantity_kind(r.kind) == Kind::angle;
      EXPECT_NEAR(off, 0.0, angle ? same_rad : by_floor ? floor_mm : same_mm);
      ++readings;
    } else if (sources[i].of == RowSource::Of::gauge) {
      EXPECT_NEAR(off, 0.0, same_mm);
      ++gauges;
    } else {
      continue;
    }
    if (std::fabs(elsewhere[i].off) > 0.05) ++misfits;
  }
  EXPECT_EQ(readings, 35);
  EXPECT_EQ(gauges, 32);
  EXPECT_GT(misfits, 50);  // where the joints are as written, the same readings do not fit
}

// The same by the network's own word, over a floor that is no plane.
TEST(Network, RowsAreWhatItTellsLessWhatWasRead) {
  auto s = risen(rising);
  const Network net(s.car, s.survey);
  auto x = truth_of(net, s.survey);
  for (std::size_t i = 0; i < x.size(); ++i)
    if (words_of(net, i) == "floor") x[i] = 3.0 * std::sin(static_cast<double>(i));
  for (auto& r : s.survey.readings) {
    const auto told = net.tell(x, r);
    ASSERT_TRUE(told) << r.name;
    r.value = told->value;
  }
  std::vector<Row> rows;
  std::vector<RowSource> sources;
  ASSERT_TRUE(net.rows(x, net.nothing_left_out(), rows, &sources));
  int readings = 0;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (sources[i].of != RowSource::Of::reading) continue;
    EXPECT_EQ(rows[i].off, 0.0) << sources[i].name;
    ++readings;
  }
  EXPECT_EQ(readings, 35);
}

TEST(Network, CircumstancesAndPriorsPullToTheirOwnValue) {
  const auto s = risen(rising);
  const Network net(s.car, s.survey);
  const auto x = truth_of(net, s.survey);
  std::vector<Row> rows;
  std::vector<RowSource> sources;
  ASSERT_TRUE(net.rows(x, net.nothing_left_out(), rows, &sources));
  std::map<std::string, std::array<double, 2>> file{
      {"baseline", {600.0, 2.0}},
      {"squareness of the baseline", {0.2 * degree_rad, 0.1 * degree_rad}},
      {"centreline", {1.5, 1.0}},
      {"rack off its centre", {0.8, 1.0}},
      {"rise of the floor forward", {0.8 * degree_rad, 0.1 * degree_rad}},
      {"rise of the floor to the left", {0.8 * degree_rad, 0.1 * degree_rad}},
      {"sill_hole x", {-650.0, 5.0}},
      {"sill_hole y", {402.0, 5.0}},
      {"two dials: zero of travel", {0.0, 0.5}},
      {"two dials: slope from backlash", {0.0, 0.003 * degree_rad / 25.0}},
      {"front.left.wheel.centre x", {-0.2, 2.0}},
      {"front.left.wheel.centre z", {280.0, 1.0}},
  };
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (sources[i].of != RowSource::Of::circumstance && sources[i].of != RowSource::Of::prior)
      continue;
    const auto at = file.find(sources[i].name);
    if (at == file.end()) continue;
    const auto [value, sigma] = at->second;
    const auto unknown = static_cast<std::size_t>(sources[i].index);
    EXPECT_NEAR(rows[i].off, (x[unknown] - value) / sigma, 1e-9 * std::fabs(rows[i].off))
        << sources[i].name;
    file.erase(at);
  }
  for (const auto& [name, values] : file) ADD_FAILURE() << "no row for " << name;
}

// A joint of the left corner where the rack stands `rack` to the left: what is on the upright and
// on the rack moves.
Vec3<double> steered(const Axle& axle, int point, double rack) {
  const auto& l = axle.layout;
  const auto m = corner_mechanism(axle, Side::left);
  const auto r = reach(m, solution_as_measured(m), {0.0, rack});
  EXPECT_TRUE(r.arrived);
  const Placed<double> placed(m, r.at.pose, rack);
  const auto& written = axle.at(Side::left).numbers.points_mm[static_cast<std::size_t>(point)];
  const auto upright = [](Standing on) { return on.on == Carrier::upright; };
  bool turns = point == 0 || (l.strut && l.strut->foot == point);
  for (const auto& arm : l.arms) turns = turns || arm.upright == point;
  for (const auto& rod : l.rods) {
    turns = turns || rod.upright == point;
    if (rod.steered() && rod.inner == point) return written + Vec3<double>{0.0, rack, 0.0};
  }
  for (const auto& line : {l.spring, l.damper})
    turns = turns || (line && line->foot == point && upright(line->foot_on));
  turns = turns || (l.bar && l.bar->link == point && upright(l.bar->link_on));
  return turns ? placed.centre() + placed.turn() * (written - m.centre_mm) : written;
}

// Left against right: with the rack off its centre both wheels steer the same way, which is no
// difference between the sides.
TEST(Network, SidesAreTiedAsTheyStandWithTheRackAtItsCentre) {
  const auto s = risen(rising);
  const Network net(s.car, s.survey);
  const auto x = truth_of(net, s.survey);
  std::vector<Row> rows;
  std::vector<RowSource> sources;
  ASSERT_TRUE(net.rows(x, net.nothing_left_out(), rows, &sources));
  double rack = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i)
    if (words_of(net, i) == "rack off its centre") rack = x[i];
  ASSERT_NE(rack, 0.0);
  const auto car = net.car_at(x);
  int compared = 0, moved = 0;
  for (const AxleName a : {AxleName::front, AxleName::rear}) {
    const auto& axle = *car.at(a);
    for (std::size_t p = 0; p < axle.layout.points.size(); ++p)
      for (int axis = 0; axis < 3; ++axis) {
        const auto name = std::string(word(a)) + "." + axle.layout.points[p] + " " + "xyz"[axis] +
                          ", left against right";
        const auto at = std::find_if(sources.begin(), sources.end(),
                                     [&](const RowSource& r) { return r.name == name; });
        ASSERT_NE(at, sources.end()) << name;
        // Per mm of rack, as the file has the joints.
        constexpr double h = 0.1;
        const auto& written = *s.car.at(a);
        const int point = static_cast<int>(p);
        const double per_rack =
            axle.layout.steered()
                ? (steered(written, point, h)[axis] - steered(written, point, -h)[axis]) / (2.0 * h)
                : 0.0;
        const double left = axle.at(Side::left).numbers.points_mm[p][axis];
        const double right = mirrored(axle.at(Side::right).numbers.points_mm[p])[axis];
        EXPECT_NEAR(rows[static_cast<std::size_t>(at - sources.begin())].off,
                    (left - right - 2.0 * rack * per_rack) / 1.5, 1e-6)  // h^2 of a joint's path
            << name;
        ++compared;
        if (std::fabs(per_rack) > 1e-3) ++moved;
      }
  }
  EXPECT_GT(compared, 60);
  EXPECT_GT(moved, 10);
}

// As long as no reading is of the right side, it is the left one's mirror image, whoever asks.
TEST(Network, TellsOfAMirroredRightSideByTheLeft) {
  auto s = risen(level_floor);
  std::erase_if(s.survey.readings, [](const TakenReading& r) {
    return r.spot.side == Side::right || r.other.side == Side::right;
  });
  std::erase_if(s.survey.gauges, [](const GaugeRun& g) { return g.side == Side::right; });
  for (auto& axle : s.car.axle) make_uncertain(*axle);
  const Network net(s.car, s.survey);
  ASSERT_FALSE(net.sides_apart(AxleName::front));
  auto x = truth_of(net, s.survey);
  // A floor, a string and a ground that are alike left and right.
  for (std::size_t i = 0; i < x.size(); ++i)
    for (const char* label : {"floor", "squareness", "centreline", "rise of", "plumb"})
      if (words_of(net, i).starts_with(label)) x[i] = 0.0;
  const auto dense = [&](const Slopes& slopes) {
    std::vector<double> all(x.size(), 0.0);
    for (const auto& slope : slopes) all[static_cast<std::size_t>(slope.unknown)] += slope.per;
    return all;
  };
  int told = 0;
  for (auto r : s.survey.readings) {
    if (r.spot.of == Spot::Of::datum || r.other.of == Spot::Of::datum ||
        r.kind == ReadingKind::ride_height || r.spot.of == Spot::Of::arch ||
        r.kind == ReadingKind::offset || r.spot.at == Spot::At::face)
      continue;
    SCOPED_TRACE(r.name);
    const auto left = net.tell(x, r);
    r.spot.side = r.other.side = Side::right;
    const auto right = net.tell(x, r);
    ASSERT_TRUE(left && right);
    EXPECT_NEAR(right->value, left->value, same_mm);
    // But for where the string and the baseline lie, which are no numbers of the car.
    const auto l = dense(left->slopes), d = dense(right->slopes);
    for (std::size_t i = 0; i < x.size(); ++i)
      if (net.unknowns()[i].of_car) {
        EXPECT_NEAR(d[i], l[i], same_mm) << words_of(net, i);
      }
    ++told;
  }
  EXPECT_GT(told, 10);
  // From a joint to its own mirror image: twice its distance from the middle.
  TakenReading across;
  across.kind = ReadingKind::distance;
  across.spot.index = across.other.index =
      s.car.at(AxleName::front)->layout.point("arm.lower.body_front");
  across.other.side = Side::right;
  const auto span = net.tell(x, across);
  const int y = net.unknown_of(
      {AxleName::front, Side::left, true, CarNumber::Of::coordinate, across.spot.index, 1});
  ASSERT_TRUE(span);
  ASSERT_GE(y, 0);
  EXPECT_NEAR(span->value, 2.0 * x[static_cast<std::size_t>(y)], same_mm);
  EXPECT_NEAR(dense(span->slopes)[static_cast<std::size_t>(y)], 2.0, same_mm);
}

// ------------------------------------------------------------------ the floor

double height_read(const std::string& floor, const char* joint) {
  const Surveyed s("reading = [{ height = \"" + std::string(joint) + "\", value = 1 }]\n" +
                   demo_text("pip.toml") + "[survey]\n" + floor);
  const Network net(s.car, s.survey);
  return net.tell(net.start(), s.survey.readings[0])->value;
}

TEST(NetworkFloor, BetweenTheSpotsIsAPlaneThroughTheNearest) {
  const char* joint = "front.left.arm.lower.body_front";  // at [12, 275, 156] in the demo car
  EXPECT_EQ(height_read("", joint), 156.0);
  // One spot: the floor is level at its height. Two: it falls along the line between them.
  EXPECT_NEAR(height_read("floor = [[500, 600, -2.5]]\n", joint), 158.5, same_mm);
  EXPECT_NEAR(height_read("floor = [[12, 0, -2], [12, 550, -4]]\n", joint), 159.0, floor_mm);
  EXPECT_NEAR(height_read("floor = [[12, 0, -2], [12, 367, -4]]\n", joint),
              156.0 + 2.0 + 2.0 * 275.0 / 367.0, floor_mm);
  // A spot right below counts alone: the others have (1 mm / 300 mm)^4 of its weight.
  EXPECT_NEAR(
      height_read("floor = [[12, 275, -3.25], [300, 200, 9], [-400, 250, 5], [12, 900, 2]]\n",
                  joint),
      159.25, 1e-6);
  // A plane is a plane wherever the spots are.
  EXPECT_NEAR(
      height_read("floor = [[0, 0, 1], [1000, 0, 3], [0, 1000, -4], [1000, 1000, -2]]\n", joint),
      156.0 - (1.0 + 0.002 * 12.0 - 0.005 * 275.0), floor_mm);
}

}  // namespace
}  // namespace trammel::testing
