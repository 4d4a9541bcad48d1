// Whether two builds of the core say the same: `alike` writes what it makes of the demo cars as
// JSON, `alike FILE` makes it again and holds it against what another build wrote.
//
// Native and WebAssembly sines, logarithms and the like differ by one unit in the last place in
// some of a hundred cases. All else is the same: samples are drawn by the same integers.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

#include "correct/advice.h"
#include "correct/reasons.h"
#include "file/wishes.h"
#include "travel/freedom.h"
#include "travel/reasons.h"
#include "travel/tell.h"
#include "wire/check_json.h"
#include "wire/correct_json.h"
#include "wire/measure_json.h"
#include "wire/travel_json.h"

namespace trammel {
namespace {

using Json = nlohmann::ordered_json;

// Of a number's size, or of 1 where it is smaller (mm, degrees). Farthest apart, by 1e-10, are the
// angle of a strut's top that hardly bends (an arc cosine near 1) and roll centres (sums of a
// metre over a rate of a hundredth). A sample that fell on the other side of a limit would show as
// 1 in 2000.
constexpr double same = 1e-9;

constexpr int band_samples = 2000;
constexpr const char* car_files[] = {"pip.toml",          "nibbet.toml",
                                     "pip-as-built.toml", "nibbet-as-built.toml",
                                     "pip-survey.toml",   "nibbet-survey.toml"};

Json travel_of(const Adjusted& adjusted, AxleName axle, const RideState* state) {
  const auto stands = ride(adjusted.car, state);
  if (!stands.value) return words(stands.why, Units::metric);
  Ask ask;
  for (int t = -60; t <= 60; t += 10) ask.travel_mm.push_back(t);
  const auto swept = sweep(*stands.value, axle, ask);
  const auto banded = bands(*stands.value, adjusted.spread, axle,
                            {ask.travel_mm, told_bands(), 0.0, band_samples, 1});
  return to_json(swept, banded, Side::left, adjusted.car.at(axle)->layout);
}

Json of_car(const std::string& file) {
  std::ifstream in(std::string(CARS_FOLDER) + "/" + file, std::ios::binary);
  const auto document = parse({std::istreambuf_iterator<char>(in), {}});
  const auto car = document.value ? read_car(*document.value) : decltype(read_car({})){};
  if (!car.value) return "not a car";
  const auto adjusted = adjust(*car.value, read_survey(*document.value, *car.value));
  if (!adjusted.value) return adjusted.why;

  Json j;
  j["car"] = to_json(adjusted.value->car);
  j["measure"] = to_json(*adjusted.value);
  const auto wishes = read_wishes(*document.value, adjusted.value->car);
  const auto stands = ride(adjusted.value->car, nullptr);
  for (const AxleName axle : {AxleName::front, AxleName::rear}) {
    if (!car.value->at(axle)) continue;
    auto& to = j[word(axle)];
    to["travel"]["as_measured"] = travel_of(*adjusted.value, axle, nullptr);
    for (const auto& state : adjusted.value->car.states)
      to["travel"][state.name] = travel_of(*adjusted.value, axle, &state);
    if (!stands.value) continue;
    const auto c = correct_axle(*stands.value, adjusted.value->spread, axle, wishes);
    to["correct"] = c.value ? to_json(*c.value) : Json(words(c.why, Units::metric));
  }
  return j;
}

struct Difference {
  double by = 0.0;  // of the number's size, or of 1
  std::string where;
};

// The largest of numbers; anything else that differs is infinitely far off.
void compare(const Json& a, const Json& b, const std::string& where, Difference& largest,
             std::size_t& numbers) {
  double by = 0.0;
  if (a.is_number() && b.is_number()) {
    ++numbers;
    const double x = a.get<double>(), y = b.get<double>();
    by = std::fabs(x - y) / std::max({1.0, std::fabs(x), std::fabs(y)});
  } else if (a.is_structured() && a.type() == b.type() && a.size() == b.size()) {
    auto of_b = b.items().begin();
    for (const auto& [key, value] : a.items()) {
      if (key != of_b.key()) by = HUGE_VAL;
      compare(value, of_b.value(), where + "/" + key, largest, numbers);
      ++of_b;
    }
  } else if (a != b) {
    by = HUGE_VAL;
  }
  if (by > largest.by) largest = {by, where};
}

int run(int argc, char** argv) {
  Json ours;
  for (const auto* file : car_files) ours[file] = of_car(file);
  // As the other build wrote it: what is no number is null there.
  ours = Json::parse(ours.dump());
  if (argc < 2) {
    std::cout << ours.dump(1) << "\n";
    return 0;
  }
  std::ifstream in(argv[1]);
  const auto theirs = Json::parse(in, nullptr, false);
  Difference largest;
  std::size_t numbers = 0;
  compare(ours, theirs, "", largest, numbers);
  std::printf("%zu numbers, the farthest differs by %.1e: %s\n", numbers, largest.by,
              largest.where.c_str());
  return numbers > 0 && largest.by <= same ? 0 : 1;
}

}  // namespace
}  // namespace trammel

int main(int argc, char** argv) { return trammel::run(argc, argv); }
