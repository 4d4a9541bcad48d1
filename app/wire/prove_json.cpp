#include "wire/prove_json.h"

#include "prove/reasons.h"
#include "travel/readings.h"
#include "wire/json_values.h"

namespace trammel {
namespace {

double deg_per_mm(double slope) { return in_key_unit(slope, Measure::angle_per_length); }

Json with_json(const std::vector<Chosen>& with, const Wishes& wishes) {
  Json j = Json::object();
  for (const auto& c : with) {
    const auto& option = wishes.options[c.option];
    const bool made = std::holds_alternative<MadeToMeasure>(option.choice);
    const auto part = [&](const SizeOrPlace& p) {
      return made ? Json{p.by_mm.x, p.by_mm.y, p.by_mm.z} : Json(p.size_mm);
    };
    if (c.part.left == c.part.right) j[option.name] = part(c.part.left);
    else j[option.name] = {{"left", part(c.part.left)}, {"right", part(c.part.right)}};
  }
  return j;
}

// Which dials a cause is about; empty where two dials cannot be told apart.
std::string_view dials_word(Cause::Of of) {
  switch (of) {
    case Cause::Of::front:
      return "front";
    case Cause::Of::rear:
      return "rear";
    case Cause::Of::low:
      return "low";
    case Cause::Of::both_upper:
      return "front and rear";
    case Cause::Of::exchanged:
      return "front and rear exchanged";
    case Cause::Of::all:
      return "all";
    case Cause::Of::two:
      break;
  }
  return {};
}

Json cause_json(const Cause& c) {
  Json j{{"what", word(c.kind)}};
  switch (c.kind) {
    case Cause::Kind::joint:
      j["joint"] = c.joint;
      j["axis"] = std::string(1, "xyz"[c.axis]);
      j["by_mm"] = c.by;
      j["sigma_mm"] = c.sigma;
      break;
    case Cause::Kind::part_size:
      j["option"] = c.option;
      j["size_mm"] = c.size_mm;
      j["fitted_mm"] = c.fitted_mm;
      break;
    case Cause::Kind::travel_zero:
      j["by_mm"] = c.by;
      j["sigma_mm"] = c.sigma;
      break;
    case Cause::Kind::hook:
      j["from_mm"] = c.from_mm;
      j["at_end_deg"] = degrees(c.by);
      break;
    case Cause::Kind::row:
      j["row"] = c.row + 1;
      j["travel_mm"] = c.from_mm;
      j["by_mm"] = c.by;
      j["sigma_mm"] = c.sigma;
      break;
    case Cause::Kind::no_parts:
    case Cause::Kind::signs:
    case Cause::Kind::travel_sign:
      break;
  }
  if (const auto dials = dials_word(c.of); !dials.empty()) j["dials"] = dials;
  j["chi_square_less"] = c.better;
  j["explains"] = c.explains;
  return j;
}

Json window_json(const WindowKnown& w) {
  return {{"toe_change_max_deg", degrees(w.change_max_rad)},
          {"toe_change_low_deg", degrees(w.low_rad)},
          {"toe_change_high_deg", degrees(w.high_rad)},
          {"wanted_deg", degrees(w.wanted_rad)},
          {"chance", w.chance},
          {"bump_steer_deg_per_mm", deg_per_mm(w.slope)},
          {"bump_steer_sigma_deg_per_mm", deg_per_mm(w.slope_sigma)}};
}

Json next_json(const NextShim& n, Side side) {
  Json j{{"option", n.option},
         {"toe_change_fitted_deg", degrees(n.fitted_rad)},
         {"toe_change_deg", degrees(n.next_rad)},
         {"plain_rule_mm", n.by_mm}};
  if (n.made) {
    const auto place = [&](const Fit& fit) {
      const auto& by = fit.part[n.choice][side].by_mm;
      return Json{by.x, by.y, by.z};
    };
    j["fitted_at_mm"] = place(n.fitted);
    j["at_mm"] = place(n.next);
    j["plain_rule_axis"] = std::string(1, "xyz"[n.axis]);
  } else {
    j["fitted_mm"] = n.fitted.part[n.choice][side].size_mm;
    j["size_mm"] = n.next.part[n.choice][side].size_mm;
  }
  return j;
}

Json run_json(const RunProof& r, const Wishes& wishes) {
  Json j{{"name", r.name},
         {"axle", word(r.axle)},
         {"side", word(r.side)},
         {"with", with_json(r.with, wishes)}};
  if (r.why) {
    j["why_not_judged"] = words(*r.why, Units::metric);
    return j;
  }
  j["verdict"] = word(r.verdict);
  j["holds"] = r.holds();
  j["chi_square"] = r.test.chi_square;
  j["degrees_of_freedom"] = r.test.degrees;
  j["chance"] = r.test.chance;
  j["only_dials"] = r.only_dials;
  if (r.play) {
    j["up_against_down_deg"] = degrees(r.play->rad);
    j["up_against_down_sigma_deg"] = degrees(r.play->sigma_rad);
    j["loose"] = r.loose;
  }
  j["shape"] = word(r.shape.shape);
  for (const auto& row : r.rows)
    j["rows"].push_back({{"travel_mm", row.travel_mm},
                         {"toe_change_read_deg", degrees(row.read_rad)},
                         {"toe_change_predicted_deg", degrees(row.predicted_rad)},
                         {"sigma_deg", degrees(row.sigma_rad)},
                         {"off_sigmas", row.off_sigmas}});
  for (const auto& row : r.camber_rows)
    j["camber_rows"].push_back({{"travel_mm", row.travel_mm},
                                {"camber_change_read_deg", degrees(row.read_rad)},
                                {"camber_change_predicted_deg", degrees(row.predicted_rad)},
                                {"sigma_deg", degrees(row.sigma_rad)},
                                {"off_sigmas", row.off_sigmas}});
  if (r.toe_test)
    j["toe_alone"] = {{"chi_square", r.toe_test->chi_square},
                      {"degrees_of_freedom", r.toe_test->degrees},
                      {"chance", r.toe_test->chance}};
  if (r.roll_centre) {
    auto& c = j["roll_centre"];
    c["predicted_mm"] = r.roll_centre->predicted_mm;
    c["predicted_sigma_mm"] = r.roll_centre->predicted_sigma_mm;
    if (r.roll_centre->mm && r.roll_centre->sigma_mm) {
      c["height_mm"] = *r.roll_centre->mm;
      c["sigma_mm"] = *r.roll_centre->sigma_mm;
    }
  }
  for (const auto& c : r.causes.likely) j["causes"].push_back(cause_json(c));
  for (const auto& c : r.causes.less_likely) j["less_likely"].push_back(cause_json(c));
  if (r.window) j["window"] = window_json(*r.window);
  return j;
}

Json expected_json(const ExpectedRun& e) {
  Json j{{"side", word(e.side)}};
  if (e.why) {
    j["why"] = words(*e.why, Units::metric);
    return j;
  }
  for (const auto& at : e.predicted)
    j["rows"].push_back({{"travel_mm", at.travel_mm},
                         {"toe_change_deg", degrees(at.rad)},
                         {"sigma_deg", degrees(at.sigma_rad)}});
  j["fails_from_deg_per_mm"] = deg_per_mm(e.fails_slope);
  return j;
}

}  // namespace

Json to_json(const Proving& p, const Wishes& wishes) {
  Json j;
  j["runs"] = Json::array();
  for (const auto& r : p.runs) j["runs"].push_back(run_json(r, wishes));
  for (const auto& a : p.axle) {
    if (!a) continue;
    Json of;
    // Of the axle only where both wheels have been run; each wheel by itself beside it.
    of["verdict"] = a->verdict ? std::string(word(*a->verdict)) : "not run";
    for (const Side side : each_side) {
      const auto* c = a->corner(side);
      of[word(side)] = c ? std::string(word(p.runs[c->run].verdict)) : "not run";
      if (c && c->next) of["next"][word(side)] = next_json(*c->next, side);
    }
    for (const auto& e : a->expected) of["expected"].push_back(expected_json(e));
    j["axles"][word(a->axle)] = std::move(of);
  }
  return j;
}

}  // namespace trammel
