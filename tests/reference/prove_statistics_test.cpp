// The step prove on thousands of made-up cars: runs from an independent solver (made_gauge_runs.py,
// nothing of Trammel in it), each taken through the whole adjustment and the joint test.
//
// Joints are drawn from the ± of the car file; a run as it sits and one with the parts fitted are
// read with dial noise, zeros, backlash and made parts off their size, all as the file states them.
// Then 1 % of honest runs should fail, and a joint that was moved by 2 mm in between should show;
// with a third dial a strut that was bent sideways as well.
#include <gtest/gtest.h>

#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <sstream>

#include "cars.h"
#include "measure/gauge_progress.h"
#include "prove/judge.h"
#include "prove/reasons.h"
#include "whole_set.h"

namespace trammel::testing {
namespace {

const int honest_cars = whole_set() ? 4000 : 1000;
const int bent_cars = whole_set() ? 400 : 200, leaning_cars = whole_set() ? 200 : 100;
// Of 4,000 runs of which 1 % fail, 40 do; three standard deviations either way are 21 and 59.
const double alarms_off = 3.0 * std::sqrt(0.01 * 0.99 / honest_cars);
// What to find it out takes: heights of the rod's ends, of the ball joint and of the arm's joint
// under the wheel are what bump steer is made of, and 2 mm of one of them is 0.05° per 25 mm or
// more (1432 over rod length times steering arm, own arithmetic), against 0.01° that a run as it
// sits leaves. Sideways and along the car 2 mm hardly steer, and no dial can show them.
constexpr double least_of_heights = 0.85, least_of_all = 0.15;
// 2 mm of the strut sideways are 0.06 mm at a low dial over the run, which no dial of 0.03 mm
// shows; 5 mm are 0.16 mm (own arithmetic: what an end of the strut moves over its length and the
// height that the wheel swings about), and change toe by less than its dials tell.
constexpr double most_of_leaning_by_two = 0.2, least_of_leaning_by_low = 0.7,
                 least_of_leaning_by_each = 0.9;

// What is read of the same runs: the difference of two dials, a low dial as well, or each of the
// three by itself.
enum class By { two, low, each };
constexpr std::array<By, 3> all_ways{By::two, By::low, By::each};
const char* words(By by) {
  return by == By::two ? "two dials" : by == By::low ? "with a low dial" : "three dials by places";
}
constexpr double drop_mm = 200.0, plate_mm = 60.0;  // as the script has them

struct MadeCar {
  enum class Kind { honest, bent, leaning };
  Kind kind = Kind::honest;
  int joint = 0, axis = 0;
  GaugeRun sits, after;
};

class MadeCars : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    // Processes may run beside each other.
    const std::string out = fmt::format("{}/made_gauge_runs_{}.csv", MADE_RUNS_FOLDER, ::getpid());
    const std::string line = std::string("/usr/bin/python3 -B ") + MADE_RUNS_SCRIPT + " " +
                             CARS_FOLDER + "/pip.toml " + out + " " + std::to_string(honest_cars) +
                             " " + std::to_string(bent_cars) + " " + std::to_string(leaning_cars);
    ASSERT_EQ(std::system(line.c_str()), 0);
    const auto text = demo_text("pip.toml");
    document_ = new Document(*parse(text).value);
    car_ = new Car(car_of(text));
    wishes_ = new Wishes(read_wishes(*document_, *car_));
    std::ifstream in(out);
    for (std::string row; std::getline(in, row);) {
      std::istringstream cells(row);
      std::vector<double> n;
      for (std::string cell; std::getline(cells, cell, ',');) n.push_back(std::stod(cell));
      cars_.push_back(made(n));
    }
    in.close();
    std::remove(out.c_str());
    ASSERT_EQ(cars_.size(), static_cast<std::size_t>(honest_cars + bent_cars + leaning_cars));
  }

  static MadeCar made(const std::vector<double>& n) {
    MadeCar m;
    m.kind = static_cast<MadeCar::Kind>(static_cast<int>(n[0]));
    m.joint = static_cast<int>(n[1]);
    m.axis = static_cast<int>(n[2]);
    std::size_t at = 3;
    for (auto* run : {&m.sits, &m.after}) {
      run->axle = AxleName::front;
      run->side = Side::left;
      run->base_mm = usual_base_mm;
      run->sigma_mm = usual_dial_sigma_mm;
      run->drag_rad_per_mm = usual_drag_rad_per_mm;
      for (const double travel : gauge_travels(gauge_end_mm, gauge_end_mm)) {
        run->rows.push_back({travel, n[at], n[at + 1], n[at + 2]});
        run->row_lines.push_back(0);
        at += 3;
      }
    }
    EXPECT_EQ(at, n.size());
    m.sits.name = "sits";
    m.after.name = "after";
    m.after.with.emplace();
    for (std::size_t k = 0; k < wishes_->options.size(); ++k) {
      const auto& name = wishes_->options[k].name;
      const double size = name == "ball-joint spacer" ? 25.0 : name == "rod-end stack" ? 27.5 : 0.0;
      if (size == 0.0) continue;
      Chosen c;
      c.option = k;
      c.part.left.size_mm = c.part.right.size_mm = size;
      m.after.with->push_back(c);
    }
    return m;
  }

