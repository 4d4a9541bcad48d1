#include "wire/measure_json.h"

#include "travel/readings.h"
#include "wire/json_values.h"

namespace trammel {
namespace {

// Of a reading: mm, or degrees where it is an angle.
double in_its_unit(ReadingKind kind, double x) {
  return quantity_kind(kind) == Kind::length ? x : degrees(x);
}

Json reading_json(const ReadingResult& r) {
  Json j;
  j["name"] = r.name;
  j["kind"] = word(r.kind);
  j["where"] = r.where;
  j["line"] = r.line;
  j["unit"] = quantity_kind(r.kind) == Kind::length ? "mm" : "deg";
  j["value"] = in_its_unit(r.kind, r.value);
  j["sigma"] = in_its_unit(r.kind, r.sigma);
  j["residual"] = in_its_unit(r.kind, r.residual);
  j["normalised_residual"] = r.normalised;
  j["redundancy"] = r.redundancy;
  j["suspect"] = r.suspect;
  j["left_out"] = r.left_out;
  j["set_aside"] = r.set_aside;
  j["unchecked"] = r.unchecked;
  if (r.suspect) j["disagrees"] = in_its_unit(r.kind, r.disagrees);
  if (r.slip)
    j["likely_slip"] = {{"what", r.slip->what}, {"value", in_its_unit(r.kind, r.slip->value)}};
  return j;
}

}  // namespace

Json to_json(const Adjusted& a) {
  Json j;
  j["points"] = Json::object();
  for (const auto& p : a.points)
    j["points"][p.name] = {{"at_mm", list(p.at_mm)}, {"sigma_mm", list(p.sigma_mm)}};
  j["readings"] = Json::array();
  for (const auto& r : a.readings) j["readings"].push_back(reading_json(r));
  j["chi_square"] = a.chi_square;
  j["degrees_of_freedom"] = a.degrees_of_freedom;
  j["chance_of_worse_fit"] = a.chance;
  j["groups"] = Json::array();
  for (const auto& g : a.groups) {
    Json names = Json::array();
    for (const std::size_t i : g.readings) names.push_back(a.readings[i].name);
    j["groups"].push_back({{"readings", std::move(names)}, {"decided_by", g.decides}});
  }
  j["gauges"] = Json::array();
  for (const auto& g : a.gauges) {
    Json run{{"name", g.name},
             {"axle", word(g.axle)},
             {"side", word(g.side)},
             {"rows", g.rows},
             {"largest_normalised_residual", g.largest_normalised},
             {"rows_left_out", g.suspect_rows},
             {"left_out", g.left_out},
             {"signs_turned", g.signs_turned},
             {"set_aside", g.set_aside},
             {"with_parts", g.with_parts}};
    if (g.hysteresis_rad) {
      run["hysteresis_deg"] = degrees(*g.hysteresis_rad);
      run["hysteresis_sigma_deg"] = degrees(*g.hysteresis_sigma_rad);
    }
    j["gauges"].push_back(std::move(run));
  }
  j["sides_that_differ"] = Json::array();
  for (const auto& m : a.sides)
    j["sides_that_differ"].push_back({{"what", m.what}, {"by_mm", m.by_mm}});
  j["free"] = a.free;
  j["only_by_prior"] = a.only_by_prior;
  j["taken_as_exact"] = a.as_given;
  j["circumstances"] = Json::array();
  for (const auto& c : a.circumstances) {
    const bool mm = c.measure == Measure::length;
    const auto said = [&](double x) { return mm ? x : degrees(x); };
    j["circumstances"].push_back({{"what", c.what},
                                  {"unit", mm ? "mm" : "deg"},
                                  {"value", said(c.value)},
                                  {"sigma", said(c.sigma)},
                                  {"file_value", said(c.file_value)},
                                  {"file_sigma", said(c.file_sigma)}});
  }
  j["asked"] = words(a.asked, Units::metric);
  j["remarks"] = a.remarks;
  return j;
}

Json to_json(const std::vector<Advices>& axles) {
  Json j = Json::array();
  for (const auto& a : axles) {
    Json one{{"axle", word(a.axle)},
             {"bump_steer_sigma_deg_per_mm", degrees(a.bump_steer_sigma)},
             {"roll_centre_sigma_mm", a.roll_centre_sigma}};
    if (a.chance_today) one["chance_today"] = *a.chance_today;
    one["readings"] = Json::array();
    for (const auto& x : a.best) {
      Json r{{"what", x.action.what}, {"tool", x.action.tool}, {"how", x.action.how}};
      if (x.chance_after) {
        r["chance_after"] = *x.chance_after;
        r["gain"] = x.gain;
      }
      r["bump_steer_sigma_deg_per_mm"] = degrees(x.bump_steer_sigma);
      r["roll_centre_sigma_mm"] = x.roll_centre_sigma;
      one["readings"].push_back(std::move(r));
    }
    j.push_back(std::move(one));
  }
  return j;
}

}  // namespace trammel
