#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "base/words.h"
#include "file/read_axle.h"
#include "file/survey.h"
#include "file/table_reader.h"

namespace trammel {
namespace {

constexpr double steepest_rad = 89.0 * degree_rad;
constexpr double least_sigma = 1e-6, most_sigma = 1000.0;  // mm or rad: beyond, a slip
constexpr double usual_zero_sigma_mm = 0.5;                // hub to arch set to within a millimetre

// Each brings unknowns of its own, and the adjustment solves all of them together. A run takes half
// an hour at the car, and a car has some forty joints to measure from.
constexpr std::size_t most_runs = 40, most_points = 100;

struct KindWord {
  ReadingKind kind;
  const char* word;
  Kind quantity;
  double usual_sigma;
};
constexpr std::array<KindWord, 10> kind_words{{
    {ReadingKind::height, "height", Kind::length, 1.0},
    {ReadingKind::back, "back", Kind::length, 1.5},
    {ReadingKind::out, "out", Kind::length, 1.5},
    {ReadingKind::distance, "distance", Kind::length, 1.0},
    {ReadingKind::slope, "slope", Kind::angle, 0.1 * degree_rad},
    {ReadingKind::length, "length", Kind::length, 0.5},
    {ReadingKind::offset, "offset", Kind::length, 1.0},
    {ReadingKind::camber, "camber", Kind::angle, 0.12 * degree_rad},
    {ReadingKind::toe, "toe", Kind::angle, 0.08 * degree_rad},
    {ReadingKind::ride_height, "ride_height", Kind::length, 1.5},
}};

const KindWord& of(ReadingKind kind) { return kind_words[static_cast<std::size_t>(kind)]; }

// "front.left" of the head of a text; the rest follows the second dot.
struct Corner {
  AxleName axle;
  Side side;
  std::string_view rest;
};
std::optional<Corner> corner_of(std::string_view text) {
  for (const AxleName a : {AxleName::front, AxleName::rear})
    for (const Side s : {Side::left, Side::right}) {
      const auto head = fmt::format("{}.{}", word(a), word(s));
      if (text == head) return Corner{a, s, {}};
      if (text.starts_with(head + ".")) return Corner{a, s, text.substr(head.size() + 1)};
    }
  return {};
}

class SurveyReader {
 public:
  SurveyReader(const Document& document, const Car& car) : document_(document), car_(car) {}

  Survey read() {
    if (const Value* v = document_.root.find("survey")) read_circumstances(*v);
    if (const Value* rows = document_.root.find("reading")) {
      if (!rows->array()) {
        s_.faults.push_back({rows->line, "reading: is not a list of rows, expected [[reading]]"});
        return std::move(s_);
      }
      for (std::size_t i = 0; i < rows->array()->size(); ++i) read_row((*rows->array())[i], i);
    }
    too_many(s_.gauges, "runs with dials as the car sits", most_runs);
    too_many(s_.after, "runs with dials with parts fitted", most_runs);
    faces_have_offsets();
    taken_twice();
    return std::move(s_);
  }

 private:
  void too_many(const std::vector<GaugeRun>& runs, const char* what, std::size_t most) {
    if (runs.size() > most)
      s_.faults.push_back({runs[most].line, fmt::format("reading: the file holds {} {}, expected "
                                                        "{} at most: take the oldest out",
                                                        runs.size(), what, most)});
  }

  void read_circumstances(const Value& v) {
    TableReader t(v, "survey", s_.faults);
    const auto take = [&](const char* key, Kind kind, Quantity& to) {
      if (const auto q = t.quantity(key, kind, Need::optional)) to = *q;
    };
    take("baseline", Kind::length, s_.baseline_mm);
    take("square", Kind::angle, s_.square_rad);
    take("centreline", Kind::length, s_.centreline_mm);
    take("rack", Kind::length, s_.rack_mm);
    take("rises_forward", Kind::angle, s_.rises_forward_rad);
    take("rises_left", Kind::angle, s_.rises_left_rad);
    has_baseline_ = t.has("baseline");
    s_.floor_sigma_mm = t.above_zero("floor_sigma", Kind::length, Need::optional);
    read_symmetry(t);
    if (const Value* floor = t.child("floor")) read_floor(t, *floor);
    if (const Value* points = t.child("point")) {
      TableReader p(*points, "survey.point", s_.faults);
      if (points->table() && points->table()->size() > most_points)
        t.fault_at("point", fmt::format("has {} points, expected {} at most: those that something "
                                        "was measured from",
                                        points->table()->size(), most_points));
      else if (points->table())
        for (const auto& entry : *points->table())
          if (const auto at = p.point(entry.key, 0.0, Need::required))
            s_.data.push_back({entry.key, at->at_mm, at->sigma_mm});
      if (points->table() && points->table()->size() <= most_points) p.close();
    }
    t.close();
  }

