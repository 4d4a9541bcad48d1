// One bolt through a stack: does a length serve, and which one does.
//
// Lengths are measured along the bolt from under its head. Symbols of ISO 4014 and ISO 888: l
// length of the bolt, b its thread, lg = l - b where the thread begins at the latest, ls = lg - 5 P
// what is sure to be plain (the thread runs out over the rest), P pitch.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/answer.h"
#include "make/engagement.h"
#include "stock/bolt_class.h"
#include "stock/material.h"
#include "stock/thread.h"

namespace trammel {

// What the bolt clamps, in order from the head. The order matters: the last shear plane is the one
// farthest from the head.
struct Layer {
  std::string what;           // "ear", "disc"
  double thickness_mm = 0.0;  // above zero
  bool shears = true;         // takes part in the side force; a gasket or a cover does not
};

struct Tapped {
  Material material;
  double depth_mm = 0.0;  // usable thread, from the face that the last layer lies on
  bool through = false;   // open at the far end: nothing to bottom on
};

struct BoltJoint {
  Thread thread;
  BoltClass bolt_class = BoltClass::class_10_9;
  std::vector<Layer> layers;  // at least one
  double head_washer_mm = 0.0;
  double nut_washer_mm = 0.0;          // not with a tapped hole
  double nut_height_mm = 0.0;          // 0: the usual one; lock nuts are higher
  std::optional<Tapped> tapped;        // instead of a nut
  std::optional<double> tail_room_mm;  // from the nut's far face, or the mouth of a tapped hole
                                       // that is open at its end, to what the tail would touch
  std::optional<double> length_mm;     // of the bolt that is there now
  std::optional<double> plain_mm;      // what of it measures plain, run-out not counted
};

// ISO 4014 (part of it threaded) or ISO 4017 (threaded to the head), of fine threads ISO 8765 and
// ISO 8676; inch: ASME B18.2.1.
enum class BoltForm { part_thread, full_thread };
struct Bolt {
  double length_mm = 0.0;
  BoltForm form = BoltForm::part_thread;
  friend bool operator==(const Bolt&, const Bolt&) = default;
};

// b of ISO 888: 2d + 6 up to 125 mm, 2d + 12 up to 200, 2d + 25 above. Inch (ASME B18.2.1, from
// memory): 2d + 1/4 in up to 6 in, 2d + 1/2 in above. Never more than the bolt is long.
double thread_length_mm(const Thread& thread, const Bolt& bolt);
// Largest height of the usual nut: ISO 4032; inch hexagon nuts (ASME B18.2.2). From memory.
double usual_nut_height_mm(const Thread& thread);
// Every standard bolt, ascending. Metric: preferred lengths of ISO 888 in the ranges of ISO 4014
// and ISO 4017. Inch (common practice): steps of 1/8 in to 2 in, then 1/4 in to 6 in.
std::vector<Bolt> standard_bolts(const Thread& thread);

enum class JointQuestion {
  reach,                // at least 2 pitches beyond the nut
  shank_in_shear,       // sure to be plain through the last plane between layers
  nut_clear_of_shank,   // 2 pitches of thread left under the nut
  tail_clear,           // of what is behind it
  engagement_strength,  // tapped: the bolt breaks before the thread strips
  engagement_rule,      // tapped: rule of thumb, advice
  bottoming,            // tapped: 2 pitches of thread left beyond the bolt's end
  shank_clear_of_hole,  // tapped: 1 pitch left before the plain shank meets the thread
};

struct JointTest {
  JointQuestion question{};
  bool passes = false;
  bool advice = false;                  // a rule of thumb: failing it is told, and stops nothing
  double has_mm = 0.0, needs_mm = 0.0;  // passes where it has at least what it needs
};

struct Judged {
  Bolt bolt;
  double thread_mm = 0.0, shank_mm = 0.0;  // b and lg = l - b: no thread is sure before it
  double plain_mm = 0.0;   // sure to be plain: ls = lg - 5 P, 0 at least, or as measured
  double stack_mm = 0.0;   // head to nut, or to the mouth of the hole
  double beyond_mm = 0.0;  // tail beyond the nut, or in the tapped hole
  std::optional<double> last_shear_plane_mm;  // between layers; none: nothing slides on anything
  std::vector<JointTest> tests;
  bool passes = false;  // all that are no advice
};

// The tests of one bolt in this joint. `length_mm` need not be standard; its form is that of the
// standard bolt of this length, part thread where both exist. No value, and why, where the joint or
// the length makes no sense.
Answer<Judged, NoSense> judge(const BoltJoint& joint, double length_mm);
Answer<Judged, NoSense> judge(const BoltJoint& joint, const Bolt& bolt);

enum class WayOutKind {
  other_side,           // head where the nut is
  more_tail_room,       // amount: room that the tail needs
  thicker_nut_washer,   // amount: by how much
  thicker_head_washer,  // amount: by how much
  deeper_thread,        // amount: depth of usable thread
  made_to_measure,      // amount: length of plain shank of a bolt turned for it
  stud,                 // the same of a stud
};
struct WayOut {
  WayOutKind kind{};
  Bolt bolt;
  double amount_mm = 0.0;
  double most_mm = 0.0;  // of a shank turned for it: no more than that
};

struct NextLength {
  // The bolt to take: the shortest standard one that passes every test, advice
  // included where one does. Else the shortest one whose shank may be plain far enough, though the
  // standard does not say so; where the stack is too short for any bolt with a plain shank: the
  // shortest one threaded to the head that passes the others.
  std::optional<Bolt> take;
  bool passes = false;  // `take` passes every test that is no advice
  // Not judged yet: `take` serves where so much of it measures plain.
  std::optional<double> measure_plain_mm;
  enum class Why {
    passes,
    to_be_measured,  // see measure_plain_mm
    all_thread,      // no bolt with a plain shank is so short: `take` has thread in the shear plane
    too_short,       // every standard length
    shallow_hole,    // a bolt of any length would strip the thread that the hole has
    none_serves,     // not `first` either, the shortest that reaches
  };
  Why why = Why::passes;
  std::optional<Bolt> first{};
  std::vector<WayOut> ways_out;  // where it does not pass: the nearest things that work
};
Answer<NextLength, NoSense> next_length(const BoltJoint& joint);

// The first test that a bolt which does not pass fails, advice aside.
const JointTest& first_failing(const Judged& judged);

// Friction of the clamped faces against a side force on `bolts` such bolts together.
struct SlipCheck {
  Thread thread;
  BoltClass bolt_class{};
  int bolts = 1;
  double force_n = 0.0, friction = 0.0;
  double holds_n = 0.0, holds_at_least_n = 0.0;  // with the preload expected, and 30 % below it
  double factor = 0.0, least_factor = 0.0;       // of the force
  bool holds = false;                            // with the low preload too
};
// 0.15: clean steel faces as they come from the lathe (common practice). No value, and why, unless
// bolts, force and friction are above zero.
Answer<SlipCheck, NoSense> slip_check(const Thread& thread, BoltClass bolt_class, int bolts,
                                      double shear_force_n, double friction = 0.15);

}  // namespace trammel
