// What a survey, a band and a chance cost.
//
// The survey's peer is Ceres' TinySolver on the same rows and derivatives, dense, from the same
// start: it gives the joints alone. Ours adds their covariance, the test of every reading, and the
// sums again for each misread value that is left out.
#include <benchmark/benchmark.h>
#include <ceres/tiny_solver.h>

#include <Eigen/Dense>
#include <string>

#include "cars.h"
#include "correct/advice.h"
#include "measure/adjustment.h"
#include "measure/network.h"

namespace trammel::testing {
namespace {

struct Surveyed {
  explicit Surveyed(const std::string& text)
      : document(*parse(text).value), car(car_of(text)), survey(read_survey(document, car)) {}
  Document document;
  Car car;
  Survey survey;
};
const Surveyed& hatch() {
  static const Surveyed s(demo_text("pip-survey.toml"));
  return s;
}
const Surveyed& roadster() {
  static const Surveyed s(demo_text("nibbet-survey.toml"));
  return s;
}
// Some 160 readings that agree, both axles and both sides, no gauge run.
const Surveyed& plain() {
  static const Surveyed s = [] {
    Surveyed made(demo_text("pip-survey.toml"));
    const auto found = *adjust(made.car, made.survey).value;
    for (std::size_t i = 0; i < found.readings.size(); ++i)
      made.survey.readings[i].set_aside = found.readings[i].left_out;
    for (auto& g : made.survey.gauges) g.set_aside = true;
    return made;
  }();
  return s;
}

void survey(benchmark::State& state, const Surveyed& s) {
  std::size_t taken = 0;
  for (auto _ : state) {
    const auto a = adjust(s.car, s.survey);
    taken = a.value->taken;
    benchmark::DoNotOptimize(a.value->chi_square);
  }
  state.counters["readings"] = static_cast<double>(taken);
}

// Dense rows for the general solver.
struct Dense {
  using Scalar = double;
  enum { NUM_RESIDUALS = Eigen::Dynamic, NUM_PARAMETERS = Eigen::Dynamic };
  Dense(const Network& n, const LeftOut& o) : net(n), out(o) {
    net.rows(net.start(), out, rows);
    row_count = static_cast<int>(rows.size());
  }
  int NumResiduals() const { return row_count; }
  int NumParameters() const { return static_cast<int>(net.unknowns().size()); }
  bool operator()(const double* x, double* residuals, double* jacobian) const {
    const std::vector<double> at(x, x + NumParameters());
    if (!net.rows(at, out, rows)) return false;
    if (jacobian) std::fill_n(jacobian, row_count * NumParameters(), 0.0);
    for (int i = 0; i < row_count; ++i) {
      const auto& r = rows[static_cast<std::size_t>(i)];
      residuals[i] = r.off;
      if (jacobian)
        for (const auto& s : r.slopes) jacobian[s.unknown * row_count + i] += s.per;
    }
    return true;
  }
  const Network& net;
  const LeftOut& out;
  int row_count = 0;
  mutable std::vector<Row> rows;
};

void survey_tiny_solver(benchmark::State& state, const Surveyed& s) {
  const Network net(s.car, s.survey);
  const auto out = net.nothing_left_out();
  const Dense dense(net, out);
  const auto start = net.start();
  double cost = 0.0;
  for (auto _ : state) {
    ceres::TinySolver<Dense> solver;
    Eigen::VectorXd x =
        Eigen::Map<const Eigen::VectorXd>(start.data(), static_cast<Eigen::Index>(start.size()));
    cost = solver.Solve(dense, &x).final_cost;
    benchmark::DoNotOptimize(x.data());
  }
  // The same minimum, or the times say nothing.
  const auto ours = adjust(s.car, s.survey);
  if (std::fabs(2.0 * cost - ours.value->chi_square) > 1e-3 * ours.value->chi_square)
    state.SkipWithError("ended elsewhere");
}

// The same readings over and over: linear in their number.
void survey_of(benchmark::State& state) {
  Surveyed s(demo_text("pip-survey.toml"));
  s = plain();
  const auto once = s.survey.readings;
  for (int i = 1; i < state.range(0); ++i)
    s.survey.readings.insert(s.survey.readings.end(), once.begin(), once.end());
  for (auto _ : state) benchmark::DoNotOptimize(adjust(s.car, s.survey).value->chi_square);
  state.SetComplexityN(state.range(0));
}

BENCHMARK_CAPTURE(survey, hatch_without_gauge_or_slips, plain())->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(survey_tiny_solver, hatch_without_gauge_or_slips, plain())
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(survey, hatch, hatch())->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(survey, roadster, roadster())->Unit(benchmark::kMillisecond);
BENCHMARK(survey_of)->Arg(1)->Arg(2)->Arg(4)->Arg(8)->Complexity()->Unit(benchmark::kMillisecond);

// ------------------------------------------------------------------ bands

const BandAsk& toe_band() {
  static const BandAsk ask = [] {
    BandAsk a{{}, {{Reading::toe, true}}, 0.0, 2000, 1};
    for (int i = -16; i <= 16; ++i) a.travel_mm.push_back(2.5 * i);
    return a;
  }();
  return ask;
}

// 2,000 cars at 33 positions: the band of toe, 5-50-95 % exact.
void band(benchmark::State& state, const NamedText& layout) {
  auto car = car_of(layout.text);
  for (auto& axle : car.axle)
    if (axle)
      for (auto& side : axle->side)
        for (auto& s : side.sigma_mm) s = {2.0, 2.0, 1.5};
  const auto spread = stated_spread(car);
  const auto stands = *ride(car, nullptr).value;
  for (auto _ : state)
    benchmark::DoNotOptimize(bands(stands, spread, layout.axle, toe_band()).side[0][0][0]);
  state.SetItemsProcessed(state.iterations() * 2000 * 33);
}

void band_of_samples(benchmark::State& state) {
  auto car = demo("pip.toml");
  const auto spread = stated_spread(car);
  const auto stands = *ride(car, nullptr).value;
  auto ask = toe_band();
  ask.samples = static_cast<int>(state.range(0));
  for (auto _ : state)
    benchmark::DoNotOptimize(bands(stands, spread, AxleName::front, ask).side[0][0][0]);
  state.SetComplexityN(state.range(0));
}
BENCHMARK(band_of_samples)
    ->RangeMultiplier(4)
    ->Range(500, 32000)
    ->Complexity(benchmark::oN)
    ->Unit(benchmark::kMillisecond);

// ------------------------------------------------------------------ chances

struct Thousand {
  Thousand() {
    std::string sizes[2];
    for (int i = 0; i < 40; ++i) {
      sizes[1] += (i ? ", " : "") + std::to_string(i);
      if (i < 25) sizes[0] += (i ? ", " : "") + std::to_string(i);
    }
    const auto text = std::string(strut_text) +
                      "[front.target]\nwindow = [-36, 36]\ntoe_change = 0.2\n"
                      "[front.adjust]\ntoe = { rod = \"steering\", pitch = 1.5 }\n"
                      "[[option]]\nname = \"disc\"\njoint = \"front.arm.lower.upright\"\n"
                      "along = [0, 0, -1]\nsizes = [" +
                      sizes[0] +
                      "]\n[[option]]\nname = \"stack\"\njoint = \"front.rod.steering.upright\"\n"
                      "along = [0, 0, -1]\nsizes = [" +
                      sizes[1] + "]\n";
    document = *parse(text).value;
    car = car_of(text);
    for (auto& side : car.at(AxleName::front)->side)
      for (auto& s : side.sigma_mm) s = {2.0, 2.0, 1.5};
    spread = stated_spread(car);
    wishes = read_wishes(document, car);
    stands = *ride(car, nullptr).value;
    ranking = *rank(stands, {}, AxleName::front, wishes).value;
    for (const auto& c : ranking.candidates) fits.push_back(c.fit);
  }
  Document document;
  Car car;
  Spread spread;
  Wishes wishes;
  Ride stands;
  Ranking ranking;
  std::vector<Fit> fits;
};

// 1,000 candidates, each fitted to the same 200 cars, toe reset, swept over 17 positions.
void chances_of_thousand(benchmark::State& state) {
  static const Thousand t;
  const auto samples = static_cast<int>(state.range(0));
  for (auto _ : state) {
    DrawnAxle cars(t.stands, t.spread, AxleName::front, t.wishes.target[0], 1);
    benchmark::DoNotOptimize(met(cars, t.ranking.shelf, t.fits, samples));
  }
  state.SetItemsProcessed(state.iterations() * samples * static_cast<std::int64_t>(t.fits.size()) *
                          17);
  state.SetComplexityN(samples);
}
BENCHMARK(chances_of_thousand)
    ->Arg(50)
    ->Arg(100)
    ->Arg(200)
    ->Complexity(benchmark::oN)
    ->Unit(benchmark::kMillisecond);

void advice(benchmark::State& state) {
  const Surveyed s(demo_text("pip.toml"));
  const auto a = *adjust(s.car, s.survey).value;
  const auto wishes = read_wishes(s.document, s.car);
  const auto stands = *ride(a.car, nullptr).value;
  const auto ranking = *rank(stands, a.spread, AxleName::front, wishes).value;
  for (auto _ : state)
    benchmark::DoNotOptimize(
        what_next(stands, a.spread, AxleName::front, &ranking, wishes.target[0], NarrowWhat::chance)
            .best.size());
}
BENCHMARK(advice)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace trammel::testing

int main(int argc, char** argv) {
  using namespace trammel::testing;
  for (const auto& layout : all_layouts)
    benchmark::RegisterBenchmark((std::string("band/") + layout.name).c_str(),
                                 [&](benchmark::State& s) { band(s, layout); })
        ->Unit(benchmark::kMillisecond);
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  return 0;
}
