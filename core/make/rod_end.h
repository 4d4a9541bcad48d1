// Rod ends: how far they tilt, how they are screwed in, and the bolt that carries their ball.
//
// Every answer has no value, and says why, where a size or a force makes no sense.
#pragma once

#include <optional>
#include <string>

#include "base/answer.h"
#include "make/no_sense.h"
#include "stock/bolt_class.h"
#include "stock/material.h"
#include "stock/thread.h"

namespace trammel {

// Tilt in rad at which the housing meets a plain bolt through the ball: asin(B/dk) - asin(C/dk), B
// width of the ball, C of the housing, dk diameter of the sphere (geometry; catalogues after ISO
// 12240-4 give the whole degree below it, ±1). A shoulder, a bolt head or a seal cuts it further.
Answer<double, NoSense> tilt_limit_rad(double ball_width_mm, double housing_width_mm,
                                       double sphere_diameter_mm);

// How far a male rod end is screwed into a sleeve: 1.5 d in steel, 2 d in aluminium (common
// practice). Cast iron has no value: no sleeve is made of it.
struct RodEndEngagement {
  double needed_mm = 0.0;
  // Of the inspection hole (2 to 3 mm) from the sleeve's end: a wire must not pass through it.
  double inspection_hole_mm = 0.0;
  double jam_nut_mm = 0.0;  // of thread that the jam nut takes outside of the sleeve: 0.6 d
};
Answer<RodEndEngagement, NoSense> rod_end_engagement(const Thread& thread, MaterialGroup sleeve);

// The static radial rating of the catalogue against the worst force in work: four times as much or
// more (common practice).
inline constexpr double rating_wanted = 4.0;
struct RatingCheck {
  double rating_n = 0.0, force_n = 0.0;
  double factor = 0.0;
  bool passes = false;
};
Answer<RatingCheck, NoSense> rating_check(double static_rating_n, double worst_force_n);

// Section modulus of a round section, and of the thread's root: π d³/32 with d3, mm³.
double round_modulus_mm3(double diameter_mm);
double root_modulus_mm3(const Thread& thread);

// Bending stress in the root of a threaded shank whose force runs `offset_mm` beside its axis. Zero
// offset gives zero.
Answer<double, NoSense> shank_bending_mpa(const Thread& thread, double force_n, double offset_mm);

// A ball on a bolt that is held at one end only, on a sleeve that the bolt clamps to the part.
struct SingleShear {
  Thread thread;
  BoltClass bolt_class = BoltClass::class_10_9;
  std::optional<double> preload_n;  // none: 0.75 of the proof load
  double spacer_outer_mm = 0.0;     // D, of the narrowest face that the bolt clamps
  double spacer_bore_mm = 0.0;      // d; 0: the bolt's diameter
  double force_n = 0.0;             // square to the bolt
  double arm_mm = 0.0;              // from the clamped face to the ball's centre
};
inline constexpr double closing_wanted = 2.0;
struct SingleShearCheck {
  SingleShear stack;
  double moment_nmm = 0.0;      // F · arm
  double gap_moment_nmm = 0.0;  // Fp (D² + d²)/(8 D): above it the face opens on one side
  double factor = 0.0;          // gap moment against moment
  double least_factor = 0.0;    // where the torque gave 30 % less preload
  bool stays_closed = false;    // least_factor >= 1
  bool is_short = false;        // arm no longer than one diameter: what single shear is allowed for
  bool passes = false;          // is_short, and closed twice over with the low preload (wanted)
  // Bending of the bolt alone, which it sees once the face opens.
  double plain_shank_mpa = 0.0, root_mpa = 0.0;
};
Answer<SingleShearCheck, NoSense> single_shear(const SingleShear& stack);

// A ball between two tabs, the force halved between them: M = F/2 · (t/2 + b/4 + gap), t thickness
// of one tab, b width of the ball, gap between ball and tab (spacers included).
struct DoubleShearCheck {
  double moment_nmm = 0.0;
  double plain_shank_mpa = 0.0;
};
Answer<DoubleShearCheck, NoSense> double_shear(const Thread& thread, double force_n, double tab_mm,
                                               double ball_width_mm, double gap_mm);

}  // namespace trammel