  void read_symmetry(TableReader& t) {
    const Value* v = t.child("symmetry");
    if (!v) return;
    if (v->string() && *v->string() == "none") s_.symmetry_none = true;
    else s_.symmetry_mm = t.above_zero("symmetry", Kind::length, Need::optional);
  }

  void read_floor(TableReader& t, const Value& floor) {
    const auto* rows = floor.array();
    for (std::size_t i = 0; rows && i < rows->size(); ++i) {
      const auto* row = (*rows)[i].array();
      std::array<double, 3> n{};
      bool good = row && row->size() == 3;
      for (std::size_t k = 0; good && k < 3; ++k) {
        const auto x = (*row)[k].number();
        good = x && std::isfinite(*x) && std::fabs(*x) < farthest_mm;
        if (good) n[k] = *x;
      }
      if (good) s_.floor.push_back({n[0], n[1], n[2]});
      else
        s_.faults.push_back(
            {(*rows)[i].line, fmt::format("survey.floor[{}]: is no spot, expected [x, y, height] "
                                          "in mm",
                                          i)});
    }
    if (!rows)
      t.fault_at("floor", "is not a list, expected spots such as [[400, 700, -0.9], [400, 0, -2]]");
  }

  // ------------------------------------------------------------------ where

  void say_not(TableReader& t, std::string_view key, const std::string& text) {
    std::vector<std::string> names;
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      if (!car_.at(a)) continue;
      for (const Side s : {Side::left, Side::right}) {
        for (const auto& p : car_.at(a)->layout.points)
          names.push_back(fmt::format("{}.{}.{}", word(a), word(s), p));
        names.push_back(fmt::format("{}.{}.arch", word(a), word(s)));
      }
    }
    for (const auto& d : s_.data) names.push_back(d.name);
    const auto near = nearest_word(text, names);
    t.fault_at(key, fmt::format("'{}' is no joint or point of this car, {}", text,
                                near.empty() ? "expected one such as front.left.wheel.centre"
                                             : "did you mean '" + near + "'?"));
  }

  std::optional<Spot> spot_in(TableReader& t, std::string_view key, const std::string& text) {
    Spot spot;
    std::string_view name = text;
    if (name.ends_with(" on floor")) {
      spot.at = Spot::At::floor;
      name.remove_suffix(9);
    } else if (name.ends_with(" face")) {
      spot.at = Spot::At::face;
      name.remove_suffix(5);
    }
    for (std::size_t i = 0; i < s_.data.size(); ++i)
      if (s_.data[i].name == name) {
        spot.of = Spot::Of::datum;
        spot.index = static_cast<int>(i);
        return spot;
      }
    const auto corner = corner_of(name);
    if (!corner) {
      for (const AxleName a : {AxleName::front, AxleName::rear})
        if (car_.at(a) && joint_of(car_.at(a)->layout, name) >= 0 &&
            name.starts_with(std::string(word(a)) + ".")) {
          t.fault_at(key, fmt::format("'{}' says no side, expected {}.left.{} or {}.right.{}", text,
                                      word(a), name.substr(std::string(word(a)).size() + 1),
                                      word(a), name.substr(std::string(word(a)).size() + 1)));
          return {};
        }
      say_not(t, key, text);
      return {};
    }
    spot.axle = corner->axle;
    spot.side = corner->side;
    const auto& axle = car_.at(corner->axle);
    if (!axle) {
      // Where the axle is described and could not be read, its own faults say why.
      if (!document_.root.find(word(corner->axle)))
        t.fault_at(key, fmt::format("'{}' is of the {} axle, which this file does not describe",
                                    text, word(corner->axle)));
      return {};
    }
    if (corner->rest == "arch") {
      spot.of = Spot::Of::arch;
      return spot;
    }
    spot.index = axle->layout.point(corner->rest);
    if (spot.index < 0) {
      say_not(t, key, text);
      return {};
    }
    return spot;
  }

