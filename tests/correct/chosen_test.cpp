// What the owner settles on: [axle.chosen], read, judged and told beside the best.
#include <gtest/gtest.h>

#include "cars.h"
#include "correct/correct.h"
#include "file/edit.h"
#include "measure/adjustment.h"

namespace trammel {
namespace {

using testing::demo_text;
using testing::faults_of;

std::string pip_with(const std::string& more) { return demo_text("pip.toml") + more; }

TEST(Chosen, SlipsAreSaidWithTheNearestOption) {
  const auto first = [](const std::string& more) { return faults_of(pip_with(more)); };
  EXPECT_NE(first("[front.chosen]\n\"ball joint spacer\" = 20\n").find("ball-joint spacer"),
            std::string::npos);
  EXPECT_NE(first("[front.chosen]\n\"toe-link bracket\" = { z = -3 }\n").find("toe-link bracket"),
            std::string::npos);  // an option of the other axle
  EXPECT_NE(first("[rear.chosen]\n\"toe-link bracket\" = { z = -50 }\n")
                .find("outside the option's range, expected -40 to 0 mm"),
            std::string::npos);
  EXPECT_NE(first("[rear.chosen]\n\"toe-link bracket\" = { x = 1 }\n").find("x"),
            std::string::npos);
  EXPECT_NE(first("[rear.chosen]\n\"toe-link bracket\" = 12\n"), "");
  EXPECT_NE(first("[front.chosen]\n\"ball-joint spacer\" = \"3 kg\"\n"), "");
  EXPECT_EQ(first("[front.chosen]\n\"ball-joint spacer\" = \"1/2 in\"\n"), "");
}

struct Corrected {
  explicit Corrected(const std::string& text) {
    auto document = parse(text);
    Car car = std::move(*read_car(*document.value).value);
    wishes = read_wishes(*document.value, car);
    adjusted = std::move(*adjust(car, read_survey(*document.value, car)).value);
    stands = std::move(*ride(adjusted.car, nullptr).value);
    correction = correct(stands, adjusted.spread, wishes);
  }
  const AxleCorrection& at(AxleName a) const { return *correction.at(a); }
  Wishes wishes;
  Adjusted adjusted;
  Ride stands;
  Correction correction;
};

TEST(Chosen, TheBestWhenChosenIsJudgedAsTheBestIs) {
  const Corrected plain(pip_with(""));
  const auto& best = *plain.at(AxleName::front).ranking.best();
  auto text = pip_with("");
  const auto& shelf = plain.at(AxleName::front).ranking.shelf;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i)
    text = put(*parse(text).value, "front.chosen." + key_text(shelf.choices[i].option.name),
               shortest(best.fit.part[i].left.size_mm))
               .value->text;
  const Corrected chosen(text);
  const auto& c = chosen.at(AxleName::front);
  ASSERT_TRUE(c.chosen);
  EXPECT_TRUE(c.chosen->equal_to_best);
  EXPECT_EQ(c.chosen->chance, best.chance);  // counted on the same cars
  EXPECT_EQ(c.chosen->figures->wheel.left.toe_change_max_rad,
            best.figures->wheel.left.toe_change_max_rad);
  EXPECT_FALSE(chosen.at(AxleName::rear).chosen);
}

TEST(Chosen, EverythingIsAboutTheChosenSet) {
  const Corrected c(pip_with(
      "[rear.chosen]\n\"lateral-arm spacer\" = 12.5\n\"toe-link bracket\" = { z = -18 }\n"));
  const auto& rear = c.at(AxleName::rear);
  ASSERT_TRUE(rear.chosen && rear.chosen->figures);
  EXPECT_EQ(rear.to_fit(), &*rear.chosen);
  EXPECT_EQ(rear.chosen->fit.part[0].left.size_mm, 12.5);  // not on the shelf: somebody turns one
  ASSERT_EQ(rear.maps.size(), 1U);
  EXPECT_EQ(rear.maps[0].hole_mm[1], -18.0);
  const auto told = tell(c.stands, c.correction, Units::metric);
  EXPECT_NE(told.answer.find("Rear, as chosen: 12.5 mm lateral-arm spacer"), std::string::npos)
      << told.answer;
  EXPECT_NE(told.answer.find("The best found is"), std::string::npos) << told.answer;
  // The car with its parts is the one with the chosen set.
  const auto fitted_car = with_parts(c.stands, c.correction, c.wishes);
  const auto alone = with_set(c.stands, rear.ranking, rear.chosen->fit, c.wishes);
  EXPECT_EQ(fitted_car.at(AxleName::rear)->at(Side::left).toe_rod_mm,
            alone.at(AxleName::rear)->at(Side::left).toe_rod_mm);
}

TEST(Chosen, ASetThatLeavesTheRodAloneGetsItsStopSign) {
  const Corrected c(pip_with("[front.chosen]\n\"ball-joint spacer\" = 25\n"));
  const auto& front = c.at(AxleName::front);
  ASSERT_TRUE(front.chosen);
  EXPECT_TRUE(front.chosen->stop);
}

}  // namespace
}  // namespace trammel
