// Words of care where work can hurt somebody: one table, so that they are the same everywhere.
//
// Each is one or two whole sentences. What a step says besides, of its own figures, it says itself.
// All are common practice.
#pragma once

#include <initializer_list>
#include <string>

namespace trammel {

enum class Care {
  law,             // who comes first
  not_approved,    // a calculated part
  record_only,     // what a record is not
  second_names,    // before it is driven hard
  torque,          // where it comes from
  under_car,       // jack, stands, chocks
  under_tyres,     // blocks as well as stands
  before_lying,    // the same in a line, on every card that is taken from below
  beside_wheel,    // looking is done from beside the car
  chocks,          // at a wheel, between readings
  chocks_rolled,   // while the car is rolled
  string_seen,     // a string at face height
  glasses,         // rust from above
  spring_out,      // compressors
  spring_loose,    // at full droop
  gas_damper,      // extends, is never heated
  brake_hose,      // the caliper, the hoses
  jack_hub,        // what the jack carries
  left_slack,      // for a gauge run
  lock_nuts,       // the commonest fault
  rod_with_joint,  // never one without the other
  curve_off,       // measured and predicted differ
  forged,          // never welded or heated
  hole_edge,       // of a plate, of a weld, of the old hole
  sweep_by_hand,   // before the wheels go on
};

std::string caution(Care care);
// Several, one after the other.
std::string caution(std::initializer_list<Care> cares);
// All that a gauge run wants: springs out, hub on a jack.
std::string gauge_run_cautions();

}  // namespace trammel
