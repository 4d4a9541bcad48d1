// Strength of bolts by the mark on their heads, and what a torque makes of it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "stock/thread.h"

namespace trammel {

// ISO 898-1 property classes, and grades of SAE J429 for inch threads.
enum class BoltClass { class_8_8, class_10_9, class_12_9, grade_5, grade_8 };

// "8.8", "10.9", "class 12.9", "grade 5", "Gr. 8", "SAE grade 8". Other marks are refused, those
// that are known to be too weak for steering and suspension with that reason.
std::variant<BoltClass, NotAQuantity> read_bolt_class(std::string_view text);
std::string_view name(BoltClass bolt_class);  // "10.9", "grade 8"

// What has to be said wherever this class is chosen; empty where nothing has to.
std::string_view advice(BoltClass bolt_class);
// Why bolts of this class are not made with this thread; nothing where they are. The loads below
// are sums of strength and area and come back in either case.
std::optional<std::string> why_not_together(const Thread& thread, BoltClass bolt_class);

// Minimum strengths: proof stress, yield (0.2 % limit), tensile strength. Class 8.8 above M16 is
// the stronger one of ISO 898-1.
struct BoltStrength {
  double proof_mpa = 0.0, yield_mpa = 0.0, tensile_mpa = 0.0;
};
BoltStrength strength(const Thread& thread, BoltClass bolt_class);

// Loads of the stress area, in N, not rounded as the tables of ISO 898-1 are (within 0.6 % of
// them).
double proof_load_n(const Thread& thread, BoltClass bolt_class);
double ultimate_load_n(const Thread& thread, BoltClass bolt_class);
// Three quarters of the proof load: the usual aim for a bolt that may be undone again.
double preload_n(const Thread& thread, BoltClass bolt_class);

// Nut factor K of T = K·d·F (common practice): 0.20, 0.15, 0.12.
enum class Lubrication { dry_zinc, oiled, waxed };
double nut_factor(Lubrication lubrication);

// Preload that the same torque may give: torque says it to ±30 % only (common practice).
struct Preload {
  double expected_n = 0.0, low_n = 0.0, high_n = 0.0;
};
struct TorqueEstimate {
  double torque_nmm = 0.0;
  Preload preload;
};
// The torque for `preload_n`. An estimate: the manual of the car or of the joint's maker comes
// first.
TorqueEstimate torque_estimate(const Thread& thread, BoltClass bolt_class, Lubrication lubrication);
// The preload that a torque (of a manual) gives, by the same sum. Nothing below zero: a torque that
// is not above zero gives none.
Preload preload_from_torque(double torque_nmm, const Thread& thread, Lubrication lubrication);

}  // namespace trammel
