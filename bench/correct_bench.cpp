// What the ranking costs: a thousand combinations of parts on the strut corner, each with its
// joints moved, its toe rod set back and its curve swept over -30 to 40 mm; and one made joint put
// where it is best. Beside it TinySolver solving as many positions of the same corner, warm from
// the neighbour, and nothing else: no reset, no readings.
#include <benchmark/benchmark.h>

#include <string>

#include "cars.h"
#include "correct/correct.h"
#include "sheet/sheet.h"
#include "tiny_strut.h"

namespace trammel::testing {
namespace {

struct Asked {
  explicit Asked(const std::string& text)
      : document(*parse(text).value),
        car(*read_car(document).value),
        wishes(read_wishes(document, car)),
        stands(*ride(car, nullptr).value) {}
  Document document;
  Car car;
  Wishes wishes;
  Ride stands;
};

std::string steps(int n, double step) {
  std::string list;
  for (int i = 0; i < n; ++i) list += (i ? ", " : "") + std::to_string(i * step);
  return list;
}

const Asked& thousand() {
  static const Asked asked(
      std::string(strut_text) +
      "[front.adjust]\ntoe = { rod = \"steering\" }\n[front.target]\nwindow = [-30, 40]\n"
      "[[option]]\nname = \"disc\"\njoint = \"front.arm.lower.upright\"\nalong = [0, 0, -1]\n"
      "sizes = [" +
      steps(25, 1.0) +
      "]\n"
      "[[option]]\nname = \"stack\"\njoint = \"front.rod.steering.upright\"\n"
      "along = [0, 0, -1]\nsizes = [" +
      steps(40, 1.0) + "]\n");
  return asked;
}

constexpr std::size_t positions_each = 71;

void rank_thousand(benchmark::State& state) {
  const auto& a = thousand();
  std::size_t candidates = 0;
  for (auto _ : state) {
    const auto r = rank(a.stands, {}, AxleName::front, a.wishes);
    candidates = r.value->candidates.size();
    benchmark::DoNotOptimize(r.value->candidates.front().share);
  }
  state.SetItemsProcessed(state.iterations() *
                          static_cast<std::int64_t>(candidates * positions_each));
}
BENCHMARK(rank_thousand)->Unit(benchmark::kMillisecond);

// Grows linearly with the number of combinations.
void rank_of(benchmark::State& state) {
  auto a = thousand();
  std::get<OneOf>(a.wishes.options[0].choice)
      .sizes_mm.resize(static_cast<std::size_t>(state.range(0)));
  for (auto _ : state)
    benchmark::DoNotOptimize(
        rank(a.stands, {}, AxleName::front, a.wishes).value->candidates.size());
  state.SetComplexityN(state.range(0));
}
BENCHMARK(rank_of)
    ->Arg(5)
    ->Arg(10)
    ->Arg(20)
    ->Complexity(benchmark::oN)
    ->Unit(benchmark::kMillisecond);

void tiny_solver_same_positions(benchmark::State& state) {
  const auto car = car_of(strut_text);
  const auto& axle = *car.at(AxleName::front);
  TinyStrut tiny(build(axle.layout, axle.at(Side::left).numbers));
  for (int i = 0; i <= 30; ++i) tiny.put(-i);  // to where the first sweep begins
  bool found = true;
  for (auto _ : state)
    for (int candidate = 0; candidate < 1000; ++candidate)
      for (int i = 0; i < static_cast<int>(positions_each); ++i)
        found &= tiny.put(candidate % 2 == 0 ? -30.0 + i : 40.0 - i);  // up, then down again
  if (!found) state.SkipWithError("no position");
  state.SetItemsProcessed(state.iterations() * 1000 * static_cast<std::int64_t>(positions_each));
}
BENCHMARK(tiny_solver_same_positions)->Unit(benchmark::kMillisecond);

void whole_sheet(benchmark::State& state) {
  const auto text = demo_text("pip.toml");
  for (auto _ : state) {
    Worked worked(*read_car_file(text).value);
    benchmark::DoNotOptimize(build_sheet(worked, Units::metric).value->size());
  }
}
BENCHMARK(whole_sheet)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace trammel::testing

BENCHMARK_MAIN();
