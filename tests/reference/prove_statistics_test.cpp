// The step prove on thousands of made-up cars: runs from an independent solver (made_gauge_runs.py,
// nothing of Trammel in it), each taken through the whole adjustment and the joint test.
//
// Joints are drawn from the ± of the car file; a run as it sits and one with the parts fitted are
// read with dial noise, zeros, backlash and made parts off their size, all as the file states them.
// Then 1 % of honest runs should fail, and a joint that was moved by 2 mm in between should show.
#include <gtest/gtest.h>

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <sstream>

#include "cars.h"
#include "measure/gauge_progress.h"
#include "prove/judge.h"

namespace trammel::testing {
namespace {

constexpr int honest_cars = 4000, bent_cars = 400;
// Of 4,000 runs of which 1 % fail, 40 do; three standard deviations either way are 21 and 59.
constexpr double least_alarms = 0.005, most_alarms = 0.015;
// What to find it out takes: heights of the rod's ends, of the ball joint and of the arm's joint
// under the wheel are what bump steer is made of, and 2 mm of one of them is 0.05° per 25 mm or
// more (1432 over rod length times steering arm, own arithmetic), against 0.01° that a run as it
// sits leaves. Sideways and along the car 2 mm hardly steer, and no dial can show them.
constexpr double least_of_heights = 0.85, least_of_all = 0.15;

struct MadeCar {
  bool bent = false;
  int joint = 0, axis = 0;
  GaugeRun sits, after;
};

class MadeCars : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    // Each test is a process of its own and may run beside the other.
    const std::string out = fmt::format("{}/made_gauge_runs_{}.csv", MADE_RUNS_FOLDER, ::getpid());
    const std::string line = std::string("/usr/bin/python3 -B ") + MADE_RUNS_SCRIPT + " " +
                             CARS_FOLDER + "/pip.toml " + out + " " + std::to_string(honest_cars) +
                             " " + std::to_string(bent_cars);
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
    ASSERT_EQ(cars_.size(), static_cast<std::size_t>(honest_cars + bent_cars));
  }

  static MadeCar made(const std::vector<double>& n) {
    MadeCar m;
    m.bent = n[0] != 0.0;
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
        run->rows.push_back({travel, n[at], n[at + 1], {}});
        run->row_lines.push_back(0);
        at += 2;
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
      c.size_mm = size;
      m.after.with->push_back(c);
    }
    return m;
  }

  // The run with parts against the car as it is known, by the file or by its run as it sits too.
  static bool fails(const MadeCar& m, bool with_run_as_it_sits) {
    Survey survey;
    if (with_run_as_it_sits) survey.gauges = {m.sits};
    const auto known = adjust(*car_, survey);
    EXPECT_TRUE(known.value) << known.why;
    const auto stands = ride(known.value->car, nullptr);
    const auto as = run_set_up(*stands.value, *wishes_, survey, m.after, *m.after.with);
    std::vector<double> travels;
    for (const auto& row : m.after.rows) travels.push_back(row.travel_mm);
    const auto model = run_model(*stands.value, as, travels);
    EXPECT_TRUE(model.value) << model.why;
    const auto& layout = car_->at(AxleName::front)->layout;
    const auto test = run_test(run_sums(m.after, *model.value, layout, known.value->spread, 0.0));
    return test.chance < false_alarm;
  }

  static inline Document* document_ = nullptr;
  static inline Car* car_ = nullptr;
  static inline Wishes* wishes_ = nullptr;
  static inline std::vector<MadeCar> cars_;
};

TEST_F(MadeCars, OneHonestRunInAHundredFails) {
  for (const bool sits : {true, false}) {
    int alarms = 0;
    for (const auto& m : cars_)
      if (!m.bent && fails(m, sits)) ++alarms;
    const double share = static_cast<double>(alarms) / honest_cars;
    std::cout << "false alarms " << (sits ? "with" : "without")
              << " a run as it sits: " << 100.0 * share << " %\n";
    EXPECT_GT(share, least_alarms);
    EXPECT_LT(share, most_alarms);
  }
}

TEST_F(MadeCars, AJointMovedByTwoMillimetresShows) {
  constexpr std::array<const char*, 7> joints{
      "ball joint",        "arm's front joint", "arm's rear joint", "rod's outer joint",
      "rod's inner joint", "strut's top",       "strut's foot"};
  std::array<std::array<int, 3>, 7> seen{}, unseen{};
  int with = 0, without = 0, bent = 0;
  for (const auto& m : cars_) {
    if (!m.bent) continue;
    ++bent;
    const bool shows = fails(m, true);
    with += shows ? 1 : 0;
    without += fails(m, false) ? 1 : 0;
    ++(shows ? seen : unseen)[static_cast<std::size_t>(m.joint)][static_cast<std::size_t>(m.axis)];
  }
  const auto share = [](int n, int of) { return static_cast<double>(n) / of; };
  std::cout << "2 mm of a joint detected: " << 100.0 * share(with, bent)
            << " % with a run as it sits, " << 100.0 * share(without, bent) << " % without\n";
  for (std::size_t j = 0; j < joints.size(); ++j)
    for (std::size_t k = 0; k < 3; ++k)
      std::cout << "  " << joints[j] << " "
                << "xyz"[k] << ": " << seen[j][k] << " of " << seen[j][k] + unseen[j][k] << "\n";
  EXPECT_GT(share(with, bent), least_of_all);
  int heights = 0, of = 0;
  for (const std::size_t j : {0U, 1U, 3U, 4U}) {
    heights += seen[j][2];
    of += seen[j][2] + unseen[j][2];
  }
  std::cout << "  of those that make bump steer: " << 100.0 * share(heights, of) << " %\n";
  EXPECT_GT(share(heights, of), least_of_heights);
  // The survey alone is too coarse for it: that is why a run as it sits comes first.
  EXPECT_LT(without, with);
}

}  // namespace
}  // namespace trammel::testing
