// The step make: what each part has to bear, and whether it does.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/serving.h"
#include "correct/correct.h"
#include "make/bolt_joint.h"
#include "make/bracket.h"
#include "make/column.h"
#include "make/lathe.h"
#include "make/load_case.h"
#include "make/rod_end.h"
#include "make/turned.h"

namespace trammel {

// What carries a part.
enum class StandsOn { upright_ear, steering_arm, body_bracket, rods_inner_bracket };

// What is judged. Its words, and those of all below: make/reasons.h.
struct Thing {
  enum class Of { part, weld, stood_on, bolt, rod_end };
  Of of{};
  std::string name{};  // of the part, the bolt or the rod end's joint
  StandsOn on{};       // the part
};

// Why it does not serve.
struct Failing {
  enum class Of {
    gives_way,        // a part, by `check`
    cannot_be_drawn,  // so it cannot be made: `drawing`
    its_stack_opens,  // the one that a sleeve makes, see RodEndSeen
    its_stack_too_tall,
    no_sense,    // a bolt's stack or a rod end's, by `no_sense`
    no_bolt,     // none serves: `bolt`
    faces_slip,  // friction holds `factor` times the force
    binds,       // a rod end within its travel
    little_tilt,
    cast_iron_sleeve,
    little_thread,
    low_rating,    // `factor` times its force
    rod_bows_out,  // at `factor` times the largest push
    pin_bends,
    stack_opens,
    stack_opens_at_least,  // where the torque gave 30 % less
    stack_barely_closed,   // `factor` times
    ball_far_off,          // more than one diameter off its face
  };
  Of of{};
  double factor = 0.0;
  std::optional<Check> check{};
  std::optional<NoSense> no_sense{};
  struct NoBolt {
    BoltJoint joint;
    NextLength next;
  };
  std::optional<NoBolt> bolt{};
  std::string drawing{};
};

using ThingJudged = JudgementBy<Thing, Failing, NotJudged>;

// What one part bears in every load case, with the case's shock.
struct PartForce {
  std::string part;          // "rod 'toe'", "ball joint of arm 'lower'"
  bool signed_pull = false;  // tension positive; else only a size
  bool leg = false;          // of an arm: how its ball joint's and bushes' forces were found
  int rod = -1;              // which rod of the layout, where it is one
  Measure measure = Measure::force;            // or torque, for a strut's bending
  std::vector<std::optional<double>> by_case;  // absent: the case says nothing of this part
  std::size_t worst = 0;                       // the case that asks most; of those that are there
  double worst_value() const { return by_case.empty() ? 0.0 : by_case[worst].value_or(0.0); }
};

// A force through one joint in one case.
struct JointLoad {
  std::string name;
  Vec3<double> force_n;  // corner axes, without shock
  double shock = 1.0;
  bool often = false;
};

struct AxleForces {
  LoadCases loads;
  std::vector<PartForce> parts;
  Support support = Support::none;
  std::optional<NoForces> why;  // where nothing can be said, or not of the loads that push up
  // Whether every load is there: without corner weights most are not.
  bool all_known() const { return !why && loads.wanting.empty() && !loads.cases.empty(); }
};

// The harder loaded of both sides where they differ. As fitted: `fitted` is the car with its parts.
AxleForces axle_forces(const Ride& fitted, AxleName axle, const Workshop& workshop);
// Every load through a joint, both sides' where they differ.
std::vector<JointLoad> joint_loads(const Ride& fitted, AxleName axle, int joint,
                                   const AxleForces& forces);

// What a part stands on, and the moment there under the worst load: which the upright, the steering
// arm or the body's bracket bore in no such way as built. Whether they do bear it cannot be told
// from a car file: it is looked at.
struct StoodOn {
  StandsOn on{};
  std::optional<double> as_built_nmm{};  // by the same force, where the ball's height is known
  double now_nmm = 0.0, added_nmm = 0.0;
  std::string by;  // the load case; empty where no load is known
};

// What is to be made for an option of the set that is fitted.
struct PartToMake {
  Made made;
  Option option;
  std::optional<Side> side;  // where left and right differ; none: the same on both
  // "toe-link bracket", or "toe-link bracket, left" where the sides differ.
  std::string name() const { return side ? option.name + ", " + word(*side) : option.name; }
  double thickness_mm = 0.0;        // of a turned part
  std::array<double, 2> hole_mm{};  // of a plate: from the old hole, across and up
  double aside_mm = 0.0;            // and along its axis
  std::optional<PlateChoice> plate;
  std::optional<TurnedJudged> turned;
  std::optional<StoodOn> stands_on;
  ThingJudged judged;               // without its weld; of a part that is made
  std::optional<ThingJudged> weld;  // of a part that is welded on
  bool corrects_rod = false;        // it moves the end of the steered or toe rod itself
  // How far the hole may be off, each way along the map's axes, and still hold; none where the map
  // says that it is no room for drilling yet.
  std::optional<double> room_mm;
  enum class Nothing { left_out, none_of_it, hole_stays };
  std::optional<Nothing> nothing;  // why there is nothing to make: what the set that is fitted does

  bool fails() const {
    return !nothing && (judged.verdict() == Serving::does_not_serve ||
                        (weld && weld->verdict() == Serving::does_not_serve));
  }
  // A part that does not serve, or whose hole is not known well enough to be drilled.
  bool not_for_cutting() const { return fails() || (!nothing && plate && !room_mm); }
};

struct BoltToFit {
  Fastener fastener;
  BoltJoint joint;
  std::optional<Judged> now;  // the bolt that is there
  NextLength next;
  std::optional<Judged> taken;  // what `next` takes
  std::optional<SlipCheck> slip;
  TorqueEstimate torque;
  std::optional<NoSense> why;  // where the stack makes no sense: nothing below is said then
  ThingJudged judged;
};

struct RodEndSeen {
  RodEnd end;
  std::string name;        // of its joint
  double asked_rad = 0.0;  // largest tilt over all travel and lock
  double at_travel_mm = 0.0, at_rack_mm = 0.0;
  std::optional<double> limit_rad;  // of the plain ball, or as the file says
  bool locks = false;               // within that travel and lock
  double worst_n = 0.0;
  std::string worst_case;
  std::optional<RodEndEngagement> engagement;
  std::optional<RatingCheck> rating;
  // The rod that it is screwed into, where the file says of what bar it is.
  struct Bowing {
    double length_mm = 0.0, push_n = 0.0;
    ColumnStrength strength;
    double factor() const { return strength.buckles_n / push_n; }
  };
  std::optional<Bowing> rod;
  double stack_mm = 0.0;      // between the part that carries it and the ball
  double narrowest_mm = 0.0;  // outside of the narrowest thing under the ball; 0: not known
  std::optional<SingleShearCheck> single;
  std::optional<DoubleShearCheck> pin;
  ThingJudged judged;
};

struct Making {
  std::array<std::optional<AxleForces>, 2> axle;  // by AxleName
  std::vector<PartToMake> parts;
  std::vector<BoltToFit> bolts;
  std::vector<RodEndSeen> rod_ends;

  // Of every part that is made, its weld, every bolt and rod end, and what each part stands on.
  std::vector<ThingJudged> judged() const;
  // Something does not serve, or is not to be cut yet.
  bool stops() const;
};

// The car with the set of each axle fitted (or as it sits where an axle has none). What is returned
// points into `wishes` and `workshop`, which must outlive it.
Making make(const Ride& ride, const Correction& correction, const Wishes& wishes,
            const Workshop& workshop);

}  // namespace trammel
