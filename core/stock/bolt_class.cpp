#include "stock/bolt_class.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/plain_text.h"

namespace trammel {
namespace {

constexpr double ksi_mpa = 6.894757293;  // 1000 lbf/in², exact pound and inch
constexpr double of_proof = 0.75;
constexpr double scatter = 0.30;
constexpr double stronger_8_8_over_mm = 16.0;

constexpr std::string_view known = "8.8, 10.9 or 12.9, or grade 5 or 8 on inch bolts";

bool metric_class(BoltClass c) {
  return c == BoltClass::class_8_8 || c == BoltClass::class_10_9 || c == BoltClass::class_12_9;
}

}  // namespace

std::variant<BoltClass, NotAQuantity> read_bolt_class(std::string_view text) {
  const std::string plain = in_plain_letters(text);
  PlainText in{plain};
  const auto refused = [&](const std::string& why) {
    return NotAQuantity{fmt::format("'{}' {}", text, why)};
  };
  const auto unknown = [&] {
    return refused(fmt::format("is no class of bolt that is known here, expected {}", known));
  };
  in.spaces();
  const bool sae = in.take("sae");
  in.spaces();
  in.take("j429");
  in.spaces();
  const bool grade = in.take("grade") || in.take("gr.") || in.take("gr");
  if (!grade && !sae) in.take("class");
  in.spaces();
  const bool stainless = in.rest.starts_with("a2") || in.rest.starts_with("a4");
  if (stainless && !grade && !sae)
    return refused("is stainless: too weak for steering and suspension, expected 8.8 or 10.9");
  const std::string mark(in.rest.substr(0, in.rest.find_last_not_of(' ') + 1));
  if (grade || sae) {
    if (mark == "5") return BoltClass::grade_5;
    if (mark == "8") return BoltClass::grade_8;
    if (mark == "1" || mark == "2")
      return refused("is too weak for steering and suspension, expected grade 5 or 8");
    return unknown();
  }
  if (mark == "8.8") return BoltClass::class_8_8;
  if (mark == "10.9") return BoltClass::class_10_9;
  if (mark == "12.9") return BoltClass::class_12_9;
  for (const auto* weak : {"3.6", "4.6", "4.8", "5.6", "5.8", "6.8"})
    if (mark == weak)
      return refused("is too weak for steering and suspension, expected 8.8 or 10.9");
  if (mark == "5" || mark == "8")
    return refused(fmt::format("may be a grade of inch bolts: then write 'grade {}'", mark));
  return unknown();
}

std::string_view name(BoltClass c) {
  switch (c) {
    case BoltClass::class_8_8:
      return "8.8";
    case BoltClass::class_10_9:
      return "10.9";
    case BoltClass::class_12_9:
      return "12.9";
    case BoltClass::grade_5:
      return "grade 5";
    case BoltClass::grade_8:
      return "grade 8";
  }
  return {};
}

std::string_view advice(BoltClass c) {
  if (c != BoltClass::class_12_9) return {};
  return "12.9 only where the car's maker specifies it: so hard a bolt may crack days after it was "
         "tightened, from hydrogen that plating or rust has put into it, and a notch or bending "
         "finds it out sooner than a 10.9.";
}

std::optional<std::string> why_not_together(const Thread& thread, BoltClass c) {
  if (thread.inch && metric_class(c))
    return fmt::format("{} is a class of metric bolts, {} an inch thread: expected grade 5 or 8",
                       name(c), thread.name);
  if (!thread.inch && !metric_class(c))
    return fmt::format("{} is one of inch bolts, {} a metric thread: expected 8.8 or 10.9", name(c),
                       thread.name);
  return {};
}

BoltStrength strength(const Thread& thread, BoltClass c) {
  switch (c) {
    case BoltClass::class_8_8:
      return thread.diameter_mm > stronger_8_8_over_mm ? BoltStrength{600, 660, 830}
                                                       : BoltStrength{580, 640, 800};
    case BoltClass::class_10_9:
      return {830, 940, 1040};
    case BoltClass::class_12_9:
      return {970, 1100, 1220};
    case BoltClass::grade_5:
      return {85 * ksi_mpa, 92 * ksi_mpa, 120 * ksi_mpa};
    case BoltClass::grade_8:
      return {120 * ksi_mpa, 130 * ksi_mpa, 150 * ksi_mpa};
  }
  return {};
}

double proof_load_n(const Thread& thread, BoltClass c) {
  return stress_area_mm2(thread) * strength(thread, c).proof_mpa;
}
double ultimate_load_n(const Thread& thread, BoltClass c) {
  return stress_area_mm2(thread) * strength(thread, c).tensile_mpa;
}
double preload_n(const Thread& thread, BoltClass c) { return of_proof * proof_load_n(thread, c); }

double nut_factor(Lubrication lubrication) {
  switch (lubrication) {
    case Lubrication::dry_zinc:
      return 0.20;
    case Lubrication::oiled:
      return 0.15;
    case Lubrication::waxed:
      return 0.12;
  }
  return 0.0;
}

TorqueEstimate torque_estimate(const Thread& thread, BoltClass c, Lubrication lubrication) {
  const double force = preload_n(thread, c);
  const double torque = nut_factor(lubrication) * thread.diameter_mm * force;
  return {torque, preload_from_torque(torque, thread, lubrication)};
}

Preload preload_from_torque(double torque_nmm, const Thread& thread, Lubrication lubrication) {
  const double force = std::max(torque_nmm, 0.0) / (nut_factor(lubrication) * thread.diameter_mm);
  return {force, (1.0 - scatter) * force, (1.0 + scatter) * force};
}

}  // namespace trammel
