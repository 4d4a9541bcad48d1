#include "wire/settle_json.h"

#include <fmt/format.h>

#include "settle/reasons.h"
#include "travel/readings.h"
#include "wire/json_values.h"

namespace trammel {
namespace {

template <class T>
void put(Json& j, const char* key, const std::optional<T>& value, double by = 1.0) {
  if (value) j[key] = by * *value;
}

Json corner_json(const CornerSettled& c) {
  Json j;
  if (c.rate) {
    j["motion_ratio"] = c.rate->ratio;
    j["wheel_rate_n_per_mm"] = c.rate->n_per_mm();
  }
  put(j, "rate_with_tyre_n_per_mm", c.rate_with_tyre_n_per_mm);
  put(j, "frequency_hz", c.frequency_hz);
  put(j, "frequency_with_tyre_hz", c.frequency_with_tyre_hz);
  put(j, "sprung_kg", c.sprung_kg);
  put(j, "spring_length_mm", c.spring_length_mm);
  put(j, "spring_force_n", c.spring_force_n);
  put(j, "squash_mm", c.squash_mm);
  j["droop_mm"] = c.droop_mm;
  put(j, "loose_at_droop_mm", c.loose_mm);
  put(j, "loose_at_droop_by_free_length_mm", c.loose_by_length_mm);
  put(j, "loose_at_droop_by_weight_mm", c.loose_by_weight_mm);
  put(j, "stop_gap_mm", c.gap_mm);
  put(j, "damper_to_open_mm", c.damper_to_open_mm);
  put(j, "damper_to_closed_mm", c.damper_to_closed_mm);
  put(j, "bind_room_mm", c.bind_room_mm);
  put(j, "hub_to_arch_mm", c.arch_mm);
  for (const auto& m : c.marks)
    j["marks"].push_back({{"what", words(m.end)}, {"travel_mm", m.travel_mm}});
  return j;
}

Json axle_json(const AxleSettled& a) {
  Json j;
  j["roll_centre_height_mm"] = a.roll_centre_height_mm;
  j["track_mm"] = a.track_mm;
  put(j, "springs_nmm_per_rad", a.springs_nmm_per_rad);
  put(j, "bar_nmm_per_rad", a.bar_nmm_per_rad);
  put(j, "anti_dive_percent", a.anti_dive, 100.0);
  put(j, "anti_lift_percent", a.anti_lift, 100.0);
  put(j, "anti_squat_percent", a.anti_squat, 100.0);
  put(j, "anti_lift_under_power_percent", a.anti_lift_power, 100.0);
  for (const Side side : {Side::left, Side::right}) {
    j[word(side)] = corner_json(a.at(side));
    if (const auto& link = a.link[static_cast<std::size_t>(side)])
      j[word(side)]["drop_link_angle_deg"] = degrees(link->ride.angle_rad);
  }
  for (const auto& b : a.bushes)
    j["bushes"].push_back({{"member", b.member}, {"wound_deg", degrees(b.angle_rad)}});
  return j;
}

}  // namespace

Json to_json(const Settling& s) {
  Json j;
  for (const auto& of : in_words(judge(s), Units::metric)) {
    Json one{{"of", of.of}, {"verdict", words(of.verdict())}, {"fails", of.fails}};
    one["not_judged"] = Json::array();
    for (const auto& u : of.unjudged)
      one["not_judged"].push_back({{"what", u.what}, {"key", u.key}});
    j["judged"].push_back(std::move(one));
  }
  for (const auto& state : s.states) {
    Json of{{"state", state.state}};
    for (const AxleName name : {AxleName::front, AxleName::rear})
      if (const auto& a = state.axle[static_cast<std::size_t>(name)])
        of[word(name)] = axle_json(*a);
    if (state.rolled) {
      // A stop that is touched and not known leaves the balance without an answer.
      if (state.stop_unknown[0] || state.stop_unknown[1])
        of["why_no_roll"] = fmt::format(
            "a bump stop is touched before half a g and [{}.stop] does not say its free_length and "
            "solid_length",
            word(state.stop_unknown[0] ? AxleName::front : AxleName::rear));
      else of["roll_deg_at_half_g"] = degrees(state.rolled->roll_rad);
      if (state.without_stops)
        of["roll_without_stops_deg_at_half_g"] = degrees(state.without_stops->roll_rad);
      if (state.tyres_roll_rad) of["roll_of_tyres_deg_at_half_g"] = degrees(*state.tyres_roll_rad);
      for (const AxleName name : {AxleName::front, AxleName::rear}) {
        const auto& t = state.rolled->axle[static_cast<std::size_t>(name)].transfer;
        of["load_transfer_n"][word(name)] = {{"geometric", t.geometric_n},
                                             {"elastic", t.elastic_n},
                                             {"unsprung", t.unsprung_n},
                                             {"stops", t.stops_n}};
        if (const auto& stop = state.stop_at[static_cast<std::size_t>(name)])
          of["stop_touched"][word(name)] = {{"from_g", stop->g}, {"side", word(stop->side)}};
      }
    } else {
      of["why_no_roll"] = words(*state.no_roll);
    }
    j["states"].push_back(std::move(of));
  }
  put(j, "cross_weight_percent", s.cross, 100.0);
  j["wanting"] = Json::array();
  for (const auto& one : s.wanting) j["wanting"].push_back(words(one));
  return j;
}

}  // namespace trammel
