// Slips of the hand on the floor are asked about, and honest readings are not.

#include "align/doubts.h"

#include <gtest/gtest.h>

#include "align/on_the_floor.h"
#include "base/statistics.h"

namespace trammel::testing {
namespace {

OnTheFloor honest() {
  OnTheFloor f;
  f.half_track_mm = {715.0, 685.0};
  const double d = degree_rad;
  f.toe_rad = {-0.3 * d, 0.25 * d, 0.2 * d, 0.0};
  f.camber_rad = {-0.5 * d, -1.5 * d, -0.8 * d, -0.7 * d};
  return f;
}
std::string asked(const std::string& rows) {
  std::string all;
  for (const auto& d : aligned_car(two_axles() + rows).aligning().doubts) all += d + "\n";
  return all;
}
std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}
std::string edges_of(const std::string& rows, int nth) {
  std::size_t at = 0;
  for (int i = 0; i <= nth; ++i) at = rows.find("edges = ", at) + 1;
  return rows.substr(at - 1, rows.find('\n', at) - at + 1);
}

TEST(Doubts, HonestReadingsAreNotAsked) {
  EXPECT_EQ(asked(honest().rows("now")), "");
  EXPECT_TRUE(aligned_car(demo_text("pip.toml")).aligning().doubts.empty());
}

TEST(Doubts, DegreesTypedForMillimetres) {
  const auto rows = honest().rows("now");
  const auto said = asked(replaced(rows, edges_of(rows, 0), "edges = [0.3, 0]"));
  EXPECT_NE(said.find("Were degrees typed"), std::string::npos) << said;
  // Below zero it is no distance at all.
  EXPECT_NE(faults_of(two_axles() + replaced(rows, edges_of(rows, 0), "edges = [-0.3, 0.1]"))
                .find("not an angle"),
            std::string::npos);
}

TEST(Doubts, MillimetresTypedForDegrees) {
  EXPECT_NE(
      asked(replaced(honest().rows("now"), "camber = [-0.5", "camber = [-7.5")).find("millimetres"),
      std::string::npos);
}

TEST(Doubts, StringsThatCross) {
  auto f = honest();
  f.yaw_rad = 2.5 * degree_rad;
  EXPECT_NE(asked(f.rows("now")).find("run across"), std::string::npos);
}

TEST(Doubts, AHubOfTheOtherSide) {
  auto f = honest();
  f.off_mm = 9.0;
  auto rows = f.rows("now");
  const auto hub = [&](int nth) {
    std::size_t at = 0;
    for (int i = 0; i <= nth; ++i) at = rows.find("hub = ", at) + 1;
    return rows.substr(at - 1, rows.find('\n', at) - at + 1);
  };
  const auto left = hub(0), right = hub(1);
  rows = replaced(rows, left, "hub = @");
  rows = replaced(rows, right, left);
  rows = replaced(rows, "hub = @", right);
  EXPECT_NE(asked(rows).find("exchanged"), std::string::npos);
}

TEST(Doubts, SidesExchangedSinceTheDayBefore) {
  const auto was = honest();
  auto now = was;
  std::swap(now.camber_rad[0], now.camber_rad[1]);
  const auto said = asked(was.rows("before") + now.rows("now"));
  EXPECT_NE(said.find("Front axle: camber"), std::string::npos) << said;
  EXPECT_EQ(asked(was.rows("before") + was.rows("now")), "");
}

TEST(Doubts, OutAndInOfASweepExchanged) {
  const auto car = aligned_car(two_axles());
  const auto& corner = car.sits.at(AxleName::front)->at(Side::left);
  const At<double> at(car.car.at(AxleName::front)->layout, corner.mechanism, corner.at,
                      ground_for(Side::left, 0.0, 0.0));
  const SteeringAxis axis{read(Reading::caster, at), read(Reading::steering_axis_inclination, at)};
  ASSERT_GT(std::fabs(axis.caster_rad), 1.5 * degree_rad);
  const Steered straight{-0.4 * degree_rad, 0.0};
  const auto row = [&](double out, double in) {
    return fmt::format(
        "[[alignment]]\nwhen = \"now\"\nwheel = \"front.left\"\ncamber_out = {}\n"
        "camber_in = {}\n",
        out / degree_rad, in / degree_rad);
  };
  const double out = camber_turned(axis, straight, usual_sweep_rad),
               in = camber_turned(axis, straight, -usual_sweep_rad);
  EXPECT_EQ(asked(row(out, in)), "");
  EXPECT_NE(asked(row(in, out)).find("out and in"), std::string::npos);
}

TEST(Doubts, ReadingsOfOneThingThatContradict) {
  const auto rows = honest().rows("now");
  const auto plates = [](double rear) {
    return fmt::format(
        "[[alignment]]\nwhen = \"now\"\naxle = \"front\"\nplates = [1450, {}]\n"
        "base = 600\n",
        rear);
  };
  // -0.05 degrees in all by the strings: -0.5 mm on 600; 20 mm is 1.9 degrees.
  EXPECT_EQ(asked(rows + plates(1449.5)), "");
  EXPECT_NE(asked(rows + plates(1470)).find("by the plates"), std::string::npos);
  // The same wheel read again, half a degree away; and typed twice.
  const auto again = [&](double front) {
    return fmt::format(
        "[[alignment]]\nwhen = \"now\"\nwheel = \"front.left\"\nacross = 406\n"
        "edges = [{}, 215]\n",
        front);
  };
  EXPECT_NE(asked(rows + again(218)).find("read more than once"), std::string::npos);
  EXPECT_NE(asked(rows + again(213) + again(213)).find("typed twice"), std::string::npos);
  // A sign lost: of one place, and of the whole wheel.
  EXPECT_NE(asked(replaced(rows, "camber = [-1.5", "camber = [1.5")).find("lost its sign"),
            std::string::npos);
  EXPECT_NE(asked("[[alignment]]\nwhen = \"now\"\nwheel = \"front.left\"\ncamber = 1.1\n"
                  "[[alignment]]\nwhen = \"now\"\nwheel = \"front.right\"\ncamber = -1.0\n")
                .find("lost its sign"),
            std::string::npos);
  EXPECT_NE(asked(rows + "[[alignment]]\nwhen = \"now\"\nstrings_apart = [1856, 1956]\n"
                         "strings_length = 3600\n")
                .find("converge"),
            std::string::npos);
}

TEST(Doubts, ADayWhoseNameIsMisspelt) {
  const auto is = honest();
  EXPECT_NE(asked(is.rows("as found") + is.rows("as fuond")).find("misspelt"), std::string::npos);
  EXPECT_NE(asked(is.rows("as found") + is.rows("As found")).find("misspelt"), std::string::npos);
  EXPECT_EQ(asked(is.rows("turn 1") + is.rows("turn 2")), "");
  EXPECT_EQ(asked(is.rows("as found") + is.rows("set")), "");
}

// One wheel's row typed for the other: seen by its figures, and by what the file has of each wheel.
TEST(Doubts, AWheelsRowTypedForTheOther) {
  const auto f = honest();
  const auto exact = [] { return 0.0; };
  const auto left = f.row("now", 0, 1, exact) + "camber = -0.5\n";
  const auto other = replaced(left, "front.left", "front.right");
  EXPECT_EQ(asked(left + replaced(other, "camber = -0.5", "camber = -0.6")), "");
  EXPECT_NE(asked(left + other).find("Was one wheel's row typed for the other?"), std::string::npos)
      << asked(left + other);
  const auto unlike = two_axles() + "[front.right.wheel]\ncamber = -1.5\n";
  const auto camber = [&](double l, double r) {
    std::string all;
    for (const auto& d : aligned_car(unlike + fmt::format("[[alignment]]\nwhen = \"now\"\nwheel = "
                                                          "\"front.left\"\ncamber = {}\n"
                                                          "[[alignment]]\nwhen = \"now\"\nwheel = "
                                                          "\"front.right\"\ncamber = {}\n",
                                                          l, r))
                             .aligning()
                             .doubts)
      all += d + "\n";
    return all;
  };
  EXPECT_EQ(camber(-0.4, -1.5), "");
  EXPECT_NE(camber(-1.5, -0.4).find("the file has -0.40° and -1.50°. Were the rows of one wheel"),
            std::string::npos)
      << camber(-1.5, -0.4);
  // Both against the file by more than ten of their ±.
  EXPECT_NE(camber(-0.4, 1.3).find("Front right: camber is 1.30° and the file has -1.50°. Has it"),
            std::string::npos)
      << camber(-0.4, 1.3);
}

// Of honest days with noise as stated, few are asked about: less than one in fifty.
TEST(Doubts, RarelyAskAboutHonestReadings) {
  Sampler sampler(7);
  int days = 200, asked_days = 0;
  const auto car = aligned_car(two_axles());
  for (int i = 0; i < days; ++i) {
    auto f = honest();
    f.yaw_rad = 0.3 * degree_rad * (2.0 * sampler.uniform() - 1.0);
    f.off_mm = 20.0 * sampler.uniform() - 10.0;
    std::string rows;
    for (const char* when : {"before", "now"})
      for (int w = 0; w < 4; ++w)
        rows += f.row(when, w, 2, [&] { return 0.5 * sampler.normal(); }) +
                f.camber_row(when, w, 2, [&] { return 0.12 * degree_rad * sampler.normal(); });
    const auto read = read_alignment(*parse(rows).value, car.car);
    const auto a = align(car.sits, {}, car.wishes, read, car.survey);
    asked_days += a.doubts.empty() ? 0 : 1;
  }
  EXPECT_LE(asked_days, days / 50);
}

}  // namespace
}  // namespace trammel::testing