  std::optional<Spot> spot(TableReader& t, std::string_view key) {
    const auto text = t.text(key, Need::required);
    return text ? spot_in(t, key, *text) : std::nullopt;
  }

  std::optional<Spot> wheel(TableReader& t, std::string_view key) {
    const auto text = t.text(key, Need::required);
    if (!text) return {};
    const auto corner = corner_of(*text);
    if (!corner || !corner->rest.empty()) {
      t.fault_at(key, fmt::format("'{}' is no wheel, expected front.left, front.right, rear.left "
                                  "or rear.right",
                                  *text));
      return {};
    }
    if (!car_.at(corner->axle)) {
      if (!document_.root.find(word(corner->axle)))
        t.fault_at(key, fmt::format("the {} axle is not described", word(corner->axle)));
      return {};
    }
    Spot s;
    s.axle = corner->axle;
    s.side = corner->side;
    return s;
  }

  std::optional<std::array<Spot, 2>> two_spots(TableReader& t, std::string_view key) {
    const Value* v = t.child(key);
    const auto* two = v ? v->array() : nullptr;
    if (!two || two->size() != 2 || !(*two)[0].string() || !(*two)[1].string()) {
      t.fault_at(key, "is not a pair of points, expected [\"front.left...\", \"front.left...\"]");
      return {};
    }
    const auto a = spot_in(t, key, *(*two)[0].string());
    const auto b = spot_in(t, key, *(*two)[1].string());
    if (!a || !b) return {};
    if (*a == *b) {
      t.fault_at(key, "names one point twice, expected two");
      return {};
    }
    return std::array<Spot, 2>{*a, *b};
  }

  // ------------------------------------------------------------------ rows

  void read_row(const Value& row, std::size_t index) {
    TableReader t(row, fmt::format("reading[{}]", index), s_.faults);
    if (!row.table()) return;
    given_name_ = t.text("name", Need::optional).value_or("");
    if (given_name_.empty() && t.has("name"))
      t.fault_at("name", "is empty, expected a name such as \"M12\"");
    name_ = given_name_.empty() ? fmt::format("line {}", row.line) : given_name_;
    if (const auto [it, fresh] = lines_.emplace(name_, row.line); !fresh)
      t.fault_at("name", fmt::format("'{}' is taken by line {}, expected a name of its own", name_,
                                     it->second));
    aside_ = t.flag("set_aside").value_or(false);
    t.text("note", Need::optional);
    line_ = row.line;

    std::vector<std::string> kinds;
    for (const char* key : {"height", "mark", "distance", "slope", "length", "offset", "camber",
                            "toe", "ride_height", "gauge"})
      if (t.has(key) && !(std::string_view(key) == "toe" && t.has("gauge")))  // of the run
        kinds.emplace_back(key);
    if (kinds.size() != 1) {
      for (const auto& k : kinds) t.child(k);
      t.fault(row.line,
              kinds.empty()
                  ? "does not say what was read, expected one of height, mark, distance, "
                    "slope, length, offset, camber, toe, ride_height or gauge"
                  : fmt::format("is {} at once, expected one of them in a row", listed(kinds)));
      return;
    }
    const auto& kind = kinds.front();
    if (kind == "gauge") read_gauge(t);
    else if (kind == "mark") read_mark(t);
    else if (kind == "distance" || kind == "slope") read_pair(t, kind);
    else read_single(t, kind);
    t.close();
  }

