#include "measure/dial_rows.h"

#include <algorithm>
#include <cmath>

namespace trammel {
namespace {

DialRow by_itself(const GaugeRun& run, Dial dial, double ahead_mm, double above_mm,
                  double lever_mm) {
  DialRow row;
  row.of = DialRow::Of::dial;
  row.dials = {};
  row.dials[static_cast<std::size_t>(dial)] = 1.0;
  row.sigma_mm = run.sigma_mm;
  row.lever_mm = lever_mm;
  row.plate_mm = run.places->plate_mm;
  row.ahead_mm = ahead_mm;
  row.above_mm = above_mm;
  return row;
}

}  // namespace

std::string_view word(Dial dial) {
  constexpr std::array<std::string_view, 3> words{"front dial", "rear dial", "low dial"};
  return words[static_cast<std::size_t>(dial)];
}

std::vector<DialRow> dial_rows(const GaugeRun& run) {
  std::vector<DialRow> rows;
  const double half = 0.5 * run.base_mm;
  if (run.places) {
    const auto& p = *run.places;
    rows.push_back(by_itself(run, Dial::front, p.ahead_mm, p.height_mm, -half));
    rows.push_back(by_itself(run, Dial::rear, p.ahead_mm - run.base_mm, p.height_mm, half));
    if (run.drop_mm)
      rows.push_back(by_itself(run, Dial::low, p.ahead_mm - half, p.height_mm - *run.drop_mm, 0.0));
    return rows;
  }
  DialRow toe;
  toe.sigma_mm = std::sqrt(2.0) * run.sigma_mm;
  toe.lever_mm = toe.apart_mm = run.base_mm;
  rows.push_back(toe);
  if (run.drop_mm) {
    DialRow lean;
    lean.of = DialRow::Of::lean;
    lean.dials = lean_dials;
    lean.sigma_mm = std::sqrt(1.5) * run.sigma_mm;
    lean.apart_mm = *run.drop_mm;
    rows.push_back(lean);
  }
  return rows;
}

std::string_view name_of(const DialRow& row) {
  for (const Dial d : {Dial::low, Dial::front, Dial::rear})
    if (row.of != DialRow::Of::toe && row.dials[static_cast<std::size_t>(d)] == 1.0) return word(d);
  return {};
}

double read_mm(const DialRow& row, const GaugeRow& read) {
  const auto& d = row.dials;
  const double upper = d[0] * read.front_mm + d[1] * read.rear_mm;
  return d[2] == 0.0 ? upper : upper + d[2] * *read.low_mm;
}

std::vector<double> made_of(const std::vector<DialRow>& rows, const OfDials& dials) {
  std::vector<double> share(rows.size(), 0.0);
  const auto itself = std::find_if(rows.begin(), rows.end(),
                                   [&](const DialRow& row) { return row.dials == dials; });
  if (itself != rows.end()) {
    share[static_cast<std::size_t>(itself - rows.begin())] = 1.0;
    return share;
  }
  OfDials reached{};
  for (std::size_t k = 0; k < rows.size(); ++k)
    for (std::size_t d = 0; d < dials.size() && rows[k].of == DialRow::Of::dial; ++d)
      if (rows[k].dials[d] == 1.0) reached[d] = share[k] = dials[d];
  if (reached != dials) share.clear();
  return share;
}

}  // namespace trammel
