// A wheel is a wheel: every figure with its own doubt, sizes and holes that differ by side, and
// what is said of a side that nobody measured.
#include <gtest/gtest.h>

#include <cmath>

#include "cars.h"
#include "correct/correct.h"
#include "correct/tables.h"
#include "file/edit.h"
#include "measure/adjustment.h"
#include "travel/band.h"

namespace trammel::testing {
namespace {

struct Axles {
  Document document;
  Adjusted adjusted;
  Wishes wishes;
  Ride stands;
};
Axles axles(const std::string& text) {
  Axles a;
  a.document = *parse(text).value;
  const Car car = car_of(text);
  a.adjusted = *adjust(car, read_survey(a.document, car)).value;
  a.wishes = read_wishes(a.document, a.adjusted.car);
  a.stands = *ride(a.adjusted.car, nullptr).value;
  return a;
}

// The demo hatch with its right side described, a joint of it moved.
Axles unlike(AxleName axle, const char* joint, const Vec3<double>& by, double sigma_mm) {
  auto a = axles(demo_text("pip.toml"));
  for (auto& one : a.adjusted.car.axle) {
    one->right_is_mirrored = false;
    for (auto& side : one->side)
      for (auto& s : side.sigma_mm) s = {sigma_mm, sigma_mm, sigma_mm};
  }
  auto& described = *a.adjusted.car.at(axle);
  auto& point = described.at(Side::right)
                    .numbers.points_mm[static_cast<std::size_t>(described.layout.point(joint))];
  point = point + by;
  a.adjusted.spread = stated_spread(a.adjusted.car);
  a.stands = *ride(a.adjusted.car, nullptr).value;
  return a;
}

double read_of(const Ride& ride, AxleName axle, Side side, Reading r) {
  const auto& corner = ride.at(axle)->at(side);
  return read(r, At<double>(ride.car.at(axle)->layout, corner.mechanism, corner.at,
                            ground_for(side, ride.pitch_rad, 0.0)));
}

// Each wheel's value and ± as it sits are those that the survey has of the same wheel: the front
// left one was run with dials and the right one was not, so they differ by a factor of ten.
TEST(Wheels, ValueAndDoubtAreOfTheSameWheel) {
  const auto a = axles(demo_text("pip-survey.toml"));
  for (const AxleName name : each_axle) {
    const auto r = *unranked(a.stands, a.adjusted.spread, name, a.wishes).value;
    DrawnAxle cars(a.stands, a.adjusted.spread, name, a.wishes.target[name == AxleName::rear], 5);
    const auto s = sureness(cars, r.shelf, nothing_fitted(r.shelf), 2000);
    for (const Side side : each_side) {
      SCOPED_TRACE(std::string(word(name)) + " " + word(side));
      EXPECT_NEAR(r.before.wheel[side].bump_steer,
                  read_of(a.stands, name, side, Reading::bump_steer), 1e-12);
      const auto g = reading_slopes(*a.adjusted.car.at(name), a.adjusted.spread, side,
                                    0.0)[static_cast<std::size_t>(Reading::bump_steer)];
      const double sigma = std::sqrt(product(g, a.adjusted.spread.covariance, g));
      // 2,000 cars leave 1.6 % of a standard deviation; curvature some more.
      EXPECT_NEAR(s.wheel[side].bump_steer.as_it_sits, sigma, 0.08 * sigma);
    }
    EXPECT_GT(s.wheel.right.bump_steer.as_it_sits, 5.0 * s.wheel.left.bump_steer.as_it_sits);
  }
}

TEST(Wheels, AWheelsFiguresAreItsOwn) {
  const auto a = unlike(AxleName::front, "strut.top", {0, 6, 0}, 0.0);
  const auto r = *rank(a.stands, {}, AxleName::front, a.wishes).value;
  const auto& w = r.before.wheel;
  EXPECT_NEAR(w.left.bump_steer,
              read_of(a.stands, AxleName::front, Side::left, Reading::bump_steer), 1e-12);
  EXPECT_NEAR(w.right.bump_steer,
              read_of(a.stands, AxleName::front, Side::right, Reading::bump_steer), 1e-12);
  const auto set = *r.best();
  const auto fitted_car = with_set(a.stands, r, set.fit, a.wishes);
  for (const Side side : each_side) {
    EXPECT_NEAR(set.figures->wheel[side].camber_rad,
                read_of(fitted_car, AxleName::front, side, Reading::camber), 1e-9);
    EXPECT_NEAR(*set.figures->wheel[side].caster_rad,
                read_of(fitted_car, AxleName::front, side, Reading::caster), 1e-9);
  }
  EXPECT_NE(set.figures->wheel.left.caster_rad, set.figures->wheel.right.caster_rad);
  EXPECT_EQ(set.figures->worse().toe_change_max_rad,
            std::max(set.figures->wheel.left.toe_change_max_rad,
                     set.figures->wheel.right.toe_change_max_rad));
  const auto table = figures_table(r, set, Units::metric);
  ASSERT_EQ(table.heads.size(), 5U);
  EXPECT_EQ(table.heads[4], "right, with it");
}

// The right rod's inner end stands 5 mm higher: no stack serves both wheels, and one size a side
// does (1 mm of height there is 0.03 degrees per 25 mm, common practice: the sizes differ by some 5
// mm).
TEST(Wheels, SidesThatDifferGetSizesThatDiffer) {
  const auto a = unlike(AxleName::front, "rod.steering.body", {0, 0, 5}, 0.0);
  const auto r = *rank(a.stands, {}, AxleName::front, a.wishes).value;
  const auto& best = *r.best();
  EXPECT_TRUE(best.meets());
  EXPECT_FALSE(sides_alike(best.fit));
  EXPECT_TRUE(best.fit.part[0].left == best.fit.part[0].right);  // ball joints stay alike
  const double apart = best.fit.part[1].left.size_mm - best.fit.part[1].right.size_mm;
  EXPECT_GE(std::fabs(apart), 2.5);
  EXPECT_LE(std::fabs(apart), 7.5);
  for (const auto& c : r.candidates)
    if (sides_alike(c.fit)) {
      EXPECT_FALSE(c.meets());
    }
  const auto words = fit_words(r.shelf, best.fit, Units::metric);
  EXPECT_NE(words.find("rod-end stack (left "), std::string::npos) << words;
}

TEST(Wheels, SidesThatAreAlikeGetSizesThatAreAlike) {
  const auto a = unlike(AxleName::front, "rod.steering.body", {0, 0, 0}, 0.5);
  const auto r = *rank(a.stands, a.adjusted.spread, AxleName::front, a.wishes).value;
  for (const auto& c : r.candidates) EXPECT_TRUE(sides_alike(c.fit));
}

// With joints good to 0.3 mm the same difference is known, and unlike sizes win by chance; with
// joints good to 4 mm nobody knows of it.
TEST(Wheels, UnlikeSizesNeedASurveyThatShowsTheDifference) {
  const auto known = unlike(AxleName::front, "rod.steering.body", {0, 0, 5}, 0.3);
  const auto r = *rank(known.stands, known.adjusted.spread, AxleName::front, known.wishes).value;
  EXPECT_FALSE(sides_alike(r.best()->fit));
  EXPECT_GT(*r.best()->chance, 0.5);
  const auto vague = unlike(AxleName::front, "rod.steering.body", {0, 0, 5}, 4.0);
  const auto v = *rank(vague.stands, vague.adjusted.spread, AxleName::front, vague.wishes).value;
  EXPECT_TRUE(sides_alike(v.best()->fit));
}

TEST(Wheels, OneHoleASideWhereOneCannotServeBoth) {
  const auto a = unlike(AxleName::rear, "rod.toe.body", {0, 0, 7}, 0.0);
  const auto r = *rank(a.stands, {}, AxleName::rear, a.wishes).value;
  const auto& best = *r.best();
  EXPECT_TRUE(best.meets());
  EXPECT_FALSE(sides_alike(best.fit));
  const auto maps = hole_maps(a.stands, {}, a.wishes, r, best);
  ASSERT_EQ(maps.size(), 2U);
  for (const auto& map : maps) {
    ASSERT_TRUE(map.side);
    EXPECT_TRUE(map.hole_meets);
    const auto& by = best.fit.part[map.choice][*map.side].by_mm;
    EXPECT_EQ(map.hole_mm[1], by[map.axes[1]]);
  }
  EXPECT_GT(std::fabs(maps[0].hole_mm[1] - maps[1].hole_mm[1]), 2.0);
}

// The roll centre hangs on the hole's height too: where the place of the least toe change misses it
// and another place of the range meets both, that one is found, and table and map agree.
TEST(Wheels, AHoleIsSoughtByEveryTarget) {
  const auto text = demo_text("pip.toml");
  const auto plain = axles(text);
  auto wishes = plain.wishes;
  wishes.target[1].roll_centre_mm = {};
  wishes.target[1].camber_rad = {};
  const auto by_toe = *rank(plain.stands, {}, AxleName::rear, wishes).value;
  const auto& flat = *by_toe.best();
  auto higher = flat.fit;
  const std::size_t hole = by_toe.shelf.choices[0].made_to_measure() ? 0 : 1;
  for (const Side side : each_side) higher.part[hole][side].by_mm.z += 3.0;
  const auto there = judged(plain.stands, wishes, by_toe, higher);
  const double rises = there.figures->roll_centre_height_mm - flat.figures->roll_centre_height_mm;
  ASSERT_GT(std::fabs(rises), 0.6);
  // A roll centre that the other place just meets and the flattest does not, and a toe change that
  // the other place meets.
  const double middle = there.figures->roll_centre_height_mm + std::copysign(0.5, rises);
  wishes.target[1].roll_centre_mm = {middle - 1.0, middle + 1.0};
  wishes.target[1].toe_change_rad = 1.6 * there.figures->worse().toe_change_max_rad;
  auto one_disc = wishes;
  for (auto& option : one_disc.options)
    if (option.axle == AxleName::rear && std::holds_alternative<OneOf>(option.choice))
      option.choice = OneOf{{flat.fit.part[1 - hole].left.size_mm}};
  const auto r = *rank(plain.stands, {}, AxleName::rear, one_disc).value;
  const auto maps = hole_maps(plain.stands, {}, one_disc, r, *r.best());
  bool anywhere = false;
  for (const auto& line : maps[0].meets)
    for (const bool meets : line) anywhere = anywhere || meets;
  EXPECT_TRUE(anywhere);
  EXPECT_TRUE(r.best()->meets());
  EXPECT_EQ(maps[0].hole_meets, r.best()->meets());
}

// Where the right side is only taken to be the mirror image, the chance says so beside it.
TEST(Wheels, AMirrorImageIsSaidBesideTheChance) {
  auto a = axles(demo_text("pip.toml"));
  for (auto& axle : a.adjusted.car.axle)
    for (auto& side : axle->side)
      for (auto& s : side.sigma_mm) s = {2.0, 2.0, 1.5};
  a.adjusted.spread = stated_spread(a.adjusted.car);
  const auto correction = correct(a.stands, a.adjusted.spread, a.wishes);
  const auto& front = *correction.at(AxleName::front);
  ASSERT_TRUE(front.chance_of_its_own_right && front.to_fit()->chance);
  EXPECT_LT(*front.chance_of_its_own_right, *front.to_fit()->chance);
  // Two wheels by themselves are both good at least as seldom as both chances say together, the
  // roll centre's mean apart.
  EXPECT_GT(*front.chance_of_its_own_right,
            0.3 * *front.to_fit()->chance * *front.to_fit()->chance);
  const auto told = tell(a.stands, correction, Units::metric);
  EXPECT_NE(
      told.answer.find("if the right side is the left one's mirror image; with a doubt of its "
                       "own:"),
      std::string::npos)
      << told.answer;
  // Measured on both sides there is nothing to add.
  const auto both = axles(demo_text("pip-survey.toml"));
  const auto measured =
      *correct_axle(both.stands, both.adjusted.spread, AxleName::rear, both.wishes).value;
  EXPECT_FALSE(measured.chance_of_its_own_right);
}

// With joints good to 40 mm no chance is named, whatever the sums would count.
TEST(Wheels, AGuessHasNoChance) {
  auto a = axles(demo_text("pip.toml"));
  for (auto& axle : a.adjusted.car.axle)
    for (auto& side : axle->side)
      for (auto& s : side.sigma_mm) s = {40.0, 40.0, 40.0};
  a.adjusted.spread = stated_spread(a.adjusted.car);
  const auto c = correct(a.stands, a.adjusted.spread, a.wishes);
  for (const AxleName name : each_axle) {
    const auto& axle = *c.at(name);
    EXPECT_TRUE(axle.ranking.guessed);
    for (const auto& x : axle.ranking.candidates) EXPECT_FALSE(x.chance);
    for (const auto& map : axle.maps) EXPECT_FALSE(map.is_room());
  }
  const auto answer = tell(a.stands, c, Units::metric).answer;
  EXPECT_EQ(answer.find("chances in"), std::string::npos) << answer;
  EXPECT_NE(answer.find("no chance is named while joints are guesses"), std::string::npos)
      << answer;
}

// ------------------------------------------------------------------ the file

std::string pip_with(const std::string& more) { return demo_text("pip.toml") + more; }

TEST(WheelsInAFile, SizesMayDifferBySide) {
  const auto a = axles(pip_with(
      "[front.chosen]\n\"ball-joint spacer\" = 25\n\"rod-end stack\" = { left = 27.5, right "
      "= \"1 in\" }\n[rear.chosen]\n\"toe-link bracket\" = { left = { z = -18 }, right = { "
      "y = 1, z = -15 } }\n"));
  EXPECT_TRUE(a.wishes.faults.empty());
  const auto& front = *a.wishes.chosen[0];
  EXPECT_EQ(front[1].part.left.size_mm, 27.5);
  EXPECT_EQ(front[1].part.right.size_mm, 25.4);
  const auto& rear = *a.wishes.chosen[1];
  EXPECT_EQ(rear[0].part.right.by_mm.y, 1.0);
  EXPECT_EQ(chosen_toml(a.wishes.options[rear[0].option], rear[0]),
            "{ left = { y = 0, z = -18 }, right = { y = 1, z = -15 } }");
  EXPECT_EQ(chosen_toml(front, a.wishes.options),
            "{ \"ball-joint spacer\" = 25, \"rod-end stack\" = { left = 27.5, right = 25.4 } }");
  // Judged wheel by wheel even where the right side is the mirror image.
  const auto c = correct(a.stands, {}, a.wishes);
  const auto& set = *c.at(AxleName::front)->to_fit();
  EXPECT_NE(set.figures->wheel.left.toe_change_max_rad,
            set.figures->wheel.right.toe_change_max_rad);
  EXPECT_EQ(c.at(AxleName::rear)->maps.size(), 2U);
}

TEST(WheelsInAFile, ASideLeftOpenIsAsked) {
  EXPECT_NE(faults_of(pip_with("[front.chosen]\n\"rod-end stack\" = { left = 27.5 }\n"))
                .find("says one side only, expected 'right' too"),
            std::string::npos);
  EXPECT_NE(
      faults_of(pip_with("[front.chosen]\n\"rod-end stack\" = { left = 27.5, rihgt = 20 }\n")), "");
}

}  // namespace
}  // namespace trammel::testing
