// Screw threads as people write them, and the sizes that follow from them.
//
// Symbols as in ISO 724 and ASME B1.1: d, D nominal diameter of bolt and nut, P pitch, d2 pitch
// diameter, D1 minor diameter of the nut, d3 root diameter of the bolt, H = P·√3/2 the height of
// the thread's triangle. All in mm, mm², also for inch threads.
#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/quantity.h"

namespace trammel {

// Comes from read_thread or usual_threads only: every function below takes for granted that a
// standard lists it (our bug where it does not).
struct Thread {
  double diameter_mm = 0.0, pitch_mm = 0.0;
  bool inch = false;  // unified thread: its tolerances, classes and lengths are other ones
  std::string name;   // "M10×1.25", "3/8-24 UNF"

  friend bool operator==(const Thread&, const Thread&) = default;
};

// "M10x1.25", "M10 × 1.25", "M10" (coarse), "3/8-24 UNF", "1/2-20", "7/16 unf". M5 to M20 with the
// pitches of ISO 261, UNC and UNF from 1/4 to 3/4 in (ASME B1.1). A pitch that no standard lists is
// refused with those that are usual for the diameter, an inch diameter without threads per inch
// with both of its series.
std::variant<Thread, NotAQuantity> read_thread(std::string_view text);

// What is sold everywhere: the pitches of ISO 262 for M5 to M20, then UNF and UNC, ascending.
std::vector<Thread> usual_threads();

// Basic sizes (ISO 724; ASME B1.1). The root of the unified bolt is taken with the radius of the
// metric one, d - 1.226869 P: a little below what ASME B1.1 allows.
struct ThreadDiameters {
  double pitch_mm = 0.0;  // d2 = D2 = d - 0.649519 P
  double minor_mm = 0.0;  // D1 = d - 1.082532 P
  double root_mm = 0.0;   // d3 = d - 1.226869 P
};
ThreadDiameters basic_diameters(const Thread& thread);

// The area that a bolt's strength is counted with: π/4·((d2 + d3)/2)² (ISO 898-1), of unified
// threads π/4·(d - 0.974279 P)² (ASME B1.1). Not rounded as the tables are.
double stress_area_mm2(const Thread& thread);

// Limits of size of the bolts and nuts that are sold: 6g and 6H (ISO 965-1), 2A and 2B (ASME B1.1,
// engagement of one diameter).
struct ThreadLimits {
  double major_min_mm = 0.0, major_max_mm = 0.0;  // bolt
  double pitch_min_mm = 0.0, pitch_max_mm = 0.0;  // bolt
  double nut_pitch_min_mm = 0.0, nut_pitch_max_mm = 0.0;
  double nut_minor_min_mm = 0.0, nut_minor_max_mm = 0.0;
};
ThreadLimits limits_of_size(const Thread& thread);
// The same with no tolerance at all: every limit at its basic size.
ThreadLimits basic_limits(const Thread& thread);

// Area that shears per mm of engagement when a thread strips, at the worst limits (FED-STD-H28/2B):
//   bolt  π/P · D1max · (P/2 + 0.57735 (d2min - D1max))
//   nut   π/P · dmin  · (P/2 + 0.57735 (dmin - D2max))
struct StripAreas {
  double bolt_mm2_per_mm = 0.0, nut_mm2_per_mm = 0.0;
};
StripAreas strip_areas(const Thread& thread, const ThreadLimits& limits);
StripAreas strip_areas(const Thread& thread);

}  // namespace trammel
