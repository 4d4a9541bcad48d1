#include "wire/make_json.h"

#include "make/part_drawings.h"
#include "make/reasons.h"
#include "travel/readings.h"
#include "wire/json_values.h"

namespace trammel {
namespace {

Json forces_json(const AxleForces& a) {
  Json j;
  for (const auto& c : a.loads.cases) j["cases"].push_back({{"name", c.name}, {"shock", c.shock}});
  for (const auto& p : a.parts) {
    Json row{{"part", p.part},
             {"worst_case", a.loads.cases.empty() ? "" : a.loads.cases[p.worst].name}};
    const char* key = p.measure == Measure::torque ? "nmm" : "n";
    row[key] = Json::array();
    for (const auto& v : p.by_case) row[key].push_back(v ? Json(*v) : Json());
    j["parts"].push_back(std::move(row));
  }
  if (a.why) j["why"] = words(*a.why);
  return j;
}

Json judgement_json(const ThingJudged& by_kind) {
  const auto judged = in_words(by_kind, Units::metric);
  Json j{{"of", judged.of}, {"verdict", words(judged.verdict())}};
  if (!judged.fails.empty()) j["fails"] = judged.fails;
  for (const auto& u : judged.unjudged)
    j["not_judged"].push_back({{"what", u.what}, {"key", u.key}});
  return j;
}

Json checks_json(const std::vector<Check>& checks) {
  Json j = Json::array();
  for (const auto& c : checks)
    j.push_back({{"what", what_gives(c)},
                 {"value", c.value},
                 {"allowed", c.limit},
                 {"at_least", c.at_least},
                 {"unit", unit_word(c.in)},
                 {"used", c.used},
                 {"worst_case", c.by}});
  return j;
}

Json part_json(const PartToMake& p) {
  Json j{{"option", p.option.name},
         {"kind", words(p.made.kind)},
         {"material", p.made.material.name},
         {"verdict", p.nothing ? "nothing to make" : words(p.judged.verdict())}};
  if (p.side) j["side"] = word(*p.side);
  if (p.nothing) {
    j["why"] = words(*p.nothing);
    return j;
  }
  j["judged"] = judgement_json(p.judged);
  if (p.weld) j["weld"] = judgement_json(*p.weld);
  if (const auto stamp = stamp_of(p); !stamp.empty()) j["stamp"] = stamp;
  if (p.stands_on) {
    Json on{{"on", words(p.stands_on->on)}};
    if (!p.stands_on->by.empty()) {
      on["now_nmm"] = p.stands_on->now_nmm;
      on["added_nmm"] = p.stands_on->added_nmm;
      if (p.stands_on->as_built_nmm) on["as_built_nmm"] = *p.stands_on->as_built_nmm;
      on["worst_case"] = p.stands_on->by;
    }
    j["stands_on"] = std::move(on);
  }
  if (!p.plate) {
    j["thickness_mm"] = p.thickness_mm;
    j["outside_mm"] = p.made.outside_mm;
    j["checks"] = checks_json(p.turned->checks);
    return j;
  }
  j["hole_mm"] = p.hole_mm;
  if (p.room_mm) j["room_mm"] = *p.room_mm;
  if (p.plate->why != PlateChoice::Why::none) j["why"] = why_words(*p.plate, Units::metric);
  if (!p.plate->plate) return j;
  j["thickness_mm"] = p.plate->plate->thickness_mm;
  j["checks"] = checks_json(p.plate->plate->checks);
  return j;
}

Json bolt_json(const BoltToFit& b) {
  Json j{{"name", b.fastener.name},
         {"thread", b.joint.thread.name},
         {"class", name(b.joint.bolt_class)}};
  j["judged"] = judgement_json(b.judged);
  if (b.why) j["why"] = words(*b.why, Units::metric);
  if (b.next.take) j["length_mm"] = b.next.take->length_mm;
  j["passes"] = b.next.passes;
  j["words"] = b.why ? "" : words(b.joint, b.next, Units::metric);
  if (b.now) j["now_passes"] = b.now->passes;
  if (b.slip) {
    j["slip_factor"] = b.slip->factor;
    j["least_slip_factor"] = b.slip->least_factor;
  }
  return j;
}

Json rod_end_json(const RodEndSeen& e) {
  Json j{{"joint", e.name}, {"tilt_asked_deg", degrees(e.asked_rad)}};
  j["judged"] = judgement_json(e.judged);
  if (e.limit_rad) j["tilt_limit_deg"] = degrees(*e.limit_rad);
  if (e.worst_n > 0.0) {
    j["worst_n"] = e.worst_n;
    j["worst_case"] = e.worst_case;
  }
  if (e.rating) j["rating_factor"] = e.rating->factor;
  if (e.rod) {
    j["rod_length_mm"] = e.rod->length_mm;
    j["rod_push_n"] = e.rod->push_n;
    j["rod_buckles_n"] = e.rod->strength.buckles_n;
  }
  if (e.single) {
    j["stack_factor"] = e.single->factor;
    j["least_stack_factor"] = e.single->least_factor;
  }
  return j;
}

}  // namespace

Json to_json(const Making& m) {
  Json j;
  for (const AxleName name : {AxleName::front, AxleName::rear})
    if (const auto& a = m.axle[static_cast<std::size_t>(name)])
      j["forces"][word(name)] = forces_json(*a);
  j["parts"] = Json::array();
  for (const auto& p : m.parts) j["parts"].push_back(part_json(p));
  j["bolts"] = Json::array();
  for (const auto& b : m.bolts) j["bolts"].push_back(bolt_json(b));
  j["rod_ends"] = Json::array();
  for (const auto& e : m.rod_ends) j["rod_ends"].push_back(rod_end_json(e));
  j["judged"] = Json::array();
  for (const auto& one : m.judged()) j["judged"].push_back(judgement_json(one));
  return j;
}

}  // namespace trammel