  void put(TableReader& t, std::string_view key, ReadingKind kind, const Spot& spot,
           const Spot& other, const std::vector<Quantity>& values, std::optional<double> sigma,
           const std::string& tail, std::optional<double> travel = {}, int plumb = -1,
           Vec3<double> face = {}) {
    for (std::size_t i = 0; i < values.size(); ++i) {
      TakenReading r;
      r.row = name_;
      r.named = !given_name_.empty();
      r.name = name_ + tail;
      if (values.size() > 1) r.name += fmt::format(" #{}", i + 1);
      r.kind = kind;
      r.spot = spot;
      r.other = other;
      r.value = values[i].value;
      r.sigma_is_usual = !values[i].sigma && !sigma;
      r.sigma = values[i].sigma ? *values[i].sigma : sigma.value_or(usual_sigma(kind));
      r.travel_mm = travel;
      r.plumb = plumb;
      r.face = face;
      r.set_aside = aside_;
      r.line = line_;
      const bool length = quantity_kind(kind) == Kind::length;
      const bool wheel = kind == ReadingKind::camber || kind == ReadingKind::toe;
      const double most = length ? farthest_mm : wheel ? most_wheel_rad : steepest_rad;
      if (std::fabs(r.value) > most) {
        t.fault_at(key, length  ? "is more than 10 m, expected mm"
                        : wheel ? "is more than 28 degrees, expected an angle of a wheel"
                                : "is steeper than 89 degrees, expected a slope against level");
        return;
      }
      if (!(r.sigma > least_sigma && r.sigma < most_sigma)) {
        t.fault_at(key,
                   "has a ± that no reading has, expected one between a thousandth of a "
                   "millimetre or degree and a metre");
        return;
      }
      if ((kind == ReadingKind::distance || kind == ReadingKind::length) && !(r.value > 0.0)) {
        t.fault_at(key, "is not above zero, expected a distance");
        return;
      }
      s_.readings.push_back(std::move(r));
    }
  }

  std::optional<double> sigma_of(TableReader& t, ReadingKind kind) {
    return t.above_zero("sigma", quantity_kind(kind), Need::optional);
  }

  void read_mark(TableReader& t) {
    const auto at = spot(t, "mark");
    const auto sigma = sigma_of(t, ReadingKind::back);
    const auto plumb = t.above_zero("plumb", Kind::length, Need::optional);
    const auto back = t.quantities("back", Kind::length, Need::optional);
    auto out = t.quantities("out", Kind::length, Need::optional);
    if (out &&
        std::any_of(out->begin(), out->end(), [](const Quantity& q) { return q.value < 0.0; }))
      t.fault_at("out",
                 "is below zero, expected a distance from the centreline, above zero on either "
                 "side");
    // A joint inside the rim cannot be plumbed: its place is carried inboard along a level bar.
    if (const auto bar = t.quantity("inboard", Kind::length, Need::optional); bar && out)
      for (auto& q : *out) {
        const double own = q.sigma.value_or(sigma.value_or(usual_sigma(ReadingKind::out)));
        q.value += bar->value;
        q.sigma = std::hypot(own, bar->sigma.value_or(0.0));
      }
    if (!t.has("back") && !t.has("out"))
      t.fault(line_,
              "holds no value, expected 'back' (behind the front baseline), 'out' (from the "
              "centreline) or both");
    if (t.has("back") && !has_baseline_)
      t.fault_at("back",
                 "is counted from a baseline that the file does not give, expected "
                 "baseline = \"600 mm\" (ahead of the front axle line) in [survey]");
    if (!at) return;
    int mark = -1;
    if (plumb) {
      mark = static_cast<int>(s_.plumbs.size());
      s_.plumbs.push_back({*plumb});
    }
    const bool both = back && out;
    if (back)
      put(t, "back", ReadingKind::back, *at, {}, *back, sigma, both ? " back" : "", {}, mark);
    if (out) put(t, "out", ReadingKind::out, *at, {}, *out, sigma, both ? " out" : "", {}, mark);
  }

  void read_pair(TableReader& t, const std::string& key) {
    const auto kind = key == "slope" ? ReadingKind::slope : ReadingKind::distance;
    const auto two = two_spots(t, key);
    const auto sigma = sigma_of(t, kind);
    const auto values = t.quantities("value", quantity_kind(kind), Need::required);
    if (two && values) put(t, "value", kind, (*two)[0], (*two)[1], *values, sigma, "");
  }

