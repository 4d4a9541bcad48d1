// What one position costs: one solved upright, from its neighbour 5 mm of travel away, in a sweep
// up and down between -60 and 60 mm.
//
// Ours (double, lanes, band) is timed with every reading of the corner. The general solvers are
// timed for the position alone, warm from the neighbour, until their equations hold to
// `peer_tolerance_mm`; ours go to 1e-12 mm. Ceres gets the same six equations and its derivatives
// by automatic differentiation; its solver is a template, compiled here with the same flags.
// Simbody gets the same joints; its library is Debian's, which has its assertions on, and a tenth
// of its time is being told the new height.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "cars.h"
#include "reference/simbody_corner.h"
#include "tiny_strut.h"
#include "travel/readings.h"

namespace trammel::testing {
namespace {

constexpr double step_mm = 5.0, end_mm = 60.0;
// All must stand in the same place, or the times say nothing.
constexpr double agreement_mm = 1e-6;

// A measuring tape's error, for cars that differ in every coordinate.
constexpr double sampled_sigma_mm = 1.5;
constexpr std::size_t band_cars = 2000;
constexpr int band_positions_each_way = 16;

// Up and down between the ends.
class Travel {
 public:
  double next() {
    if (std::fabs(mm_ + by_) > end_mm) by_ = -by_;
    return mm_ += by_;
  }

 private:
  double mm_ = 0.0, by_ = step_mm;
};

struct Corner {
  explicit Corner(const NamedText& named) : axle(*car_of(named.text).at(named.axle)) {}
  Axle axle;
  const Layout& layout() const { return axle.layout; }
  const Numbers<double>& numbers() const { return axle.at(Side::left).numbers; }
};

const Corner& strut_corner() {
  static const Corner corner(all_layouts[0]);
  return corner;
}

// The corner as four cars, each with every coordinate off by its own error.
Numbers<Lanes> sampled(const Numbers<double>& nominal, std::mt19937_64& random) {
  std::normal_distribution<double> error(0.0, sampled_sigma_mm);
  Numbers<Lanes> n;
  n.camber_rad = nominal.camber_rad;
  n.toe_rad = nominal.toe_rad;
  for (const auto& p : nominal.points_mm) {
    Vec3<Lanes> q;
    for (int axis = 0; axis < 3; ++axis)
      for (std::size_t i = 0; i < lane_count; ++i) q[axis].set(i, p[axis] + error(random));
    n.points_mm.push_back(q);
  }
  return n;
}

void ours_double(benchmark::State& state, const Corner& corner) {
  const auto m = build(corner.layout(), corner.numbers());
  auto at = solution_as_measured(m);
  Travel travel;
  for (auto _ : state) {
    advance(m, at, {travel.next(), 0.0});
    const At<double> read_at(corner.layout(), m, at, Ground<double>{});
    auto values = read_all(read_at);
    benchmark::DoNotOptimize(values);
  }
  if (!at.found) state.SkipWithError("no position");
  state.SetItemsProcessed(state.iterations());
}

void ours_lanes(benchmark::State& state, const Corner& corner) {
  const auto nominal = build(corner.layout(), corner.numbers());
  std::mt19937_64 random(1);
  const auto m = build(corner.layout(), sampled(corner.numbers(), random));
  auto at = solve<Lanes>(m, {}, pose_as_measured(m),
                         order_at(nominal, pose_as_measured(nominal), DrivenBy::wheel_height));
  Travel travel;
  for (auto _ : state) {
    advance<Lanes>(m, at, {travel.next(), 0.0});
    const At<Lanes> read_at(corner.layout(), m, at, Ground<Lanes>{});
    auto values = read_all(read_at);
    benchmark::DoNotOptimize(values);
  }
  if (!all(at.found)) state.SkipWithError("no position");
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(lane_count));
}

void ceres_tiny(benchmark::State& state) {
  TinyStrut corner(build(strut_corner().layout(), strut_corner().numbers()));
  Travel travel;
  bool found = true;
  for (auto _ : state) found &= corner.put(travel.next());
  if (!found) state.SkipWithError("no position");
  state.SetItemsProcessed(state.iterations());
}

void simbody(benchmark::State& state) {
  SimbodyCorner corner(strut_corner().layout(), strut_corner().numbers(), peer_tolerance_mm);
  Travel travel;
  for (auto _ : state) corner.put(travel.next(), 0.0);
  if (corner.error_mm() > peer_tolerance_mm) state.SkipWithError("no position");
  state.SetItemsProcessed(state.iterations());
}

// What the spread of a survey makes of every reading at every travel: each car built, set off as
// measured, swept down and up with all readings, and its readings summed and squared. Drawing the
// cars is not in the time.
void band(benchmark::State& state) {
  const auto& layout = strut_corner().layout();
  const auto nominal = build(layout, strut_corner().numbers());
  const auto order = order_at(nominal, pose_as_measured(nominal), DrivenBy::wheel_height);
  std::mt19937_64 random(1);
  std::vector<Numbers<Lanes>> cars;
  while (cars.size() < band_cars / lane_count)
    cars.push_back(sampled(strut_corner().numbers(), random));
  struct Sums {
    std::array<Lanes, reading_count> first{}, second{};
  };
  constexpr int positions = 2 * band_positions_each_way + 1;
  bool found = true;
  for (auto _ : state) {
    std::array<Sums, positions> sums{};
    for (const auto& numbers : cars) {
      const auto m = build(layout, numbers);
      const auto as_measured = solve<Lanes>(m, {}, pose_as_measured(m), order);
      const auto count = [&](const Solution<Lanes>& at, int position) {
        const At<Lanes> read_at(layout, m, at, Ground<Lanes>{});
        const auto values = read_all(read_at);
        auto& s = sums[static_cast<std::size_t>(position)];
        for (std::size_t i = 0; i < reading_count; ++i) {
          s.first[i] += values[i];
          s.second[i] += values[i] * values[i];
        }
        found &= all(at.found);
      };
      count(as_measured, band_positions_each_way);
      for (const int way : {-1, 1}) {
        auto at = as_measured;
        for (int i = 1; i <= band_positions_each_way; ++i) {
          advance<Lanes>(m, at, {way * i * end_mm / band_positions_each_way, 0.0});
          count(at, band_positions_each_way + way * i);
        }
      }
    }
    benchmark::DoNotOptimize(sums);
  }
  if (!found) state.SkipWithError("no position");
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(band_cars * positions));
}

