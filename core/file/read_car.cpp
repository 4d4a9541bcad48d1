#include "file/read_car.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "file/alignment.h"
#include "file/jobs.h"
#include "file/read_axle.h"
#include "file/survey.h"
#include "file/table_reader.h"
#include "file/workshop.h"

namespace trammel {
namespace {

AxleState read_axle_state(TableReader& state, const Car& car, AxleName name, bool described,
                          std::vector<Fault>& faults) {
  AxleState s;
  const char* key = word(name);
  if (!state.has(key)) {
    state.child(key);
    return s;
  }
  const Value* v = state.child(key);
  const auto& axle = car.at(name);
  if (!described) {
    state.fault_at(key, fmt::format("the file describes no {0} axle, expected a table [{0}...] or "
                                    "no word of it here",
                                    key));
    return s;
  }
  if (!v->table()) {
    s.height_mm = state.number(key, Kind::length, Need::optional).value_or(0.0);
  } else {
    TableReader t(*v, fmt::format("{}.{}", state.path(), key), faults);
    s.height_mm = t.number("height", Kind::length, Need::required).value_or(0.0);
    s.toe_rad = t.number("toe", Kind::angle, Need::optional);
    s.camber_rad = t.number("camber", Kind::angle, Need::optional);
    if (s.toe_rad && axle && !axle->toe_adjuster)
      t.fault_at("toe", fmt::format("nothing says which rod sets toe, expected [{}.adjust] toe = "
                                    "{{ rod = \"NAME\" }}",
                                    key));
    if (s.camber_rad && axle && !axle->camber_adjuster)
      t.fault_at("camber", fmt::format("nothing says what sets camber, expected [{}.adjust] camber "
                                       "= {{ rod = \"NAME\" }} or {{ joint = \"...\", along = "
                                       "[0, 1, 0] }}",
                                       key));
    t.close();
  }
  if (std::fabs(s.height_mm) > 500.0)
    state.fault_at(key, "is more than 500 mm, expected how much higher the body stood (mm)");
  return s;
}

void read_states(TableReader& root, Car& car, const Document& document,
                 std::vector<Fault>& faults) {
  const Value* states = root.child("state");
  if (!states) return;
  if (!states->table()) {
    root.fault_at("state", "is not a table, expected [state.NAME]");
    return;
  }
  for (const auto& entry : *states->table()) {
    const auto path = "state." + entry.key;
    if (entry.key == "as_measured") {
      faults.push_back({entry.line, path + ": is the car as the file describes it and has no "
                                           "height of its own, expected another name"});
      continue;
    }
    TableReader t(entry.value, path, faults);
    RideState state;
    state.name = entry.key;
    state.line = entry.line;
    for (const AxleName name : {AxleName::front, AxleName::rear})
      state.axle[static_cast<std::size_t>(name)] =
          read_axle_state(t, car, name, document.root.find(word(name)) != nullptr, faults);
    t.close();
    car.states.push_back(std::move(state));
  }
}

void read_body(TableReader& root, Car& car, std::vector<Fault>& faults) {
  const Value* v = root.child("body");
  if (!v) return;
  TableReader t(*v, "body", faults);
  auto& body = car.body;
  body.wheelbase_mm = t.above_zero("wheelbase", Kind::length, Need::optional);
  body.centre_of_gravity_height_mm =
      t.above_zero("centre_of_gravity_height", Kind::length, Need::optional);
  body.steering_ratio = t.above_zero("steering_ratio", Kind::ratio, Need::optional);
  body.brake_front = t.number("brake_front", Kind::ratio, Need::optional);
  if (body.brake_front && !(*body.brake_front >= 0.0 && *body.brake_front <= 1.0))
    t.fault_at("brake_front", "is not between 0 and 1, expected the front axle's share of braking");
  if (const auto drive = t.text("drive", Need::optional)) {
    if (*drive == "front") body.drive = DrivenAxle::front;
    else if (*drive == "rear") body.drive = DrivenAxle::rear;
    else if (*drive == "all") body.drive = DrivenAxle::all;
    else
      t.fault_at("drive", fmt::format("'{}' is no driven axle, expected \"front\", \"rear\" or "
                                      "\"all\"",
                                      *drive));
  }
  if (const Value* c = t.child("corner_weights")) {
    TableReader w(*c, "body.corner_weights", faults);
    std::array<std::array<double, 2>, 2> kg{};
    bool complete = true;
    for (const AxleName a : {AxleName::front, AxleName::rear})
      for (const Side s : {Side::left, Side::right}) {
        const auto n =
            w.above_zero(fmt::format("{}_{}", word(a), word(s)), Kind::mass, Need::required);
        complete = complete && n.has_value();
        kg[static_cast<std::size_t>(a)][static_cast<std::size_t>(s)] = n.value_or(0.0);
      }
    w.close();
    if (complete) body.corner_kg = kg;
  }
  if (const Value* u = t.child("unsprung")) {
    TableReader w(*u, "body.unsprung", faults);
    for (const AxleName a : {AxleName::front, AxleName::rear})
      body.unsprung_axle_kg[static_cast<std::size_t>(a)] =
          w.above_zero(word(a), Kind::mass, Need::optional).value_or(0.0);
    w.close();
  }
  t.close();
}

}  // namespace

std::optional<double> Car::wheelbase_mm() const {
  if (body.wheelbase_mm) return body.wheelbase_mm;
  if (!axle[0] || !axle[1]) return {};
  const auto x = [](const Axle& a) {
    return 0.5 *
           (a.at(Side::left).numbers.points_mm[0].x + a.at(Side::right).numbers.points_mm[0].x);
  };
  return x(*axle[0]) - x(*axle[1]);
}

CarOnPaper car_on_paper(const Document& document) {
  CarOnPaper paper;
  auto& faults = paper.faults;
  const Table& table = *document.root.table();
  if (table.empty()) {
    faults.push_back(
        {1, "the file holds nothing, expected a car file that begins with trammel = 1"});
    return paper;
  }
  TableReader root(document.root, "", faults);
  const Value* format = root.child("trammel");
  if (!format) {
    faults.push_back({1, "'trammel' is missing, expected trammel = 1 at the head of a car file"});
  } else if (const auto* n = std::get_if<std::int64_t>(&format->is); !n || *n < 1) {
    faults.push_back({format->line, "trammel: is not a format number, expected trammel = 1"});
  } else if (*n > car_file_format) {
    // Nothing else can be judged by today's rules.
    faults.push_back(
        {format->line, fmt::format("trammel: this file is of format {}, expected {} or "
                                   "less: a newer edition of the program reads it",
                                   *n, car_file_format)});
    return paper;
  }
  paper.car.name = root.text("name", Need::optional).value_or("");
  paper.car.demo = root.flag("demo").value_or(false);
  bool described = false;
  for (const AxleName name : {AxleName::front, AxleName::rear})
    if (const Value* v = root.child(word(name))) {
      described = true;
      paper.car.at(name) = read_axle(name, *v, faults);
    }
  if (!described)
    faults.push_back({1,
                      "no axle is described, expected [front.wheel] and its members, or "
                      "[rear.wheel] and its members"});
  read_body(root, paper.car, faults);
  read_states(root, paper.car, document, faults);
  paper.tables = read_tables(document, paper.car);
  const auto& t = paper.tables;
  for (const auto* of : {&t.wishes.faults, &t.workshop.faults, &t.jobs.faults, &t.survey.faults,
                         &t.alignment.faults})
    faults.insert(faults.end(), of->begin(), of->end());
  for (const char* list :
       {"option", "job", "survey", "reading", "alignment", "make", "fastener", "rod_end", "load"})
    root.child(list);
  root.close();
  std::stable_sort(faults.begin(), faults.end(),
                   [](const Fault& a, const Fault& b) { return a.line < b.line; });
  return paper;
}

}  // namespace trammel