  void read_single(TableReader& t, const std::string& key) {
    const auto kind = std::find_if(kind_words.begin(), kind_words.end(), [&](const KindWord& k) {
                        return key == k.word;
                      })->kind;
    std::optional<Spot> at, other;
    Vec3<double> face{0, 0, 1};
    std::optional<double> travel;
    if (kind == ReadingKind::length) {
      if (const auto rod = rod_ends(t)) {
        at = (*rod)[0];
        other = (*rod)[1];
      }
    } else if (kind == ReadingKind::height || kind == ReadingKind::offset) {
      at = spot(t, key);
    } else {
      at = wheel(t, key);
    }
    if (kind == ReadingKind::offset)
      if (const auto d = t.direction("along", Need::required)) face = *d;
    if (kind == ReadingKind::height && at && at->at == Spot::At::floor)
      t.fault_at("height", "is of the floor itself, which is its own zero, expected a joint");
    const bool angle = kind == ReadingKind::camber || kind == ReadingKind::toe;
    if (angle) travel = t.number("travel", Kind::length, Need::optional);
    const auto sigma = sigma_of(t, kind);
    if (kind == ReadingKind::toe && t.has("edges")) {
      if (t.has("sigma"))
        t.fault_at("sigma",
                   "is of an angle and stands beside 'edges', expected 'edge_sigma' (of "
                   "each distance, in mm)");
      read_edges(t, at, travel);
      return;
    }
    const auto values = t.quantities("value", quantity_kind(kind), Need::required);
    if (at && values)
      put(t, "value", kind, *at, other.value_or(Spot{}), *values, sigma, "", travel, -1, face);
  }

  // Toe by string: from the string to the rim's front and rear edge, the string outside the wheel
  // and parallel to the centreline.
  void read_edges(TableReader& t, const std::optional<Spot>& at, std::optional<double> travel) {
    const auto edges = t.list("edges", Kind::length);
    const auto across = t.above_zero("across", Kind::length, Need::required);
    const double each = t.above_zero("edge_sigma", Kind::length, Need::optional).value_or(0.5);
    if (!edges || !across || !at) return;
    if (edges->size() != 2) {
      t.fault_at("edges", "expected two lengths: string to the rim's front edge and to its rear");
      return;
    }
    const double difference = (*edges)[0] - (*edges)[1];
    if (std::fabs(difference) > 0.4 * *across) {
      t.fault_at("edges",
                 "differ by more than a wheel can turn, expected two nearly equal lengths");
      return;
    }
    const double angle = std::asin(difference / *across);
    put(t, "edges", ReadingKind::toe, *at, {},
        {{angle, std::sqrt(2.0) * each / (*across * std::cos(angle))}}, {}, "", travel);
  }

  std::optional<std::array<Spot, 2>> rod_ends(TableReader& t) {
    const auto text = t.text("length", Need::required);
    if (!text) return {};
    const auto corner = corner_of(*text);
    if (corner && corner->rest.starts_with("rod.") && car_.at(corner->axle)) {
      const auto& layout = car_.at(corner->axle)->layout;
      if (const int i = layout.rod(corner->rest.substr(4)); i >= 0) {
        const auto& rod = layout.rods[static_cast<std::size_t>(i)];
        Spot a;
        a.axle = corner->axle;
        a.side = corner->side;
        a.index = rod.inner;
        Spot b = a;
        b.index = rod.upright;
        return std::array<Spot, 2>{a, b};
      }
    }
    if (!corner || car_.at(corner->axle))
      t.fault_at("length", fmt::format("'{}' is no rod of this car, expected one such as "
                                       "front.left.rod.NAME (of an arm, take 'distance' between "
                                       "its joints)",
                                       *text));
    return {};
  }

  void read_gauge(TableReader& t) {
    GaugeRun g;
    g.name = name_;
    g.line = line_;
    g.set_aside = aside_;
    const auto at = wheel(t, "gauge");
    const auto base = t.above_zero("base", Kind::length, Need::required);
    if (base && *base < 50.0)
      t.fault_at("base", "is less than 50 mm, expected the distance between the dials");
    g.base_mm = base.value_or(300.0);
    g.sigma_mm = t.above_zero("sigma", Kind::length, Need::optional).value_or(usual_dial_sigma_mm);
    g.zero_sigma_mm =
        t.above_zero("zero_sigma", Kind::length, Need::optional).value_or(usual_zero_sigma_mm);
    // Degrees per 25 mm of travel, as slopes are spoken of.
    const auto drag = t.above_zero("drag", Kind::angle, Need::optional);
    g.drag_rad_per_mm = drag ? *drag / 25.0 : usual_drag_rad_per_mm;
    g.drop_mm = t.above_zero("drop", Kind::length, Need::optional);
    const auto plate = t.number("plate", Kind::length, Need::optional);
    const auto high = t.number("dial_height", Kind::length, Need::optional);
    const auto ahead = t.number("dial_ahead", Kind::length, Need::optional);
    if (plate) g.places = DialPlaces{*plate, high.value_or(0.0), ahead.value_or(0.5 * g.base_mm)};
    else if (high || ahead)
      t.fault(line_,
              "says where the dials stand and not the plate, expected 'plate' (its face "
              "outboard of the wheel's centre)");
    read_gauge_rows(t, g);
    const bool with_parts = t.has("with");
    if (at) {
      g.axle = at->axle;
      g.side = at->side;
      read_with(t, g);
    }
    if (!at || !base || g.rows.empty() || with_parts != g.with.has_value()) return;
    if (says_a_slope(g)) {
      (with_parts ? s_.after : s_.gauges).push_back(std::move(g));
      return;
    }
    s_.remarks.push_back(
        fmt::format("Gauge run '{}' is not finished: nothing is taken from it until it has three "
                    "rows over more than 5 mm of travel.",
                    g.name));
    s_.begun.push_back(std::move(g));
  }

