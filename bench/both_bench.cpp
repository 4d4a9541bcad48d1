// The lines of the speed table that the page must meet, timed the same way natively and in
// WebAssembly (for which Debian has no Google Benchmark): best of several rounds.
//   build/bench/bench/both_bench cars
//   node --no-experimental-fetch build/wasm/bench/both_bench.js cars
#include <chrono>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>

#include "measure/adjustment.h"
#include "travel/band.h"
#include "travel/freedom.h"

using namespace trammel;

namespace {

constexpr int rounds = 9;
constexpr int band_cars = 2000, band_positions = 33;
constexpr double end_mm = 60.0;

template <class F>
double best_seconds(F f) {
  double best = 1e9;
  for (int i = 0; i < rounds; ++i) {
    const auto begun = std::chrono::steady_clock::now();
    f();
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
    best = took.count() < best ? took.count() : best;
  }
  return best;
}

}  // namespace

int main(int argc, char** argv) {
  std::ifstream in(std::string(argc > 1 ? argv[1] : "cars") + "/pip.toml", std::ios::binary);
  auto document = parse({std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()});
  if (!document.value) return 2;
  const auto car = read_car(*document.value);
  if (!car.value) return 2;
  const auto known = adjust(*car.value, read_survey(*document.value, *car.value));
  const auto stands = ride(known.value->car, nullptr);
  std::vector<double> travels;
  for (int i = 0; i < band_positions; ++i)
    travels.push_back(-end_mm + 2.0 * end_mm * i / (band_positions - 1));
  for (const AxleName axle : {AxleName::front, AxleName::rear}) {
    double lost = 0.0;
    const double toe = best_seconds([&] {
      lost += bands(*stands.value, known.value->spread, axle,
                    {travels, {{Reading::toe, false}}, 0.0, band_cars, 1})
                  .lost;
    });
    // Mirrored sides are solved once: positions are those of one corner.
    std::printf("%s: band of toe, %d cars x %d positions %.1f ms, %.0f ns a position and car%s\n",
                axle == AxleName::front ? "front" : "rear", band_cars, band_positions, 1e3 * toe,
                1e9 * toe / band_cars / band_positions, lost > 0.0 ? " (cars lost)" : "");
  }
}