  static GaugeRun read_by(GaugeRun run, By by) {
    if (by != By::two) run.drop_mm = drop_mm;
    if (by == By::each) run.places = DialPlaces{plate_mm, 0.0, 0.5 * run.base_mm};
    return run;
  }

  // The run with parts against the car as it is known, by the file or by its run as it sits too.
  static bool fails(const MadeCar& m, By by, bool with_run_as_it_sits) {
    Survey survey;
    if (with_run_as_it_sits) survey.gauges = {read_by(m.sits, by)};
    const auto known = adjust(*car_, survey);
    EXPECT_TRUE(known.value) << known.why;
    const auto stands = ride(known.value->car, nullptr);
    const auto after = read_by(m.after, by);
    const auto as = run_set_up(*stands.value, *wishes_, survey, after, *after.with);
    std::vector<double> travels;
    for (const auto& row : after.rows) travels.push_back(row.travel_mm);
    const auto model = run_model(*stands.value, as, travels);
    EXPECT_TRUE(model.value) << words(model.why, Units::metric);
    const auto& layout = car_->at(AxleName::front)->layout;
    const auto test = run_test(run_sums(after, *model.value, layout, known.value->spread, 0.0));
    return test.chance < false_alarm;
  }

  static inline Document* document_ = nullptr;
  static inline Car* car_ = nullptr;
  static inline Wishes* wishes_ = nullptr;
  static inline std::vector<MadeCar> cars_;
};

TEST_F(MadeCars, OneHonestRunInAHundredFails) {
  for (const By by : all_ways)
    for (const bool sits : {true, false}) {
      if (!sits && by != By::two) continue;  // nobody puts up a third dial for the second run alone
      int alarms = 0;
      for (const auto& m : cars_)
        if (m.kind == MadeCar::Kind::honest && fails(m, by, sits)) ++alarms;
      const double share = static_cast<double>(alarms) / honest_cars;
      std::cout << "false alarms, " << words(by) << (sits ? ", with" : ", without")
                << " a run as it sits: " << 100.0 * share << " %\n";
      EXPECT_NEAR(share, 0.01, alarms_off);
    }
}

TEST_F(MadeCars, AJointMovedByTwoMillimetresShows) {
  constexpr std::array<const char*, 7> joints{
      "ball joint",        "arm's front joint", "arm's rear joint", "rod's outer joint",
      "rod's inner joint", "strut's top",       "strut's foot"};
  const auto share = [](int n, int of) { return static_cast<double>(n) / of; };
  std::array<double, 3> of_all{}, of_heights{};
  for (const By by : all_ways) {
    std::array<std::array<int, 3>, 7> seen{}, unseen{};
    int with = 0, without = 0, bent = 0;
    for (const auto& m : cars_) {
      if (m.kind != MadeCar::Kind::bent) continue;
      ++bent;
      const bool shows = fails(m, by, true);
      with += shows ? 1 : 0;
      without += fails(m, by, false) ? 1 : 0;
      ++(shows ? seen
               : unseen)[static_cast<std::size_t>(m.joint)][static_cast<std::size_t>(m.axis)];
    }
    std::cout << "2 mm of a joint detected, " << words(by) << ": " << 100.0 * share(with, bent)
              << " % with a run as it sits, " << 100.0 * share(without, bent) << " % without\n";
    for (std::size_t j = 0; j < joints.size(); ++j)
      for (std::size_t k = 0; k < 3; ++k)
        std::cout << "  " << joints[j] << " "
                  << "xyz"[k] << ": " << seen[j][k] << " of " << seen[j][k] + unseen[j][k] << "\n";
    int heights = 0, of = 0;
    for (const std::size_t j : {0U, 1U, 3U, 4U}) {
      heights += seen[j][2];
      of += seen[j][2] + unseen[j][2];
    }
    const auto way = static_cast<std::size_t>(by);
    of_all[way] = share(with, bent);
    of_heights[way] = share(heights, of);
    std::cout << "  of those that make bump steer: " << 100.0 * of_heights[way] << " %\n";
    EXPECT_GT(of_all[way], least_of_all);
    EXPECT_GT(of_heights[way], least_of_heights);
    // The survey alone is too coarse for it: that is why a run as it sits comes first.
    EXPECT_LT(without, with);
  }
}

TEST_F(MadeCars, AStrutBentSidewaysShowsByAThirdDial) {
  std::array<double, 3> found{};
  for (const By by : all_ways) {
    int seen = 0;
    for (const auto& m : cars_)
      if (m.kind == MadeCar::Kind::leaning && fails(m, by, true)) ++seen;
    auto& share = found[static_cast<std::size_t>(by)];
    share = static_cast<double>(seen) / leaning_cars;
    std::cout << "5 mm of the strut sideways detected, " << words(by) << ": " << 100.0 * share
              << " %\n";
  }
  const auto of = [&](By by) { return found[static_cast<std::size_t>(by)]; };
  EXPECT_LT(of(By::two), most_of_leaning_by_two);
  EXPECT_GT(of(By::low), least_of_leaning_by_low);
  EXPECT_GT(of(By::each), least_of_leaning_by_each);
}

}  // namespace
}  // namespace trammel::testing
