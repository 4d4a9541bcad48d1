#include "wire/align_json.h"

#include "align/reasons.h"
#include "travel/readings.h"
#include "wire/json_values.h"

namespace trammel {
namespace {

void put_angle(Json& j, const std::string& key, const std::optional<Estimate>& angle) {
  if (!angle) return;
  j[key + "_deg"] = degrees(angle->value);
  j[key + "_sigma_deg"] = degrees(angle->sigma);
}

Json wheel_json(const WheelFound& w) {
  Json j = Json::object();
  put_angle(j, "toe", w.toe_rad);
  put_angle(j, "camber", w.camber_rad);
  put_angle(j, "caster", w.caster_rad);
  if (w.arch_mm) j["hub_to_arch_mm"] = *w.arch_mm;
  if (w.runs_out_mm) j["rim_runs_out_mm"] = *w.runs_out_mm;
  return j;
}

Json session_json(const SessionFound& s) {
  Json j{{"when", s.when}, {"fitted", s.fitted}, {"driven", s.driven}};
  for (const AxleName a : {AxleName::front, AxleName::rear}) {
    Json axle = Json::object();
    for (const Side side : {Side::left, Side::right})
      if (auto wheel = wheel_json(s.at(a).at(side)); !wheel.empty()) axle[word(side)] = wheel;
    put_angle(axle, "total_toe", s.at(a).total_toe_rad);
    if (!axle.empty()) j[word(a)] = std::move(axle);
  }
  put_angle(j, "thrust_angle_to_the_right", s.thrust_rad);
  put_angle(j, "strings_askew", s.box_yaw_rad);
  if (s.setback_mm) {
    j["left_front_ahead_mm"] = s.setback_mm->value;
    j["left_front_ahead_sigma_mm"] = s.setback_mm->sigma;
  }
  j["assumed"] = Json::array();
  for (const auto& one : s.assumed) j["assumed"].push_back(words(one));
  j["wanting"] = Json::array();
  for (const auto& one : s.wanting) j["wanting"].push_back(words(one));
  return j;
}

Json angles_json(const WheelAngles& a) {
  Json j{{"toe_deg", degrees(a.toe_rad)}, {"camber_deg", degrees(a.camber_rad)}};
  if (a.caster_rad) j["caster_deg"] = degrees(*a.caster_rad);
  return j;
}

}  // namespace

Json to_json(const Aligning& a) {
  Json j;
  j["sessions"] = Json::array();
  for (const auto& s : a.sessions) j["sessions"].push_back(session_json(s));
  j["asked_about"] = a.doubts;
  j["judged"] = a.judged;
  j["met"] = a.met;
  j["turned"] = a.turned();
  j["surely_met"] = a.surely;
  j["steps"] = Json::array();
  if (a.plan) {
    for (const auto& s : a.plan->steps) {
      Json step{{"wheel", std::string(word(s.axle)) + "." + word(s.side)},
                {"sets", std::string(word(s.what))},
                {"adjuster", s.adjuster},
                {"by_mm", s.by_mm}};
      if (s.quarter_flats) step["turns"] = *s.quarter_flats / 24.0;
      step["before"] = angles_json(s.before);
      step["after"] = angles_json(s.after);
      j["steps"].push_back(std::move(step));
    }
    j["left_alone"] = Json::array();
    for (const auto& one : a.plan->left_alone) j["left_alone"].push_back(words(one, Units::metric));
    if (a.plan->thrust_then_rad) j["thrust_angle_then_deg"] = degrees(*a.plan->thrust_then_rad);
    if (a.plan->steering_then_rad) j["steered_left_then_deg"] = degrees(*a.plan->steering_then_rad);
  }
  for (const auto& m : a.moved)
    j["moved"].push_back({{"wheel", std::string(word(m.axle)) + "." + word(m.side)},
                          {"angle", m.camber ? "camber" : "toe"},
                          {"by_deg", degrees(m.by_rad)},
                          {"sigma_deg", degrees(m.sigma_rad)},
                          {"too_much", m.too_much}});
  return j;
}

}  // namespace trammel
