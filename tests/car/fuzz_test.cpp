// Whatever a file holds, reading it ends with a car or with faults: never a crash, never both,
// never neither. Mutations of the demo cars and of one car of each layout, from a fixed seed; the
// sanitizer build runs the same.

#include <gtest/gtest.h>

#include <random>

#include "car/wishes.h"
#include "cars.h"
#include "travel/sweep.h"

namespace trammel::testing {
namespace {

class Mutator {
 public:
  explicit Mutator(unsigned seed) : random_(seed) {}

  std::string mutated(std::string text) {
    const int times = pick(1, 4);
    for (int i = 0; i < times && !text.empty(); ++i) mutate(text);
    return text;
  }

 private:
  int pick(int low, int high) { return std::uniform_int_distribution<int>(low, high)(random_); }
  std::size_t place(const std::string& text) {
    return static_cast<std::size_t>(pick(0, static_cast<int>(text.size()) - 1));
  }
  void mutate(std::string& text) {
    static constexpr const char* pieces[] = {"[",
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
    switch (pick(0, 6)) {
      case 0:
        text.resize(place(text));
        break;
      case 1:
        text[place(text)] = static_cast<char>(pick(0, 255));
        break;
      case 2:
        text.insert(place(text), pieces[static_cast<std::size_t>(pick(0, std::size(pieces) - 1))]);
        break;
      case 3:
        text.erase(place(text), static_cast<std::size_t>(pick(1, 40)));
        break;
      case 4: {  // a line gone
        const auto from = text.rfind('\n', place(text));
        if (from == std::string::npos) break;
        text.erase(from, text.find('\n', from + 1) - from);
        break;
      }
      case 5: {  // a line twice
        const auto from = text.rfind('\n', place(text));
        if (from == std::string::npos) break;
        text.insert(from, text.substr(from, text.find('\n', from + 1) - from));
        break;
      }
      default: {  // a digit changed
        const auto at = text.find_first_of("0123456789", place(text));
        if (at != std::string::npos) text[at] = static_cast<char>('0' + pick(0, 9));
      }
    }
  }
  std::mt19937 random_;
};

TEST(Fuzz, AnyTextGivesACarOrFaults) {
  std::vector<std::string> sources;
  for (const char* name : {"pip.toml", "lark.toml"}) sources.push_back(demo_text(name));
  for (const auto& l : all_layouts) sources.emplace_back(l.text);
  Mutator mutator(20261125);
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
      ASSERT_TRUE(r.value) << r.why << text;
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
