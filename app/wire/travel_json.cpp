#include "wire/travel_json.h"

#include "travel/reasons.h"
#include "travel/tell.h"
#include "wire/json_values.h"

namespace trammel {
namespace {

Json corner_json(const CornerAt& c, const Layout& layout) {
  Json j;
  j["travel_mm"] = c.travel_mm;
  j["rack_mm"] = c.rack_mm;
  for (const auto& row : reading_table())
    if (applies(row.reading, layout))
      j[std::string(row.key)] = in_key_unit(c[row.reading], row.measure);
  j["toe_change_deg"] = degrees(c.toe_change_rad);
  j["half_track_change_mm"] = c.track_change_mm;
  j["wheelbase_change_mm"] = c.wheelbase_change_mm;
  if (c.steer_rad) j["steer_deg"] = degrees(*c.steer_rad);
  if (c.anti_dive) j["anti_dive_percent"] = 100.0 * *c.anti_dive;
  if (c.anti_lift) j["anti_lift_percent"] = 100.0 * *c.anti_lift;
  if (c.anti_squat) j["anti_squat_percent"] = 100.0 * *c.anti_squat;
  if (c.instant_axis)
    j["instant_axis"] = {{"point_mm", list(c.instant_axis->point)},
                         {"direction", list(c.instant_axis->direction)}};
  for (const auto& joint : c.joints) j["joint_angles_deg"][joint.joint] = degrees(joint.angle_rad);
  return j;
}

// 5, 50 and 95 % of what is told, by the key of the reading.
Json band_json(const Bands& bands, Side side, std::size_t i) {
  Json j;
  for (std::size_t k = 0; k < told_bands().size(); ++k) {
    const auto& of = told_bands()[k];
    const auto& row = info(of.reading);
    const auto key = of.change ? std::string("toe_change_deg") : std::string(row.key);
    for (const double x : bands.side[static_cast<std::size_t>(side)][k][i])
      j[key].push_back(in_key_unit(x, row.measure));
  }
  return j;
}

}  // namespace

Json to_json(const Sweep& s, const Bands& bands, Side side, const Layout& layout) {
  Json j;
  j["axle"] = word(s.axle);
  j["side"] = word(side);
  j["state"] = s.state;
  j["toe_set_in_state"] = s.toe_set;
  j["camber_set_in_state"] = s.camber_set;
  if (s.axis_from != AxisFrom::none) j["steering_axis_from"] = words(s.axis_from);
  switch (s.heave) {
    case Heave::none:
      break;
    case Heave::equal_travels:
      j["heave"] = "equal_travels";
      break;
    case Heave::load_kept:
      j["heave"] = "load_kept";
      break;
    case Heave::load_kept_without_preload:
      j["heave"] = "load_kept_without_preload";
      break;
  }
  j["positions"] = Json::array();
  for (std::size_t i = 0; i < s.positions.size(); ++i) {
    const auto& p = s.positions[i];
    Json position;
    if (const auto& c = p.at(side)) {
      position = corner_json(*c, layout);
    } else {
      position["travel_mm"] = p.travel_mm;
      position["rack_mm"] = p.rack_mm;
      if (const auto& l = p.locked[static_cast<std::size_t>(side)]) {
        position["no_position"] = words(*l, Units::metric);
        position["nearest_travel_mm"] = l->nearest_travel_mm;
        position["nearest_rack_mm"] = l->nearest_rack_mm;
      }
    }
    if (p.at(side) && i < bands.travel_mm.size())
      position["bands_5_50_95"] = band_json(bands, side, i);
    if (p.roll_rad != 0.0) {
      position["roll_deg"] = degrees(p.roll_rad);
      position["mean_travel_mm"] = p.travel_mm;
    }
    if (p.axle) {
      Json a;
      a["roll_centre_height_mm"] = p.axle->roll_centre_height_mm;
      if (p.axle->roll_centre_sideways_mm)
        a["roll_centre_sideways_mm"] = *p.axle->roll_centre_sideways_mm;
      a["track_mm"] = p.axle->track_mm;
      a["track_change_mm"] = p.axle->track_change_mm;
      if (p.axle->ackermann_error_rad)
        a["ackermann_error_deg"] = degrees(*p.axle->ackermann_error_rad);
      position["axle"] = std::move(a);
    }
    j["positions"].push_back(std::move(position));
  }
  return j;
}

}  // namespace trammel
