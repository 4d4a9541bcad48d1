#include "wire/correct_json.h"

#include <cmath>

namespace trammel {
namespace {

using Json = nlohmann::ordered_json;

double degrees(double rad) { return in_key_unit(rad, Measure::angle); }

Json list(const Vec3<double>& v) { return Json::array({v.x, v.y, v.z}); }

void put(Json& j, const AxleFigures& f) {
  j["toe_change_max_deg"] = degrees(f.toe_change_max_rad);
  j["toe_change_rms_deg"] = degrees(f.toe_change_rms_rad);
  j["bump_steer_deg_per_mm"] = degrees(f.bump_steer);
  j["roll_centre_height_mm"] = f.roll_centre_height_mm;
  j["camber_deg"] = degrees(f.camber_rad);
  j["camber_gain_deg_per_mm"] = degrees(f.camber_gain);
  j["toe_deg"] = degrees(f.toe_rad);
  if (f.caster_rad) j["caster_deg"] = degrees(*f.caster_rad);
  if (f.steering_axis_inclination_rad)
    j["steering_axis_inclination_deg"] = degrees(*f.steering_axis_inclination_rad);
  if (f.scrub_radius_mm) j["scrub_radius_mm"] = *f.scrub_radius_mm;
  if (f.caster_trail_mm) j["caster_trail_mm"] = *f.caster_trail_mm;
}

Json to_json(const Shelf& shelf, const Candidate& c) {
  Json j;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& choice = shelf.choices[i];
    if (choice.made_to_measure()) j["choices"][choice.option->name] = list(c.fit.by_mm[i]);
    else j["choices"][choice.option->name] = c.fit.size_mm[i];
  }
  if (!c.figures) {
    j["not_possible"] = c.why;
    j["meets_targets"] = false;
    return j;
  }
  put(j, *c.figures);
  j["toe_rod_change_mm"] = c.toe_rod_mm[0];
  if (c.toe_rod_mm[1] != c.toe_rod_mm[0]) j["toe_rod_change_right_mm"] = c.toe_rod_mm[1];
  j["meets_targets"] = c.meets();
  j["share_of_tolerance"] = c.share;
  if (c.chance) {
    j["chance"] = *c.chance;
    j["chance_samples"] = c.chance_samples;
    j["equal_to_best"] = c.equal_to_best;
  }
  if (!c.misses.empty()) j["misses"] = c.misses;
  if (!c.stop.empty()) j["stop"] = c.stop;
  if (c.height) {
    j["perch_untouched"] = {{"body_lower_mm", c.height->body_mm},
                            {"roll_centre_height_mm", c.height->roll_centre_height_mm},
                            {"perch_mm", c.height->perch_mm}};
    if (c.height->perch_turns) j["perch_untouched"]["perch_turns"] = *c.height->perch_turns;
  }
  return j;
}

}  // namespace

Json to_json(const AxleCorrection& c) {
  const auto& r = c.ranking;
  Json j;
  j["axle"] = word(r.axle);
  j["window_mm"] = r.wanted.window_mm;
  j["toe_change_wanted_deg"] = degrees(r.wanted.toe_change_rad);
  j["toe_is_reset"] = r.toe_is_reset;
  put(j["before"], r.before);
  j["candidates"] = Json::array();
  for (const auto& x : r.candidates) j["candidates"].push_back(to_json(r.shelf, x));
  if (c.chosen) j["chosen"] = to_json(r.shelf, *c.chosen);
  if (c.rule) {
    j["rule_of_thumb"] = to_json(r.shelf, c.rule->candidate);
    j["rule_of_thumb"]["rod"] = c.rule->rod;
    j["rule_of_thumb"]["parallel_to"] = c.rule->arm;
  }
  if (c.map) {
    constexpr std::array<const char*, 3> names{"x_mm", "y_mm", "z_mm"};
    auto& m = j["map"];
    m["option"] = r.shelf.choices[c.map->choice].option->name;
    for (std::size_t k = 0; k < 2; ++k)
      m[names[static_cast<std::size_t>(c.map->axes[k])]] = {
          {"at", c.map->at_mm[k]}, {"best", c.map->hole_mm[k]}, {"holds", c.map->holds_mm[k]}};
    m["holds_both_ways_mm"] = c.map->both_ways_mm;
    if (!c.map->chance.empty()) {
      m["chance"] = c.map->chance;
      m["best_chance"] = c.map->best_chance;
      m["is_room_for_drilling"] = c.map->is_room();
    }
    m["toe_change_max_deg"] = Json::array();
    for (const auto& line : c.map->toe_change_rad) {
      Json cells = Json::array();
      for (const double x : line) cells.push_back(std::isfinite(x) ? Json(degrees(x)) : Json());
      m["toe_change_max_deg"].push_back(std::move(cells));
    }
  }
  if (c.sure) {
    const auto one = [](const Sureness& s, double unit) {
      return Json{{"as_it_sits", s.as_it_sits * unit},
                  {"change", s.change * unit},
                  {"corrected", s.corrected * unit},
                  {"as_it_sits_after_gauge", s.as_it_sits_after_gauge * unit},
                  {"corrected_after_gauge", s.corrected_after_gauge * unit}};
    };
    j["standard_uncertainty"] = {{"bump_steer_deg_per_mm", one(c.sure->bump_steer, degrees(1.0))},
                                 {"roll_centre_height_mm", one(c.sure->roll_centre, 1.0)}};
    j["toe_change_max_deg_5_95_percent"] = {degrees(c.sure->toe_change_low_rad),
                                            degrees(c.sure->toe_change_high_rad)};
  }
  for (const auto& refused : r.shelf.refused)
    j["refused"].push_back({{"option", refused.option}, {"why", refused.why}});
  if (!r.shelf.left_out.empty()) j["left_out"] = r.shelf.left_out;
  return j;
}

}  // namespace trammel
