// How deep a bolt has to go into a tapped hole.
#pragma once

#include <string>

#include "base/answer.h"
#include "make/no_sense.h"
#include "stock/bolt_class.h"
#include "stock/material.h"
#include "stock/thread.h"

namespace trammel {

// Diameters of engagement by rule of thumb: steel 1.0, cast iron 1.5, aluminium 2.0 (common
// practice, as Machinery's Handbook is quoted). Advice: sources differ by half a diameter.
double engagement_rule(MaterialGroup group);

struct Engagement {
  double rule_mm = 0.0;  // advice
  // Below this the thread strips before the bolt breaks: 2 At / (area of the bolt's thread that
  // shears, per mm), times `j` where that is above one (Machinery's Handbook, after
  // FED-STD-H28/2B).
  double equal_strength_mm = 0.0;
  // The bolt's thread against the hole's: (area · tensile strength) / (area · tensile strength).
  // Above one the hole strips first.
  double j = 0.0;
};
Engagement engagement(const Thread& thread, BoltClass bolt_class, const Material& hole);
// The same of given limits, for checking.
Engagement engagement(const Thread& thread, const ThreadLimits& limits, double bolt_tensile_mpa,
                      const Material& hole);

// Pull in N at which an engagement of `engaged_mm` strips, the weaker of bolt and hole, shear
// strength taken as half of the tensile strength. A reason where the length is not above zero.
Answer<double, NoSense> strip_load_n(const Thread& thread, BoltClass bolt_class,
                                     const Material& hole, double engaged_mm);

}  // namespace trammel