  // What was fitted while a run was taken, and the toe it stood at.
  void read_with(TableReader& t, GaugeRun& g) {
    const Value* with = t.child("with");
    const auto toe = t.quantity("toe", Kind::angle, Need::optional);
    if (!with) {
      if (toe)
        t.fault_at(
            "toe",
            "stands in a gauge run without 'with', where toe is as the file has it, expected "
            "it only beside what is fitted, such as with = \"chosen\"");
      return;
    }
    if (toe) {
      g.toe_rad = toe->value;
      g.toe_sigma_rad = toe->sigma.value_or(usual_sigma(ReadingKind::toe));
      if (std::fabs(toe->value) > most_wheel_rad)
        t.fault_at("toe", "is more than 28 degrees, expected an angle of a wheel");
    }
    if (!wishes_) wishes_ = read_wishes(document_, car_);
    if (with->string()) {
      const auto& chosen = wishes_->chosen[static_cast<std::size_t>(g.axle)];
      if (*with->string() != "chosen")
        t.fault_at("with",
                   fmt::format("'{}' says nothing of what was fitted, expected \"chosen\" or sizes "
                               "by name such as {{ \"ball-joint spacer\" = 25 }}",
                               *with->string()));
      else if (!chosen)
        t.fault_at("with", fmt::format("is \"chosen\", and the file has no [{}.chosen], expected "
                                       "that table or the sizes here",
                                       word(g.axle)));
      else {
        g.with = *chosen;
        s_.remarks.push_back(fmt::format(
            "Gauge run '{}' says with = \"chosen\", and would speak of other parts once others are "
            "chosen: write down what was in, with = {}.",
            g.name, chosen_toml(*chosen, wishes_->options)));
      }
      return;
    }
    if (!with->table()) {
      t.fault_at("with",
                 "is no table, expected \"chosen\" or sizes by name such as { \"ball-joint "
                 "spacer\" = 25 }");
      return;
    }
    const auto faults = s_.faults.size();
    auto fitted = read_chosen(*with, t.path() + ".with", g.axle, wishes_->options, s_.faults);
    if (s_.faults.size() == faults) g.with = std::move(fitted);
  }

  void read_gauge_rows(TableReader& t, GaugeRun& g) {
    const Value* rows = t.child("rows");
    if (!rows || !rows->array()) {
      t.fault(line_, "'rows' is missing, expected rows = [[travel, front dial, rear dial], ...]");
      return;
    }
    // A drop at fault is told by itself: how many numbers a row should have hangs on it.
    if (t.has("drop") && !g.drop_mm) return;
    const std::size_t wanted = g.drop_mm ? 4 : 3;
    bool good = true;
    for (std::size_t i = 0; i < rows->array()->size(); ++i) {
      const auto& row = (*rows->array())[i];
      std::vector<double> n;
      const auto* items = row.array();
      for (std::size_t k = 0; items && k < items->size(); ++k)
        if (const auto x = (*items)[k].number(); x && std::isfinite(*x)) n.push_back(*x);
      if (!items || items->size() != wanted || n.size() != wanted) {
        s_.faults.push_back(
            {row.line, fmt::format("{}.rows[{}]: has {} of its {} numbers, expected [travel, front "
                                   "dial, rear dial{}] in mm; leave out a row that was not read",
                                   t.path(), i, n.size(), wanted, g.drop_mm ? ", low dial" : "")});
        good = false;
        continue;
      }
      if (std::fabs(n[0]) > 1000.0 ||
          std::any_of(n.begin() + 1, n.end(), [](double x) { return std::fabs(x) > 200.0; })) {
        s_.faults.push_back({row.line, fmt::format("{}.rows[{}]: is farther than a wheel or a dial "
                                                   "goes, expected mm",
                                                   t.path(), i)});
        good = false;
        continue;
      }
      g.rows.push_back({n[0], n[1], n[2], wanted == 4 ? std::optional(n[3]) : std::nullopt});
      g.row_lines.push_back(row.line);
    }
    if (!good) {
      g.rows.clear();
      return;
    }
    if (g.rows.empty()) t.fault_at("rows", "is empty, expected [travel, front dial, rear dial]");
  }

