// Runs with parts fitted, made by the model itself.
#pragma once

#include <cmath>

#include "cars.h"
#include "measure/gauge_progress.h"
#include "prove/judge.h"
#include "prove/reasons.h"
#include "travel/reasons.h"

namespace trammel::testing {

// A run of the usual steps, its rows still to be read.
inline GaugeRun blank_run(AxleName axle, Side side, double end_mm = gauge_end_mm) {
  GaugeRun g;
  g.name = "after";
  g.axle = axle;
  g.side = side;
  g.base_mm = usual_base_mm;
  g.sigma_mm = usual_dial_sigma_mm;
  g.drag_rad_per_mm = usual_drag_rad_per_mm;
  g.with.emplace();
  for (const double travel : gauge_travels(end_mm, end_mm))
    g.rows.push_back({travel, 0.0, 0.0, {}});
  g.row_lines.assign(g.rows.size(), 0);
  return g;
}

inline std::vector<double> travels_of(const GaugeRun& run) {
  std::vector<double> travels;
  for (const auto& row : run.rows) travels.push_back(row.travel_mm);
  return travels;
}

// A third dial so far below the other two.
inline GaugeRun with_low_dial(GaugeRun run, double drop_mm = 200.0) {
  run.drop_mm = drop_mm;
  for (auto& row : run.rows) row.low_mm = 0.0;
  return run;
}
// Each dial by itself, as they usually stand.
inline GaugeRun by_places(GaugeRun run) {
  run.places = DialPlaces{60.0, 0.0, 0.5 * run.base_mm};
  return run;
}

// Dials that read exactly what a car with `fitted` does; their zero where the run begins.
inline void read_exactly(GaugeRun& run, const Car& truth, const Wishes& wishes,
                         const std::vector<Chosen>& fitted, const Survey& survey = {}) {
  const auto stands = ride(truth, nullptr);
  ASSERT_TRUE(stands.value) << words(stands.why, Units::metric);
  const auto as = run_set_up(*stands.value, wishes, survey, run, fitted);
  const auto curve = run_curve(*stands.value, as, travels_of(run));
  ASSERT_TRUE(curve.value) << words(curve.why, Units::metric);
  const auto shown = [&](std::size_t dial, std::size_t i) {
    return curve.value->shown[dial].mm[i] - curve.value->shown[dial].mm[0];
  };
  for (std::size_t i = 0; i < run.rows.size(); ++i) {
    auto& row = run.rows[i];
    if (run.places) {
      row.front_mm = shown(0, i);
      row.rear_mm = shown(1, i);
      if (run.drop_mm) row.low_mm = shown(2, i);
      continue;
    }
    row.rear_mm =
        run.base_mm * (std::tan(curve.value->toe_rad[i]) - std::tan(curve.value->toe_rad[0]));
    if (run.drop_mm) row.low_mm = shown(1, i) + 0.5 * row.rear_mm;
  }
}

// A car file with what it says of itself, as every step begins.
struct FromFile {
  explicit FromFile(const std::string& text)
      : document(*parse(text).value),
        car(car_of(text)),
        wishes(read_wishes(document, car)),
        survey(read_survey(document, car)),
        adjusted(std::move(*adjust(car, survey).value)) {}
  Document document;
  Car car;
  Wishes wishes;
  Survey survey;
  Adjusted adjusted;

  std::vector<Chosen> chosen(std::initializer_list<std::pair<const char*, double>> sizes) const {
    std::vector<Chosen> all;
    for (const auto& [name, size] : sizes)
      for (std::size_t k = 0; k < wishes.options.size(); ++k)
        if (wishes.options[k].name == name) {
          Chosen c;
          c.option = k;
          c.part.left.size_mm = c.part.right.size_mm = size;
          all.push_back(c);
        }
    EXPECT_EQ(all.size(), sizes.size());
    return all;
  }
};

}  // namespace trammel::testing
