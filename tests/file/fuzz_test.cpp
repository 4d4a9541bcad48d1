// Whatever a file holds, reading it ends with a car or with faults: never a crash, never both,
// never neither. Mutations of the demo cars and of one car of each layout, from a fixed seed; the
// sanitizer build runs the same.

#include <gtest/gtest.h>

#include "cars.h"
#include "file/wishes.h"
#include "mutator.h"
#include "travel/reasons.h"
#include "travel/sweep.h"

namespace trammel::testing {
namespace {

const std::vector<std::string> pieces{"[",
                                      "]",
                                      "\"",
                                      "=",
                                      "nan",
                                      "-inf",
                                      "1e308",
                                      "0",
                                      "\n",
                                      "#",
                                      "[[option]]\n",
                                      "± ",
                                      "{",
                                      "}",
                                      "[front.rod.more]\nbody=[0,1,2]\nupright=[3,4,5]\n",
                                      "true",
                                      "°",
                                      "\xff",
                                      "on = \"arm.lower\"\n",
                                      "[rear.swing.a]\n",
                                      "9999999999999999999",
                                      "steered = true\n",
                                      "[front.right.wheel]\n",
                                      "''"};

TEST(Fuzz, AnyTextGivesACarOrFaults) {
  std::vector<std::string> sources;
  for (const char* name : {"pip.toml", "nibbet.toml"}) sources.push_back(demo_text(name));
  for (const auto& l : all_layouts) sources.emplace_back(l.text);
  Mutator mutator(20261125, pieces, 4);
  int cars = 0, faults = 0;
  for (int i = 0; i < 6000; ++i) {
    const auto text = mutator.mutated(sources[static_cast<std::size_t>(i) % sources.size()]);
    auto document = parse(text);
    ASSERT_NE(document.value.has_value(), !document.faults.empty());
    if (!document.value) {
      ASSERT_EQ(document.faults.size(), 1U);  // a syntax fault comes alone
      ++faults;
      continue;
    }
    const auto car = read_car(*document.value);
    ASSERT_NE(car.value.has_value(), !car.faults.empty()) << text;
    for (const auto& f : car.faults) {
      ASSERT_FALSE(f.what.empty());
      ASSERT_GE(f.line, 1) << f.what;
    }
    if (!car.value) {
      ++faults;
      continue;
    }
    ++cars;
    // What is read can be asked.
    for (const AxleName axle : {AxleName::front, AxleName::rear}) {
      if (!car.value->at(axle)) continue;
      const auto r = ride(*car.value, nullptr);
      ASSERT_TRUE(r.value) << words(r.why, Units::metric) << text;
      const auto s = sweep(*r.value, axle, {{-300, -10, 0, 25, 400}, 0, 0.03});
      for (const auto& p : s.positions)
        for (std::size_t side = 0; side < 2; ++side) {
          ASSERT_NE(p.side[side].has_value(), p.locked[side].has_value());
          if (p.side[side]) {
            ASSERT_TRUE(std::isfinite((*p.side[side])[Reading::toe])) << text;
          }
        }
    }
  }
  // The mutations must reach both ends.
  EXPECT_GT(cars, 300);
  EXPECT_GT(faults, 3000);
}

}  // namespace
}  // namespace trammel::testing