// Whether all stand in the same place at both ends of the sweep.
bool agree() {
  const auto m = build(strut_corner().layout(), strut_corner().numbers());
  auto ours = solution_as_measured(m);
  TinyStrut tiny(m);
  SimbodyCorner engine(strut_corner().layout(), strut_corner().numbers(), peer_tolerance_mm);
  Travel travel;
  double worst_mm = 0.0;
  for (int i = 0; i < 48; ++i) {
    const double mm = travel.next();
    ours = follow(m, ours, {mm, 0.0});
    tiny.put(mm);
    engine.put(mm, 0.0);
    worst_mm = std::max({worst_mm, length(ours.pose.centre_mm - tiny.centre()),
                         length(ours.pose.centre_mm - engine.on_upright_now(0))});
  }
  std::printf("wheel centres agree within %.1e mm\n", worst_mm);
  return worst_mm < agreement_mm;
}

// The shortest of all repetitions, per position and car. Repetitions of all benchmarks are mixed,
// so that each of them meets a moment when nothing else runs.
class Shortest : public benchmark::BenchmarkReporter {
 public:
  bool ReportContext(const Context&) override { return true; }
  void ReportRuns(const std::vector<Run>& runs) override {
    for (const auto& run : runs) {
      const auto& name = run.run_name.function_name;
      if (run.error_occurred) std::printf("%s: %s\n", name.c_str(), run.error_message.c_str());
      const auto rate = run.counters.find("items_per_second");
      if (run.run_type != Run::RT_Iteration || rate == run.counters.end()) continue;
      const double ns = 1e9 / rate->second.value;
      const auto known = ns_.try_emplace(name, ns).first;
      known->second = std::min(known->second, ns);
    }
  }
  void Finalize() override {
    const auto against = [&](const char* name) {
      const auto known = ns_.find(name);
      return known == ns_.end() ? std::nan("") : known->second;
    };
    const double one = against("double/strut"), lanes = against("lanes/strut");
    std::printf("%-30s %9s %14s %14s\n", "per position and car", "ns", "double/strut",
                "lanes/strut");
    for (const auto& [name, ns] : ns_)
      std::printf("%-30s %9.1f %14.2f %14.2f\n", name.c_str(), ns, ns / one, ns / lanes);
  }

 private:
  std::map<std::string, double> ns_;
};

int run(int argc, char** argv) {
  std::string repeated = "--benchmark_repetitions=20", short_ones = "--benchmark_min_time=0.03",
              mixed = "--benchmark_enable_random_interleaving=true";
  std::vector<char*> arguments{argv[0], repeated.data(), short_ones.data(), mixed.data()};
  arguments.insert(arguments.end(), argv + 1, argv + argc);
  int count = static_cast<int>(arguments.size());
  benchmark::Initialize(&count, arguments.data());
  if (benchmark::ReportUnrecognizedArguments(count, arguments.data())) return 1;

  const std::vector<Corner> corners(std::begin(all_layouts), std::end(all_layouts));
  const auto add = [](const std::string& name, auto run_it) {
    benchmark::RegisterBenchmark(name.c_str(), run_it);
  };
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const auto& corner = corners[i];
    add(std::string("double/") + all_layouts[i].name,
        [&corner](benchmark::State& state) { ours_double(state, corner); });
    add(std::string("lanes/") + all_layouts[i].name,
        [&corner](benchmark::State& state) { ours_lanes(state, corner); });
  }
  add("band", band);
  add("ceres_tiny", ceres_tiny);
  add("simbody", simbody);
  if (!agree()) return 1;
  Shortest shortest;
  benchmark::RunSpecifiedBenchmarks(&shortest);
  return 0;
}

}  // namespace
}  // namespace trammel::testing

int main(int argc, char** argv) { return trammel::testing::run(argc, argv); }
