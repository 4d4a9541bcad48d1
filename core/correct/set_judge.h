// A set of parts on an axle, judged against what is wanted and against what the car allows.
#pragma once

#include <array>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

#include "correct/figures.h"
#include "correct/wanted.h"
#include "parts/shelf.h"

namespace trammel {

// The body sinks when a joint moves under an arm that the spring stands on, until its perch is
// wound.
struct HeightLost {
  BySide<double> body_mm{};            // how much lower it stands there with the perch untouched
  double roll_centre_height_mm = 0.0;  // of the axle then
  BySide<double> perch_mm{};           // how far the perch has to be wound to restore the height
  BySide<std::optional<double>> perch_turns;
};

// A target that a set does not meet, or a limit of the car that it passes.
struct Miss {
  enum class Of { toe_change, roll_centre, camber, locks, joint_angle, rim_room };
  Of of{};
  std::optional<Side> side{};  // none: of both wheels alike, or of the axle
  // Angles in rad. Room to the rim, in mm: how far the joint's housing reaches from the axle, and
  // the barrel's inside.
  double is = 0.0;
  double least = 0.0, most = 0.0;  // that is wanted or allowed; of a toe change and a limit `most`
  std::string joint{};             // of a limit
  double clearance_mm = 0.0;       // of the room to the rim: what is to be kept free
  bool is_limit() const { return of >= Of::locks; }
};

// A made-to-measure axis that ended at the end of its range.
struct RangeEnd {
  std::size_t choice = 0;  // of the shelf
  int axis = 0;
};

// A ball joint is corrected and the rod that sets toe left alone.
struct StopSign {
  std::string rod;
  std::optional<Side> side{};   // of that wheel alone
  double toe_change_rad = 0.0;  // over the window
};

struct Candidate {
  Fit fit;
  std::optional<AxleFigures> figures;  // none: not possible, `why` says so
  NotPossible why;
  BySide<double> toe_rod_mm{};    // how much longer the toe rod
  BySide<double> camber_by_mm{};  // how far the camber adjuster
  std::vector<Miss> misses;
  double share = 0.0;            // largest share of a tolerance used; up to 1 meets all
  bool at_a_limit = false;       // a joint's limit, the rim or a lock is among the misses
  std::optional<double> chance;  // to meet every target; none where nothing is uncertain
  int chance_samples = 0;        // it was counted over
  bool equal_to_best = false;    // its chance cannot be told from the best one's
  std::vector<RangeEnd> range_ends;
  std::optional<StopSign> stop;
  std::optional<HeightLost> height;
  bool meets() const { return figures && misses.empty(); }
};

// Tilt left over at a joint's limit (common practice: 3°).
inline constexpr double joint_in_hand_rad = 3.0 * std::numbers::pi / 180.0;

// One wheel with a set fitted to it.
struct WheelJudged {
  CornerFitted corner;
  WheelFigures figures;
  double roll_centre_height_mm = 0.0;  // by this wheel alone
};

class SetJudge {
 public:
  // The ride outlives it.
  SetJudge(const Ride& ride, AxleName axle, const Wishes& wishes);

  const CornerBefore& corner(Side s) const { return corners_[s]; }
  const Wanted& wanted() const { return wanted_; }
  const Axle& axle() const { return axle_; }
  // Both sides are described, each by its own numbers.
  bool sides_apart() const { return !axle_.right_is_mirrored; }
  // The sides with figures of their own.
  std::vector<Side> own_sides() const;

  // As it sits: nothing fitted, nothing reset.
  Answer<AxleFigures, NotPossible> before() const;
  Candidate judge(const Shelf& shelf, const Fit& fit) const;
  // `coarse`: the curve from fewer positions.
  Answer<WheelJudged, NotPossible> wheel(const Shelf& shelf, const Fit& fit, Side side,
                                         bool coarse) const;
  Shares shares(const BySide<WheelFigures>& wheels, double roll_centre_height_mm) const;

  // What a made-to-measure place is sought by, smaller is better: the largest share of any
  // tolerance, with a little of every share beside so that what it leaves free is made small too
  // (augmented Chebyshev, after Steuer and Choo 1983), and a limit of the car where it is passed.
  // Infinite where there is no position.
  double merit(const Shelf& shelf, const Fit& fit) const;
  // What is used of every tolerance, from coarse curves. None where there is no position.
  struct Used {
    Shares shares;
    double passed = 0.0;              // the largest share of a limit of the car that is passed
    double toe_change_max_rad = 0.0;  // of the worse wheel
    bool holds() const { return !is_missed(shares.largest()) && passed == 0.0; }
  };
  std::optional<Used> used(const Shelf& shelf, const Fit& fit) const;

 private:
  Answer<WheelJudged, NotPossible> judged(const CornerBefore& before, CornerFitted corner,
                                          bool coarse) const;
  void at_range_ends(const Shelf& shelf, Candidate& c) const;
  void against_targets(Candidate& c) const;
  double limits(Side side, const CornerFitted& f, std::vector<Miss>* misses, double* within) const;
  std::optional<Vec3<double>> joint_now(const CornerFitted& f, int point) const;
  std::optional<StopSign> stop_sign(const Shelf& shelf, const Fit& fit,
                                    const AxleFigures& figures) const;
  std::optional<HeightLost> height_lost(const BySide<WheelJudged>& wheels) const;

  const Axle& axle_;
  Wanted wanted_;
  BySide<CornerBefore> corners_;
};

}  // namespace trammel
