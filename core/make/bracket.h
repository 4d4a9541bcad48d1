// A plate that carries a joint where it has to be: what it bears, and what gives first.
//
// Sums of beams, bolt groups and weld groups as handbooks have them (elastic, rigid bolts). Loads
// are taken at the joint's centre; the plate is judged in its plane, across it and in torsion.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "file/workshop.h"
#include "make/not_judged.h"

namespace trammel {

// What comes through the joint in one load case, on the plate: across, up, and along the axis of
// its plane; with the case's shock.
struct PlateLoad {
  std::string name;
  Vec3<double> force_n;
  double shock = 1.0;
  bool often = false;
};

// One thing that may give. `limit` is what is allowed: strength with what is wanted in hand taken
// off. `used` is the share of it: over 1 it does not serve.
struct Check {
  enum class Of {
    plate_bent,
    plate_tired,
    hole_bearing,
    hole_tearing,
    weld,
    weld_tired,
    weld_throat,
    weld_length,
    welded_to,    // `material`, which is not to be welded
    welded_from,  // the same of the plate's own
    fixing_sheared,
    fixing_slipping,
    fixing_pulled,
    ball_beside_plate,
    pin_bent,
    pin_sheared,
    edge,
    thickness,
    thickness_of_tabs,
    hole_beside_fixing,
    face_pressed,
    wall_outside_hole,
    wall_inside_hole,
    wall_between_holes,
    wall,
    wall_of_spigot,
  };
  enum class In { mm, n, mpa, nothing };  // what value and limit are in
  Of of{};
  In in{};
  double value = 0.0, limit = 0.0;
  double used = 0.0;
  std::string by{};       // the load case that asks most; empty where it hangs on none
  bool at_least = false;  // `limit` is the least that is wanted: `used` is limit over value
  std::string material{};
  bool of_weld() const { return of >= Of::weld && of <= Of::welded_from; }
};
// Of what fails whatever its size.
inline constexpr double no_way = 10.0;

struct PlateJudged {
  double thickness_mm = 0.0, edge_mm = 0.0;
  std::array<double, 2> hole_mm{};  // the new one, in the plate, from the old
  std::vector<Check> checks;        // hardest used first
  std::vector<NotJudged> unjudged, weld_unjudged;
  bool fails() const { return !checks.empty() && checks.front().used > 1.0; }
  bool serves() const { return !fails() && unjudged.empty() && weld_unjudged.empty(); }
};

// What is asked of every part (common practice): twice the yield strength and three times the
// tensile strength in hand under loads with their shock; ranges of stress that come again and
// again, without shock, in plain plate with holes and at fillet welds, in MPa. Aluminium and cast
// iron bear less of it than steel does: of plain metal the International Institute of Welding
// allows aluminium 71 where it allows steel 160 (from memory).
inline constexpr double yield_in_hand = 2.0, break_in_hand = 3.0;
inline constexpr double range_plate_mpa = 90.0, range_weld_mpa = 50.0;
double range_allowed_mpa(MaterialGroup group);  // of plate

// `hole_mm`: the new hole from the old one, across and up in the plate; `aside_mm` along its axis
// (what `offset` has to make up, added to it). A thickness at or below zero is our bug. Without
// loads only what hangs on none is judged.
PlateJudged judged(const Made& made, const std::array<double, 2>& hole_mm, double aside_mm,
                   double thickness_mm, const std::vector<PlateLoad>& loads);

// The plate as the file has it, or in the thinnest of its stock that does not fail. Where all do,
// the one in which least fails, and by `why` what would serve. `all_known`: no
// load is left out; where one is, and the file has no thickness, none is chosen.
struct PlateChoice {
  enum class Why {
    none,
    not_known,     // what it has to bear: no thickness is chosen
    too_thin,      // the file's; `serves_mm` of the stock does, or none of it
    too_thin_yet,  // the file's; what would serve hangs on loads that are not known
    none_serves,   // of the stock
  };
  std::optional<PlateJudged> plate;
  Why why = Why::none;
  std::optional<double> serves_mm{};
};
PlateChoice chosen_plate(const Made& made, const std::array<double, 2>& hole_mm, double aside_mm,
                         const std::vector<PlateLoad>& loads, bool all_known);

// Section moduli, mm³, of a plate `wide` mm across with a hole in its middle (0: none), bent in its
// plane and flat; and of a bar's torsion (St Venant; within 0.5 % of the series by the rule of
// Roark's Formulas for Stress and Strain, from memory).
double modulus_in_plane_mm3(double wide_mm, double thickness_mm, double hole_mm);
double modulus_flat_mm3(double wide_mm, double thickness_mm, double hole_mm);
double modulus_torsion_mm3(double wide_mm, double thickness_mm);

// The force on each bolt of a group, in its plane, from a force at `at`. One bolt carries no
// moment: our bug where there are fewer than two.
std::vector<std::array<double, 2>> bolt_group(const std::vector<std::array<double, 2>>& bolts_mm,
                                              const std::array<double, 2>& at_mm,
                                              const std::array<double, 2>& force_n);

// The pull on each of some bolts that hold a bracket on a wall which it tilts about an edge:
// `pull_n` shared by all, and `moment_nmm` by their distances from that edge, all above zero
// (rigid bracket). Negative sizes count as positive ones.
std::vector<double> tilted_bolts(const std::vector<double>& from_edge_mm, double pull_n,
                                 double moment_nmm);

}  // namespace trammel