  static bool says_a_slope(const GaugeRun& g) {
    double low = 1e9, high = -1e9;
    for (const auto& r : g.rows) {
      low = std::min(low, r.travel_mm);
      high = std::max(high, r.travel_mm);
    }
    return g.rows.size() >= 3 && high - low > 5.0;
  }

  // A face stands for a centre only where a row says how far it lies from it.
  void faces_have_offsets() {
    const auto known = [&](Spot spot) {
      if (spot.at != Spot::At::face) return true;
      spot.at = Spot::At::centre;
      return std::any_of(s_.readings.begin(), s_.readings.end(), [&](const TakenReading& r) {
        return r.kind == ReadingKind::offset && !r.set_aside && r.spot == spot;
      });
    };
    for (const auto& r : s_.readings) {
      for (const auto* spot : {&r.spot, &r.other}) {
        if ((spot == &r.other && !has_two_ends(r.kind)) || known(*spot)) continue;
        s_.faults.push_back(
            {r.line,
             fmt::format("reading '{}': '{}' is read at a face, and no row says how far the "
                         "centre lies from it, expected one with offset = ...",
                         r.name, spot_words(*spot, car_, s_))});
      }
    }
  }

  // The same thing written down twice counts as two readings, and should not where it was one.
  void taken_twice() {
    for (std::size_t i = 0; i < s_.readings.size(); ++i)
      for (std::size_t j = 0; j < i; ++j) {
        const auto &a = s_.readings[j], &b = s_.readings[i];
        if (a.kind != b.kind || a.line == b.line || a.value != b.value || a.sigma != b.sigma ||
            !(a.spot == b.spot) || !(a.other == b.other) || a.travel_mm != b.travel_mm)
          continue;
        if (!a.named && !b.named)
          s_.remarks.push_back(fmt::format(
              "lines {} and {} are the same reading to the last digit. If it was read once and "
              "typed twice, take one out: a repeat counts as a second reading.",
              a.line, b.line));
      }
  }

  const Document& document_;
  const Car& car_;
  Survey s_;
  std::optional<Wishes> wishes_;  // read where a run says what was fitted
  bool has_baseline_ = false;
  std::string given_name_, name_;
  bool aside_ = false;
  int line_ = 0;
  std::map<std::string, int> lines_;
};

}  // namespace

std::string_view word(ReadingKind kind) { return of(kind).word; }
bool has_two_ends(ReadingKind kind) {
  return kind == ReadingKind::distance || kind == ReadingKind::slope || kind == ReadingKind::length;
}
Kind quantity_kind(ReadingKind kind) { return of(kind).quantity; }
double usual_sigma(ReadingKind kind) { return of(kind).usual_sigma; }

Survey read_survey(const Document& document, const Car& car) {
  return SurveyReader(document, car).read();
}

std::string spot_words(const Spot& spot, const Car& car, const Survey& survey) {
  std::string text;
  if (spot.of == Spot::Of::datum) {
    text = survey.data[static_cast<std::size_t>(spot.index)].name;
  } else {
    text = fmt::format("{}.{}.", word(spot.axle), word(spot.side));
    text += spot.of == Spot::Of::arch
                ? "arch"
                : car.at(spot.axle)->layout.points[static_cast<std::size_t>(spot.index)];
  }
  if (spot.at == Spot::At::face) text += " face";
  if (spot.at == Spot::At::floor) text += " on floor";
  return text;
}

}  // namespace trammel
