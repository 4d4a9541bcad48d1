#include "file/alignment.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "file/survey.h"
#include "file/table_reader.h"

namespace trammel {
namespace {

constexpr double least_turn_rad = 0.08, most_turn_rad = 0.8;  // 5 and 45 degrees
constexpr double shortest_base_mm = 200.0;
constexpr double most_turned_mm = 60.0;
constexpr double least_across_mm = 200.0, least_across_car_mm = 500.0;

// Which row each key belongs to.
struct KeyOfRow {
  const char* key;
  const char* row;
};
constexpr std::array<KeyOfRow, 18> keys_of_rows{{
    {"edges", "wheel"},
    {"edges_half_turn", "wheel"},
    {"hub", "wheel"},
    {"camber", "wheel"},
    {"camber_out", "wheel"},
    {"camber_in", "wheel"},
    {"arch", "wheel"},
    {"toe_turned", "wheel"},
    {"camber_turned", "wheel"},
    {"caster_turned", "wheel"},
    {"plates", "axle"},
    {"left_pad_high", "axle"},
    {"wheelbases", "car"},
    {"steering_wheel", "car"},
    {"fitted", "car"},
    {"driven", "car"},
    {"rear_pads_high", "car"},
    {"strings_apart", "car"},
}};

class AlignmentReader {
 public:
  AlignmentReader(const Document& document, const Car& car) : document_(document), car_(car) {}

  AlignmentRows read() {
    const Value* rows = document_.root.find("alignment");
    if (!rows) return std::move(out_);
    if (!rows->array()) {
      out_.faults.push_back(
          {rows->line, "alignment: is not a list of rows, expected [[alignment]]"});
      return std::move(out_);
    }
    for (std::size_t i = 0; i < rows->array()->size(); ++i) {
      const auto& row = (*rows->array())[i];
      TableReader t(row, fmt::format("alignment[{}]", i), out_.faults);
      if (row.table()) read_row(t);
    }
    return std::move(out_);
  }

 private:
  void read_row(TableReader& t) {
    AlignmentRow r;
    r.line = t.line();
    const auto name = t.text("name", Need::optional);
    r.named = name && !name->empty();
    r.name = r.named ? *name : fmt::format("line {}", r.line);
    if (const auto [it, fresh] = lines_.emplace(r.name, r.line); !fresh)
      t.fault_at("name", fmt::format("'{}' is taken by line {}, expected a name of its own", r.name,
                                     it->second));
    if (const auto when = t.text("when", Need::optional); when && !when->empty()) r.when = *when;
    else if (!t.has("when") || when)
      t.fault(t.line(),
              "'when' is missing, expected a name for the day's readings such as when = "
              "\"as found\"");
    r.set_aside = t.flag("set_aside").value_or(false);
    r.note = t.text("note", Need::optional).value_or("");
    const bool placed = read_place(t, r);
    if (!placed) {
      // Its keys are not judged before it is known what they are of.
      for (const auto& [key, row] : keys_of_rows) t.child(key);
      for (const char* key : {"across", "edge_sigma", "sigma", "turn_out", "turn_in", "turn_sigma",
                              "base", "plates_sigma", "strings_length"})
        t.child(key);
    } else if (r.side) {
      read_wheel(t, r);
    } else if (r.axle) {
      read_axle_row(t, r);
    } else {
      read_car_row(t, r);
    }
    if (placed) belongs_elsewhere(t, r);
    t.close();
    out_.rows.push_back(std::move(r));
  }

  // False where it names a wheel or axle that is none.
  bool read_place(TableReader& t, AlignmentRow& r) {
    const auto wheel = t.text("wheel", Need::optional), axle = t.text("axle", Need::optional);
    if (wheel && axle) {
      t.fault(t.line(), "names a wheel and an axle, expected one of them");
      return false;
    }
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      if (axle && *axle == word(a)) r.axle = a;
      for (const Side s : {Side::left, Side::right})
        if (wheel && *wheel == fmt::format("{}.{}", word(a), word(s))) {
          r.axle = a;
          r.side = s;
        }
    }
    if (wheel && !r.side)
      t.fault_at("wheel", fmt::format("'{}' is no wheel, expected front.left, front.right, "
                                      "rear.left or rear.right",
                                      *wheel));
    if (axle && !r.axle)
      t.fault_at("axle", fmt::format("'{}' is no axle, expected front or rear", *axle));
    if (r.axle && !car_.at(*r.axle)) {
      if (!document_.root.find(word(*r.axle)))
        t.fault_at(r.side ? "wheel" : "axle",
                   fmt::format("the {} axle is not described", word(*r.axle)));
      return false;
    }
    return (!wheel || r.side) && (!axle || r.axle);
  }

