#include "wire/correct_json.h"

#include <cmath>

#include "correct/reasons.h"
#include "wire/json_values.h"

namespace trammel {
namespace {

void put(Json& j, const WheelFigures& f) {
  j["toe_change_max_deg"] = degrees(f.toe_change_max_rad);
  j["toe_change_rms_deg"] = degrees(f.toe_change_rms_rad);
  j["bump_steer_deg_per_mm"] = degrees(f.bump_steer);
  j["camber_deg"] = degrees(f.camber_rad);
  j["camber_gain_deg_per_mm"] = degrees(f.camber_gain);
  j["toe_deg"] = degrees(f.toe_rad);
  j["half_track_mm"] = f.half_track_mm;
  if (f.caster_rad) j["caster_deg"] = degrees(*f.caster_rad);
  if (f.steering_axis_inclination_rad)
    j["steering_axis_inclination_deg"] = degrees(*f.steering_axis_inclination_rad);
  if (f.scrub_radius_mm) j["scrub_radius_mm"] = *f.scrub_radius_mm;
  if (f.caster_trail_mm) j["caster_trail_mm"] = *f.caster_trail_mm;
}

// What stands beside the sides' own objects is the worse wheel's, all of it.
void put(Json& j, const AxleFigures& f) {
  put(j, f.worse());
  j.erase("half_track_mm");
  j["worse_side"] = word(f.worse_side());
  j["roll_centre_height_mm"] = f.roll_centre_height_mm;
  j["track_mm"] = f.track_mm;
  for (const Side side : each_side) put(j[word(side)], f.wheel[side]);
}

Json to_json(const Shelf& shelf, const Candidate& c) {
  Json j;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& choice = shelf.choices[i];
    const auto part = [&](const SizeOrPlace& p) {
      return choice.made_to_measure() ? list(p.by_mm) : Json(p.size_mm);
    };
    const auto& [left, right] = c.fit.part[i];
    auto& said = j["choices"][choice.option.name];
    if (left == right) said = part(left);
    else said = {{"left", part(left)}, {"right", part(right)}};
  }
  if (!c.figures) {
    j["not_possible"] = words(c.why, Units::metric);
    j["meets_targets"] = false;
    return j;
  }
  put(j, *c.figures);
  j["toe_rod_change_mm"] = c.toe_rod_mm[c.figures->worse_side()];
  for (const Side side : each_side) j[word(side)]["toe_rod_change_mm"] = c.toe_rod_mm[side];
  j["meets_targets"] = c.meets();
  j["share_of_tolerance"] = c.share;
  if (c.chance) {
    j["chance"] = *c.chance;
    j["chance_samples"] = c.chance_samples;
    j["equal_to_best"] = c.equal_to_best;
  }
  if (!c.misses.empty()) j["misses"] = words(c.misses, Units::metric);
  if (c.stop) j["stop"] = words(*c.stop);
  if (c.height) {
    auto& p = j["perch_untouched"];
    const auto& h = *c.height;
    const auto both = [&](Json& into, Side side) {
      into["body_lower_mm"] = h.body_mm[side];
      into["perch_mm"] = h.perch_mm[side];
      if (h.perch_turns[side]) into["perch_turns"] = *h.perch_turns[side];
    };
    both(p, Side::left);
    p["roll_centre_height_mm"] = h.roll_centre_height_mm;
    if (h.perch_mm.left != h.perch_mm.right)
      for (const Side side : each_side) both(p[word(side)], side);
  }
  return j;
}

Json to_json(const Ranking& r, const HoleMap& map) {
  constexpr std::array<const char*, 3> names{"x_mm", "y_mm", "z_mm"};
  Json m;
  m["option"] = r.shelf.choices[map.choice].option.name;
  for (std::size_t k = 0; k < 2; ++k)
    m[names[static_cast<std::size_t>(map.axes[k])]] = {
        {"at", map.at_mm[k]}, {"best", map.hole_mm[k]}, {"holds", map.holds_mm[k]}};
  m["holds_both_ways_mm"] = map.both_ways_mm;
  m["is_room_for_drilling"] = map.is_room();
  if (!map.chance.empty()) {
    m["chance"] = map.chance;
    m["best_chance"] = map.best_chance;
  }
  m["meets_targets"] = map.meets;
  m["toe_change_max_deg"] = Json::array();
  for (const auto& line : map.toe_change_rad) {
    Json cells = Json::array();
    for (const double x : line) cells.push_back(std::isfinite(x) ? Json(degrees(x)) : Json());
    m["toe_change_max_deg"].push_back(std::move(cells));
  }
  return m;
}

}  // namespace

