#include "told/cautions.h"

#include <string_view>

#include "base/check.h"

namespace trammel {
namespace {

struct CautionRow {
  Care care;
  std::string_view words;
};
// In the order of the work.
constexpr CautionRow table[] = {
    {Care::law, "Local law, the maker's manual and a licensed inspection come first."},
    {Care::not_approved,
     "Steering and suspension faults kill. A calculated part is not a tested or approved part: "
     "have "
     "the work inspected."},
    {Care::record_only, "This is a record, not an approval."},
    {Care::second_names, "The car is not driven hard before both names stand below."},
    {Care::torque, "Torque comes from your manual only."},
    {Care::under_car,
     "Never go under a car that stands on a jack. Stands under its structure, on concrete, wheels "
     "chocked; shake it before you go under."},
    {Care::under_tyres,
     "Never go under a car that stands on a jack. Tyres on the floor or on equal, checked blocks "
     "that you drove up on, wheels chocked; or stands under its structure, on concrete. Shake it "
     "before you lie down."},
    {Care::before_lying, "Before you lie down: on its tyres or on blocks, chocked, shaken."},
    {Care::beside_wheel, "Never put any part of you under a car that stands on a jack."},
    {Care::chocks,
     "Chock the wheels before you kneel at a wheel or crawl to a rod, and never go under a car "
     "that "
     "stands on a jack."},
    {Care::chocks_rolled,
     "Wheels chocked, handbrake off only while the car is rolled; nobody between the car and a "
     "wall."},
    {Care::string_seen, "A string at face height is easily walked into: flag it."},
    {Care::glasses, "Glasses on: rust falls into eyes."},
    {Care::spring_out,
     "A spring comes out with two opposed compressors rated for it, or not at all: a strut at full "
     "droop still presses its spring. Nobody in line with the spring, no air gun; the top nut "
     "comes "
     "off only when the spring is free of its seats."},
    {Care::spring_loose,
     "A spring that is loose at full droop can leave its seat and jam or fall out when the wheel "
     "comes back. Do not drive until a helper spring, a longer spring or a droop limit keeps it "
     "in its seats; in many places it fails inspection."},
    {Care::gas_damper,
     "A gas damper extends by itself: never heat it, never drill it, never clamp its rod."},
    {Care::brake_hose,
     "Never hang a caliper by its hose: tie it up. Hoses and wires stay slack from full droop to "
     "full bump and at both locks."},
    {Care::jack_hub,
     "The jack moves one hub and carries nothing else; no head, hand or foot between arm and body "
     "while it moves."},
    {Care::left_slack,
     "What is left slack for the run is written down, and torqued to the manual before the car is "
     "driven."},
    {Care::lock_nuts,
     "A lock nut forgotten lets a wheel steer itself. Every one of them tight and painted, threads "
     "engaged by one and a half diameters, before the car moves; then a second person goes over "
     "them."},
    {Care::rod_with_joint,
     "Never drive with a ball joint corrected and its rod not, not even round the block."},
    {Care::curve_off,
     "Stop where the measured toe curve and the predicted one differ by more than 0.1° per 25 mm: "
     "something is bent, loose or measured wrong."},
    {Care::forged, "Never weld or heat forged, cast or steering parts."},
    {Care::hole_edge,
     "A hole near an edge tears out: from its middle two of its diameters to the edge that the "
     "load "
     "pulls towards, one and a half to any other edge, to a weld and to the old hole. Lay it out "
     "on "
     "the plate before you punch; what the map shows is the curve, not the strength."},
    {Care::sweep_by_hand,
     "Sweep full bump, full droop and full lock by hand before the wheels go on."},
};

}  // namespace

std::string caution(Care care) {
  for (const auto& row : table)
    if (row.care == care) return std::string(row.words);
  check(false, "every care has its words", {{"care", static_cast<double>(care)}});
  return {};
}

std::string caution(std::initializer_list<Care> cares) {
  std::string all;
  for (const Care c : cares) {
    if (!all.empty()) all += ' ';
    all += caution(c);
  }
  return all;
}

std::string gauge_run_cautions() {
  return caution({Care::spring_out, Care::gas_damper, Care::brake_hose, Care::under_car,
                  Care::jack_hub, Care::left_slack});
}

}  // namespace trammel