  static Taken taken(const Quantity& q, double usual) { return {q.value, q.sigma.value_or(usual)}; }
  std::optional<Taken> one(TableReader& t, std::string_view key, Kind kind, double usual) {
    const auto q = t.quantity(key, kind, Need::optional);
    return q ? std::optional(taken(*q, usual)) : std::nullopt;
  }

  void edges(TableReader& t, const char* key, double sigma, AlignmentRow& r) {
    if (!t.has(key)) return;
    const auto two = t.quantities(key, Kind::length, Need::required);
    if (!two) return;
    if (two->size() != 2) {
      t.fault_at(key,
                 "is no pair, expected two lengths: string to the rim's front edge and to its rear "
                 "edge");
      return;
    }
    if ((*two)[0].value < 0.0 || (*two)[1].value < 0.0) {
      t.fault_at(key,
                 "is below zero, expected two distances from the string to the rim's edges, not an "
                 "angle and not their difference");
      return;
    }
    r.edges.push_back(
        {taken((*two)[0], sigma), taken((*two)[1], sigma), key != std::string_view("edges")});
  }

  void read_wheel(TableReader& t, AlignmentRow& r) {
    const double each =
        t.above_zero("edge_sigma", Kind::length, Need::optional).value_or(usual_edge_mm);
    edges(t, "edges", each, r);
    edges(t, "edges_half_turn", each, r);
    r.across_mm = t.above_zero("across", Kind::length, Need::optional);
    if (r.across_mm && *r.across_mm < least_across_mm)
      t.fault_at("across",
                 "is less than any rim, expected it from edge to edge such as 406 (mm) or "
                 "\"16 in\"");
    if (!r.edges.empty() && !r.across_mm) {
      const auto& rim = car_.at(*r.axle)->rim.diameter_mm;
      if (rim) r.across_mm = *rim + flange_over_rim_mm;
      else
        t.fault(t.line(),
                "'across' is missing, expected the rim from edge to edge where the string was "
                "read, such as across = \"406 mm\"");
    }
    if (!r.edges.empty() && r.across_mm)
      for (const auto& e : r.edges)
        if (std::abs(e.front_mm.value - e.rear_mm.value) > 0.4 * *r.across_mm)
          t.fault_at("edges",
                     "differ by more than a wheel can turn, expected two nearly equal lengths");
    r.hub_mm = one(t, "hub", Kind::length, usual_edge_mm);
    const double level = t.above_zero("sigma", Kind::angle, Need::optional)
                             .value_or(usual_sigma(ReadingKind::camber));
    if (t.has("camber"))
      if (const auto all = t.quantities("camber", Kind::angle, Need::required))
        for (const auto& q : *all) r.camber_rad.push_back(taken(q, level));
    const auto out = one(t, "camber_out", Kind::angle, level),
               in = one(t, "camber_in", Kind::angle, level);
    const double turn_sigma =
        t.above_zero("turn_sigma", Kind::angle, Need::optional).value_or(usual_turn_rad);
    const auto turn_out = one(t, "turn_out", Kind::angle, turn_sigma),
               turn_in = one(t, "turn_in", Kind::angle, turn_sigma);
    if (out && in)
      r.sweep = SweepRead{*out, *in, turn_out.value_or(Taken{usual_sweep_rad, turn_sigma}),
                          turn_in.value_or(Taken{usual_sweep_rad, turn_sigma})};
    else if (t.has("camber_out") != t.has("camber_in"))
      t.fault(t.line(), "holds half a sweep, expected camber_out and camber_in");
    else if (t.has("turn_out") || t.has("turn_in"))
      t.fault(t.line(),
              "says how far the wheel was turned and not what the level read, expected "
              "camber_out and camber_in");
    for (const char* key : {"turn_out", "turn_in"})
      if (const auto& x = key == std::string_view("turn_out") ? turn_out : turn_in;
          x && !(x->value >= least_turn_rad && x->value <= most_turn_rad))
        t.fault_at(key, "is no turn to sweep over, expected 5 to 45 degrees, above zero both ways");
    if (r.sweep && !car_.at(*r.axle)->layout.steered())
      t.fault(t.line(), "holds a sweep of a wheel that does not steer");
    r.arch_mm = one(t, "arch", Kind::length, usual_sigma(ReadingKind::ride_height));
    r.toe_turned_mm = turned(t, "toe_turned");
    r.camber_turned_mm = turned(t, "camber_turned");
    r.caster_turned_mm = turned(t, "caster_turned");
    for (const auto& c : r.camber_rad) within(t, "camber", c);
    if (r.sweep) within(t, "camber_out", r.sweep->camber_out_rad);
    if (r.sweep) within(t, "camber_in", r.sweep->camber_in_rad);
  }
  static std::optional<double> turned(TableReader& t, const char* key) {
    const auto mm = t.number(key, Kind::length, Need::optional);
    if (mm && std::abs(*mm) > most_turned_mm)
      t.fault_at(key,
                 "is more than 60 mm, expected how far the adjuster was turned, longer above "
                 "zero");
    return mm;
  }
  static void within(TableReader& t, const char* key, const Taken& x) {
    if (std::abs(x.value) > most_wheel_rad)
      t.fault_at(key, "is more than 28 degrees, expected an angle of a wheel");
  }