Json to_json(const AxleCorrection& c) {
  const auto& r = c.ranking;
  Json j;
  j["axle"] = word(r.axle);
  j["window_mm"] = r.wanted.window_mm;
  j["toe_change_wanted_deg"] = degrees(r.wanted.toe_change_rad);
  j["toe_is_reset"] = r.toe_is_reset;
  j["right_is_mirrored"] = !r.sides_apart;
  if (r.guessed) j["joints_are_guesses"] = true;
  put(j["before"], r.before);
  j["candidates"] = Json::array();
  for (const auto& x : r.candidates) j["candidates"].push_back(to_json(r.shelf, x));
  if (c.chosen) j["chosen"] = to_json(r.shelf, *c.chosen);
  if (c.rule) {
    j["rule_of_thumb"] = to_json(r.shelf, c.rule->candidate);
    j["rule_of_thumb"]["rod"] = c.rule->rod;
    j["rule_of_thumb"]["parallel_to"] = c.rule->arm;
  }
  for (const auto& map : c.maps) {
    if (map.side) j["map_by_side"][word(*map.side)] = to_json(r, map);
    else j["map"] = to_json(r, map);
  }
  if (c.sure) {
    const auto one = [](const Sureness& s, double unit) {
      return Json{{"as_it_sits", s.as_it_sits * unit},
                  {"change", s.change * unit},
                  {"corrected", s.corrected * unit},
                  {"as_it_sits_after_gauge", s.as_it_sits_after_gauge * unit},
                  {"corrected_after_gauge", s.corrected_after_gauge * unit}};
    };
    const auto wheel = [&](const WheelSureness& w) {
      return Json{{"bump_steer_deg_per_mm", one(w.bump_steer, degrees(1.0))},
                  {"camber_deg", one(w.camber, degrees(1.0))},
                  {"toe_change_max_deg_5_95_percent",
                   {degrees(w.toe_change_low_rad), degrees(w.toe_change_high_rad)}}};
    };
    // Beside the sides' own: of the wheel whose figures stand beside the set's.
    const Side worse = c.to_fit()->figures->worse_side();
    auto& u = j["standard_uncertainty"];
    u["bump_steer_deg_per_mm"] = one(c.sure->wheel[worse].bump_steer, degrees(1.0));
    u["worse_side"] = word(worse);
    u["roll_centre_height_mm"] = one(c.sure->roll_centre, 1.0);
    for (const Side side : each_side) u[word(side)] = wheel(c.sure->wheel[side]);
    j["toe_change_max_deg_5_95_percent"] = {degrees(c.sure->wheel[worse].toe_change_low_rad),
                                            degrees(c.sure->wheel[worse].toe_change_high_rad)};
  }
  if (c.chance_of_its_own_right)
    j["chance_with_a_right_side_of_its_own"] = *c.chance_of_its_own_right;
  for (const auto& refused : r.shelf.refused)
    j["refused"].push_back({{"option", refused.option}, {"why", words(refused)}});
  for (const auto& left : r.shelf.left_out) j["left_out"].push_back(words(left, Units::metric));
  return j;
}

}  // namespace trammel
