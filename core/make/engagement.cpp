#include "make/engagement.h"

#include <algorithm>
#include <cmath>

namespace trammel {

double engagement_rule(MaterialGroup group) {
  switch (group) {
    case MaterialGroup::steel:
      return 1.0;
    case MaterialGroup::cast_iron:
      return 1.5;
    case MaterialGroup::aluminium:
      return 2.0;
  }
  return 0.0;
}

Engagement engagement(const Thread& t, const ThreadLimits& limits, double bolt_tensile_mpa,
                      const Material& hole) {
  const auto area = strip_areas(t, limits);
  Engagement e;
  e.rule_mm = engagement_rule(hole.group) * t.diameter_mm;
  e.j = area.bolt_mm2_per_mm * bolt_tensile_mpa / (area.nut_mm2_per_mm * hole.tensile_mpa);
  e.equal_strength_mm = 2.0 * stress_area_mm2(t) / area.bolt_mm2_per_mm * std::max(1.0, e.j);
  return e;
}

Engagement engagement(const Thread& t, BoltClass c, const Material& hole) {
  return engagement(t, limits_of_size(t), strength(t, c).tensile_mpa, hole);
}

Answer<double, NoSense> strip_load_n(const Thread& t, BoltClass c, const Material& hole,
                                     double engaged_mm) {
  if (!(engaged_mm > 0.0) || !std::isfinite(engaged_mm))
    return {{}, {NoSense::Of::not_above_zero, "the thread engaged", engaged_mm}};
  constexpr double strip_of_tensile = 0.5;  // FED-STD-H28/2B
  const auto area = strip_areas(t);
  const double bolt = area.bolt_mm2_per_mm * strength(t, c).tensile_mpa;
  const double nut = area.nut_mm2_per_mm * hole.tensile_mpa;
  return {strip_of_tensile * engaged_mm * std::min(bolt, nut), {}};
}

}  // namespace trammel