  void read_axle_row(TableReader& t, AlignmentRow& r) {
    r.left_pad_high_mm = one(t, "left_pad_high", Kind::length, usual_pads_mm);
    const double tape =
        t.above_zero("plates_sigma", Kind::length, Need::optional).value_or(usual_plates_mm);
    const auto base = t.above_zero("base", Kind::length, Need::optional);
    if (!t.has("plates")) return;
    const auto two = t.quantities("plates", Kind::length, Need::required);
    if (!two) return;
    if (two->size() != 2 || !((*two)[0].value > least_across_car_mm) ||
        !((*two)[1].value > least_across_car_mm)) {
      t.fault_at(
          "plates",
          "is no pair of such, expected two lengths across the car: between the bars' front ends "
          "and between their rear ends");
      return;
    }
    if (!base || *base < shortest_base_mm) {
      t.fault(t.line(),
              "has toe plates without their length, expected base = \"600 mm\", from front ends "
              "to rear ends");
      return;
    }
    r.plates = PlatesRead{taken((*two)[0], tape), taken((*two)[1], tape), *base};
    if (std::abs((*two)[0].value - (*two)[1].value) > 0.4 * *base)
      t.fault_at("plates",
                 "differ by more than wheels can turn, expected two nearly equal lengths");
  }

  void read_car_row(TableReader& t, AlignmentRow& r) {
    r.rear_pads_high_mm = one(t, "rear_pads_high", Kind::length, usual_pads_mm);
    if (t.has("wheelbases"))
      if (const auto two = t.quantities("wheelbases", Kind::length, Need::required)) {
        if (two->size() == 2 && (*two)[0].value > 0.0 && (*two)[1].value > 0.0)
          r.wheelbases_mm = {taken((*two)[0], usual_wheelbase_mm),
                             taken((*two)[1], usual_wheelbase_mm)};
        else
          t.fault_at("wheelbases", "is no pair, expected two lengths: on the left, on the right");
      }
    r.strings_length_mm = t.above_zero("strings_length", Kind::length, Need::optional);
    if (t.has("strings_apart"))
      if (const auto two = t.quantities("strings_apart", Kind::length, Need::required)) {
        if (two->size() != 2)
          t.fault_at("strings_apart",
                     "is no pair, expected two lengths between the strings: in front, behind");
        else if (!r.strings_length_mm)
          t.fault(t.line(),
                  "has strings_apart without strings_length, expected how far apart these two "
                  "places are along the car");
        else r.strings_apart_mm = {(*two)[0].value, (*two)[1].value};
      }
    r.steering_wheel_rad = t.number("steering_wheel", Kind::angle, Need::optional);
    r.fitted = t.flag("fitted").value_or(false);
    r.driven = t.flag("driven").value_or(false);
  }

  // Keys of another kind of row are told so.
  void belongs_elsewhere(TableReader& t, const AlignmentRow& r) {
    for (const auto& [key, row] : keys_of_rows) {
      const std::string_view is = r.side ? "wheel" : r.axle ? "axle" : "car";
      if (row == is) t.child(key);  // known here, whether it is there or not
      if (!t.has(key) || row == is) continue;
      t.child(key);
      t.fault_at(key, row == std::string_view("car")
                          ? "is of the whole car, expected it in a row without 'wheel' or 'axle'"
                          : fmt::format("is of one {0}, expected {0} = \"{1}\" in its row", row,
                                        row == std::string_view("axle") ? "front" : "front.left"));
    }
  }

  const Document& document_;
  const Car& car_;
  AlignmentRows out_;
  std::map<std::string, int> lines_;
};

}  // namespace

std::vector<std::string> AlignmentRows::sessions() const {
  std::vector<std::string> names;
  for (const auto& r : rows)
    if (std::find(names.begin(), names.end(), r.when) == names.end()) names.push_back(r.when);
  return names;
}

bool AlignmentRows::fitted(const std::string& when) const {
  return std::any_of(rows.begin(), rows.end(),
                     [&](const AlignmentRow& r) { return r.when == when && r.fitted; });
}
bool AlignmentRows::driven(const std::string& when) const {
  return std::any_of(rows.begin(), rows.end(),
                     [&](const AlignmentRow& r) { return r.when == when && r.driven; });
}

AlignmentRows read_alignment(const Document& document, const Car& car) {
  return AlignmentReader(document, car).read();
}

}  // namespace trammel
