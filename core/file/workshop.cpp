#include "file/workshop.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/plain_text.h"
#include "base/words.h"
#include "file/read_axle.h"
#include "file/table_reader.h"

namespace trammel {
namespace {

struct NamedKind {
  MadeKind kind;
  const char* name;
};
constexpr std::array<NamedKind, 6> kinds{{{MadeKind::disc, "disc"},
                                          {MadeKind::sleeve, "sleeve"},
                                          {MadeKind::bolted_plate, "bolted plate"},
                                          {MadeKind::welded_plate, "welded plate"},
                                          {MadeKind::clevis, "clevis"},
                                          {MadeKind::relocation_plate, "relocation plate"}}};

// Common practice for what is made at home: a bolt and a steel that every shop has.
constexpr const char* usual_bolt = "M12x1.75";
constexpr BoltClass usual_class = BoltClass::class_10_9;
// A bracket stands on two to four bolts and is as large as a hand.
constexpr std::size_t most_fixings = 24;
constexpr double farthest_in_plate_mm = 500.0;
constexpr const char* usual_steel = "S275";
const std::vector<double> usual_stock_mm{4.0, 5.0, 6.0, 8.0, 10.0, 12.0};

Material steel() { return std::get<Material>(read_material(usual_steel)); }

// A text that one of the standards' readers understands.
template <class T, class Read>
std::optional<T> understood(TableReader& t, std::string_view key, Need need, Read read) {
  const auto text = t.text(key, need);
  if (!text) return {};
  auto value = read(*text);
  if (const auto* not_one = std::get_if<NotAQuantity>(&value)) {
    t.fault_at(key, not_one->why);
    return {};
  }
  return std::get<T>(std::move(value));
}

std::optional<Material> material(TableReader& t, std::string_view key, Need need) {
  return understood<Material>(t, key, need, read_material);
}

// 'bolt' and 'class'; nothing where the first is absent or either is at fault.
std::optional<BoltOf> bolt(TableReader& t, Need need) {
  const auto thread = understood<Thread>(t, "bolt", need, read_thread);
  const auto marked = understood<BoltClass>(t, "class", Need::optional, read_bolt_class);
  if (!thread) {
    if (marked && !t.has("bolt"))
      t.fault_at("class", "is that of no bolt, expected 'bolt' beside it");
    return {};
  }
  const auto inch_class = thread->inch ? BoltClass::grade_8 : usual_class;
  const BoltOf b{*thread, marked.value_or(inch_class)};
  if (const auto why = why_not_together(b.thread, b.bolt_class)) t.fault_at("class", *why);
  return b;
}

// Two lengths, across and up in a plate.
std::optional<std::array<double, 2>> place(const Value& value, const std::string& where,
                                           std::vector<Fault>& faults) {
  const auto* pair = value.array();
  if (pair && pair->size() == 2) {
    std::array<double, 2> at{};
    bool good = true;
    for (std::size_t i = 0; i < 2; ++i) {
      const auto& v = (*pair)[i];
      if (const auto n = v.number()) {
        at[i] = *n;
        continue;
      }
      const auto q = v.string() ? read_quantity(*v.string(), Kind::length)
                                : std::variant<Quantity, NotAQuantity>(NotAQuantity{});
      if (const auto* read = std::get_if<Quantity>(&q)) at[i] = read->value;
      else good = false;
    }
    if (good && std::max(std::fabs(at[0]), std::fabs(at[1])) <= farthest_in_plate_mm) return at;
    if (good) {
      faults.push_back(
          {value.line, fmt::format("{}: lies more than {} mm from the old hole, expected "
                                   "a place in the plate such as [38, 12]",
                                   where, farthest_in_plate_mm)});
      return {};
    }
  }
  faults.push_back({value.line, where + ": is not a place in the plate, expected two lengths "
                                        "from the old hole, across and up, such as [38, 12]"});
  return {};
}

class Reader {
 public:
  Reader(const Document& document, const Car& car, const Wishes& wishes)
      : document_(document), car_(car), wishes_(wishes) {}

  Workshop read() {
    each("make", [&](TableReader& t) { made(t); });
    each("fastener", [&](TableReader& t) { fastener(t); });
    each("rod_end", [&](TableReader& t) { rod_end(t); });
    each("load", [&](TableReader& t) { load(t); });
    for (auto& m : w_.made)
      for (const auto& e : w_.rod_ends)
        if (!m.ball_width_mm && wishes_.options[m.option].axle == e.axle &&
            wishes_.options[m.option].joint == e.joint)
          m.ball_width_mm = e.ball_width_mm;
    return std::move(w_);
  }

 private:
  template <class F>
  void each(const char* list, F one) {
    const Value* rows = document_.root.find(list);
    if (!rows) return;
    if (!rows->array()) {
      w_.faults.push_back(
          {rows->line, fmt::format("{0}: is not a list of rows, expected [[{0}]]", list)});
      return;
    }
    for (std::size_t i = 0; i < rows->array()->size(); ++i) {
      TableReader t((*rows->array())[i], fmt::format("{}[{}]", list, i), w_.faults);
      one(t);
      t.close();
    }
  }

  std::optional<std::size_t> option(TableReader& t, std::string_view key, Need need) {
    const auto name = t.text(key, need);
    if (!name) return {};
    std::vector<std::string> names;
    for (std::size_t i = 0; i < wishes_.options.size(); ++i) {
      if (wishes_.options[i].name == *name) return i;
      names.push_back(wishes_.options[i].name);
    }
    const auto near = nearest_word(*name, names);
    t.fault_at(
        key,
        near.empty()
            ? fmt::format("'{}' is no [[option]] of this file, expected the name of one", *name)
            : fmt::format("'{}' is no [[option]] of this file, did you mean '{}'?", *name, near));
    return {};
  }

  void joint(TableReader& t, Need need, AxleName& axle, int& joint) {
    const auto name = t.text("joint", need);
    if (!name) return;
    std::vector<std::string> names;
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      if (!car_.at(a)) {
        if (name->starts_with(word(a))) return;  // its own faults say why
        continue;
      }
      for (std::size_t p = 1; p < car_.at(a)->layout.points.size(); ++p) {
        names.push_back(fmt::format("{}.{}", word(a), car_.at(a)->layout.points[p]));
        if (names.back() != *name) continue;
        axle = a;
        joint = static_cast<int>(p);
        return;
      }
    }
    const auto near = nearest_word(*name, names);
    t.fault_at("joint", fmt::format("'{}' is no joint of this car, {}", *name,
                                    near.empty() ? "expected one such as front.arm.lower.upright"
                                                 : "did you mean '" + near + "'?"));
  }

  void made(TableReader& t) {
    Made m;
    m.line = t.line();
    const auto about = option(t, "option", Need::required);
    std::optional<MadeKind> kind;
    if (const auto word = t.text("kind", Need::required)) {
      for (const auto& k : kinds)
        if (*word == k.name) kind = k.kind;
      std::vector<std::string> names;
      names.reserve(kinds.size());
      for (const auto& k : kinds) names.emplace_back(k.name);
      if (!kind)
        t.fault_at("kind",
                   fmt::format("'{}' is not known, expected {}", *word, listed(names, "or")));
    }
    m.kind = kind.value_or(MadeKind::disc);
    m.material = material(t, "material", Need::optional).value_or(steel());
    m.revision = t.text("revision", Need::optional).value_or(m.revision);
    const auto b = bolt(t, Need::optional);
    m.bolt = b.value_or(BoltOf{std::get<Thread>(read_thread(usual_bolt)), usual_class});
    if (kind) turned(*kind) ? turned_part(t, m) : plate(t, m);
    if (about) drawn_alone(t, *about);
    if (!about || !kind) return;
    m.option = *about;
    const bool to_measure = std::holds_alternative<MadeToMeasure>(wishes_.options[*about].choice);
    if (turned(*kind) && to_measure)
      t.fault_at("kind", fmt::format("a {} has a thickness and '{}' a place to be made to measure, "
                                     "expected a plate or a clevis",
                                     words(*kind), wishes_.options[*about].name));
    w_.made.push_back(std::move(m));
  }

  // Each part once, and each drawing under a name of its own, on disks too that know no capitals.
  void drawn_alone(TableReader& t, std::size_t option) {
    const auto& name = wishes_.options[option].name;
    const auto number = in_plain_letters(drawing_name(name));
    for (const auto& other : w_.made) {
      const auto& taken = wishes_.options[other.option].name;
      if (other.option == option)
        t.fault_at("option", fmt::format("'{}' is made in line {} already", name, other.line));
      else if (in_plain_letters(drawing_name(taken)) == number)
        t.fault_at("option",
                   fmt::format("the drawings of '{}' would have the same name as those of '{}' "
                               "(line {}), expected options whose names differ in letters or "
                               "digits",
                               name, taken, other.line));
    }
  }

  void turned_part(TableReader& t, Made& m) {
    m.outside_mm = t.above_zero("outside", Kind::length, Need::required).value_or(0.0);
    m.bore_mm = t.above_zero("bore", Kind::length, Need::optional);
    const double bore =
        m.bore_mm.value_or(m.kind == MadeKind::sleeve ? m.bolt.thread.diameter_mm : 0.0);
    if (m.outside_mm > 0.0 && bore >= m.outside_mm)
      t.fault_at(t.has("bore") ? "bore" : "outside",
                 fmt::format("leaves no wall: the bore of {} mm is no smaller than the outside of "
                             "{} mm",
                             shortest(bore), shortest(m.outside_mm)));
    if (const Value* v = t.child("register")) {
      TableReader r(*v, t.path() + ".register", w_.faults);
      Register spigot;
      spigot.diameter_mm = r.above_zero("diameter", Kind::length, Need::required).value_or(0.0);
      spigot.depth_mm =
          r.above_zero("depth", Kind::length, Need::optional).value_or(spigot.depth_mm);
      spigot.fit = understood<HoleShaftFit>(r, "fit", Need::optional, read_fit)
                       .value_or(std::get<HoleShaftFit>(read_fit("H7/g6")));
      if (spigot.diameter_mm >= m.outside_mm && m.outside_mm > 0.0)
        r.fault_at("diameter", fmt::format("is no smaller than the disc's outside of {} mm",
                                           shortest(m.outside_mm)));
      r.close();
      if (spigot.diameter_mm > 0.0) m.spigot = spigot;
    }
    if (const Value* v = t.child("holes")) {
      TableReader r(*v, t.path() + ".holes", w_.faults);
      HoleCircle h;
      if (const auto n = r.number("number", Kind::ratio, Need::optional)) {
        h.number = static_cast<int>(*n);
        if (*n < 1.0 || *n > 24.0 || *n != std::floor(*n))
          r.fault_at("number",
                     fmt::format("{} is no number of holes, expected 1 to 24", shortest(*n)));
      }
      h.circle_mm = r.above_zero("circle", Kind::length, Need::required).value_or(0.0);
      r.close();
      if (h.circle_mm > 0.0) m.holes = h;
    }
  }

  void plate(TableReader& t, Made& m) {
    m.thickness_mm = t.above_zero("thickness", Kind::length, Need::optional);
    m.stock_mm = usual_stock_mm;
    if (auto stock = t.list("stock", Kind::length)) {
      std::sort(stock->begin(), stock->end());
      if (stock->empty() || stock->front() <= 0.0)
        t.fault_at("stock",
                   "is no list of thicknesses, expected some above zero such as [5, 6, 8]");
      else m.stock_mm = *stock;
    }
    m.edge_mm = t.above_zero("edge", Kind::length, Need::optional);
    if (const auto axis = t.direction("axis", Need::optional)) m.axis = *axis;
    m.offset_mm = t.number("offset", Kind::length, Need::optional);
    m.ball_width_mm = t.above_zero("ball_width", Kind::length, Need::optional);
    if (m.kind == MadeKind::bolted_plate || m.kind == MadeKind::relocation_plate) {
      const Value* v = t.child("fixings");
      if (v) {
        if (!v->array()) t.fault_at("fixings", "is no list of places, expected [[0, 0], [38, 12]]");
        else if (v->array()->size() > most_fixings)
          t.fault_at("fixings", fmt::format("has {} places, expected {} at most",
                                            v->array()->size(), most_fixings));
        else
          for (std::size_t i = 0; i < v->array()->size(); ++i)
            if (const auto at =
                    place((*v->array())[i], fmt::format("{}.fixings[{}]", t.path(), i), w_.faults))
              m.fixings_mm.push_back(*at);
      } else {
        t.fault(t.line(),
                "'fixings' is missing, expected the places of its bolts from the old "
                "hole, across and up, such as [[0, 0], [38, 12]]");
      }
      if (m.fixings_mm.size() < 2 && v && v->array() && v->array()->size() < 2)
        t.fault_at("fixings",
                   "has too few places: a plate on one bolt turns, expected two or more");
      for (std::size_t i = 0; i < m.fixings_mm.size(); ++i)
        for (std::size_t j = i + 1; j < m.fixings_mm.size(); ++j)
          if (std::hypot(m.fixings_mm[i][0] - m.fixings_mm[j][0],
                         m.fixings_mm[i][1] - m.fixings_mm[j][1]) < m.bolt.thread.diameter_mm)
            t.fault_at("fixings", "has two holes in one place, expected them a bolt's head apart");
      return;
    }
    if (const Value* v = t.child("weld")) {
      TableReader r(*v, t.path() + ".weld", w_.faults);
      Weld weld;
      bool good = true;
      for (auto [key, at] : {std::pair{"from", &weld.from_mm}, {"to", &weld.to_mm}}) {
        const Value* end = r.child(key);
        if (!end)
          r.fault(r.line(), fmt::format("'{}' is missing, expected an end of the weld in "
                                        "the plate such as [-30, 0]",
                                        key));
        const auto read = end ? place(*end, r.path() + "." + key, w_.faults) : std::nullopt;
        good = good && read;
        if (read) *at = *read;
      }
      weld.throat_mm =
          r.above_zero("throat", Kind::length, Need::optional).value_or(weld.throat_mm);
      if (good && std::hypot(weld.to_mm[0] - weld.from_mm[0], weld.to_mm[1] - weld.from_mm[1]) <
                      4.0 * weld.throat_mm) {
        r.fault(r.line(),
                "is too short to carry anything, expected a weld of many times its throat");
        good = false;
      }
      r.close();
      if (good) m.weld = weld;
    } else {
      t.fault(t.line(),
              "'weld' is missing, expected its two ends in the plate from the old hole, "
              "such as { from = [-30, 0], to = [30, 0], throat = 3.5 }");
    }
    m.boss = material(t, "boss", Need::optional);
  }

  void fastener(TableReader& t) {
    Fastener f;
    f.line = t.line();
    f.name = t.text("name", Need::required).value_or("");
    joint(t, Need::optional, f.axle, f.joint);
    if (const auto n = t.number("number", Kind::ratio, Need::optional)) {
      f.number = static_cast<int>(*n);
      if (*n < 1.0 || *n > 24.0 || *n != std::floor(*n))
        t.fault_at("number",
                   fmt::format("{} is no number of bolts, expected 1 to 24", shortest(*n)));
    }
    const auto b = bolt(t, Need::required);
    if (const Value* v = t.child("layers")) layers(t, *v, f);
    else
      t.fault(t.line(),
              "'layers' is missing, expected what it clamps from the head on, such as "
              "[{ of = \"ear\", thickness = 8 }, { option = \"ball-joint spacer\" }]");
    const auto washer = [&](const char* key) {
      const auto mm = t.number(key, Kind::length, Need::optional).value_or(0.0);
      if (mm < 0.0) t.fault_at(key, "is below zero, expected a thickness or 0 for none");
      return std::max(0.0, mm);
    };
    f.head_washer_mm = washer("head_washer");
    f.nut_washer_mm = washer("nut_washer");
    f.nut_mm = t.above_zero("nut", Kind::length, Need::optional);
    f.tail_room_mm = t.above_zero("tail_room", Kind::length, Need::optional);
    f.length_mm = t.above_zero("length", Kind::length, Need::optional);
    f.shank_mm = t.above_zero("shank", Kind::length, Need::optional);
    if (f.shank_mm && !f.length_mm && !t.has("length"))
      t.fault_at("shank", "is that of no bolt, expected 'length' of the bolt in hand beside it");
    if (f.shank_mm && f.length_mm && *f.shank_mm >= *f.length_mm)
      t.fault_at("shank", fmt::format("is as long as the whole bolt of {} mm: it has no thread",
                                      shortest(*f.length_mm)));
    if (const Value* v = t.child("tapped")) {
      TableReader r(*v, t.path() + ".tapped", w_.faults);
      const auto into = material(r, "material", Need::required);
      const auto depth = r.above_zero("depth", Kind::length, Need::required);
      const bool through = r.flag("through").value_or(false);
      r.close();
      if (into && depth) f.tapped = TappedInto{*into, *depth, through};
      for (const char* key : {"nut", "nut_washer"})
        if (t.has(key)) t.fault_at(key, "does not go with a tapped hole, expected one of them");
    }
    if (!b || f.layers.empty()) return;
    f.bolt = *b;
    w_.fasteners.push_back(std::move(f));
  }

  void layers(TableReader& t, const Value& v, Fastener& f) {
    if (!v.array() || v.array()->empty()) {
      t.fault_at("layers", "is no list of layers, expected [{ of = \"ear\", thickness = 8 }]");
      return;
    }
    for (std::size_t i = 0; i < v.array()->size(); ++i) {
      TableReader r((*v.array())[i], fmt::format("{}.layers[{}]", t.path(), i), w_.faults);
      LayerOf layer;
      layer.option = option(r, "option", Need::optional);
      layer.what = r.text("of", Need::optional).value_or("");
      const auto thick = r.above_zero("thickness", Kind::length, Need::optional);
      if (layer.option &&
          std::holds_alternative<MadeToMeasure>(wishes_.options[*layer.option].choice))
        r.fault_at("option",
                   "is made to measure and has no thickness of its own, expected 'of' and "
                   "'thickness'");
      if (!r.has("option") && !thick && !r.has("thickness"))
        r.fault(r.line(), "has no thickness, expected 'thickness', or 'option' for what is fitted");
      r.close();
      layer.thickness_mm = thick.value_or(0.0);
      if (layer.what.empty() && layer.option) layer.what = wishes_.options[*layer.option].name;
      f.layers.push_back(std::move(layer));
    }
  }

  void rod_end(TableReader& t) {
    RodEnd e;
    e.line = t.line();
    joint(t, Need::required, e.axle, e.joint);
    e.ball_width_mm = t.above_zero("ball_width", Kind::length, Need::optional);
    e.housing_width_mm = t.above_zero("housing_width", Kind::length, Need::optional);
    e.sphere_mm = t.above_zero("sphere", Kind::length, Need::optional);
    e.limit_rad = t.above_zero("limit", Kind::angle, Need::optional);
    if (e.ball_width_mm && e.housing_width_mm && *e.housing_width_mm >= *e.ball_width_mm)
      t.fault_at("housing_width", fmt::format("is no narrower than the ball's {} mm: then nothing "
                                              "tilts",
                                              shortest(*e.ball_width_mm)));
    if (e.ball_width_mm && e.sphere_mm && *e.sphere_mm <= *e.ball_width_mm)
      t.fault_at("sphere", fmt::format("is no larger than the ball's width of {} mm",
                                       shortest(*e.ball_width_mm)));
    const auto thread = understood<Thread>(t, "thread", Need::required, read_thread);
    e.engaged_mm = t.above_zero("engaged", Kind::length, Need::optional);
    e.into = material(t, "into", Need::optional).value_or(steel());
    if (const Value* v = t.child("bar")) e.bar = bar(t, *v, e);
    e.rating_n = t.above_zero("rating", Kind::force, Need::optional);
    if (const auto axis = t.direction("axis", Need::optional)) e.axis = *axis;
    const auto b = bolt(t, Need::optional);
    e.bolt = b.value_or(BoltOf{std::get<Thread>(read_thread(usual_bolt)), usual_class});
    e.spacer_mm = t.above_zero("spacer", Kind::length, Need::optional).value_or(0.0);
    if (e.spacer_mm > 0.0 && e.spacer_mm <= e.bolt.thread.diameter_mm)
      t.fault_at("spacer", fmt::format("of {} mm does not go over its bolt of {} mm",
                                       shortest(e.spacer_mm), shortest(e.bolt.thread.diameter_mm)));
    e.double_shear = t.flag("double_shear").value_or(false);
    e.tab_mm = t.above_zero("tab", Kind::length, Need::optional).value_or(5.0);
    if (e.joint < 0 || !thread) return;
    e.thread = *thread;
    w_.rod_ends.push_back(std::move(e));
  }

  std::optional<RodBar> bar(TableReader& t, const Value& v, const RodEnd& e) {
    TableReader r(v, t.path() + ".bar", w_.faults);
    RodBar bar;
    bar.outside_mm = r.above_zero("outside", Kind::length, Need::required).value_or(0.0);
    const auto wall = r.above_zero("wall", Kind::length, Need::optional);
    bar.wall_mm = wall.value_or(0.5 * bar.outside_mm);
    r.close();
    if (bar.outside_mm <= 0.0) return {};
    if (bar.wall_mm > 0.5 * bar.outside_mm)
      r.fault_at("wall", fmt::format("of {} mm is more than half of its outside of {} mm",
                                     shortest(bar.wall_mm), shortest(bar.outside_mm)));
    if (e.joint < 0) return {};
    for (const auto& rod : car_.at(e.axle)->layout.rods)
      if (rod.upright == e.joint || rod.inner == e.joint) return bar;
    r.fault(r.line(), "is the bar of a rod, and no rod ends at this joint");
    return {};
  }

  void load(TableReader& t) {
    OwnLoad l;
    l.line = t.line();
    l.name = t.text("name", Need::required).value_or("");
    if (const auto axle = t.text("axle", Need::optional)) {
      if (*axle == "front") l.axle = AxleName::front;
      else if (*axle == "rear") l.axle = AxleName::rear;
      else t.fault_at("axle", fmt::format("'{}' is no axle, expected front or rear", *axle));
    }
    l.shock = t.above_zero("shock", Kind::ratio, Need::optional);
    l.g = t.above_zero("g", Kind::ratio, Need::optional);
    l.forward_n = t.number("forward", Kind::force, Need::optional);
    l.outboard_n = t.number("outboard", Kind::force, Need::optional);
    l.up_n = t.number("up", Kind::force, Need::optional);
    l.trail_mm = t.number("trail", Kind::length, Need::optional);
    if (const auto at = t.text("at", Need::optional)) {
      if (*at == "centre") l.at_centre = true;
      else if (*at != "road")
        t.fault_at("at", fmt::format("'{}' is not known, expected road or centre", *at));
    }
    const bool forces = l.forward_n || l.outboard_n || l.up_n;
    if (!l.name.empty() && !is_usual_load(l.name)) {
      if (t.has("g"))
        t.fault_at("g",
                   fmt::format("is for the usual loads ({}); expected forward, outboard and up "
                               "for one of your own",
                               listed(usual_loads())));
      else if (!forces)
        t.fault(t.line(),
                "says no force, expected some of forward, outboard and up, such as up = "
                "\"9 kN\"");
    }
    if (l.name == "parking") {
      for (const char* key : {"g", "forward", "up", "at", "trail"})
        if (t.has(key))
          t.fault_at(key,
                     "says nothing of parking, expected 'outboard' for the steered rod's force");
    } else if (is_usual_load(l.name)) {
      for (const char* key : {"forward", "outboard", "up", "at"})
        if (t.has(key))
          t.fault_at(key, fmt::format("is worked out from the car's weights for '{}', expected g, "
                                      "shock or trail, or a name of its own",
                                      l.name));
    }
    w_.loads.push_back(std::move(l));
  }

  const Document& document_;
  const Car& car_;
  const Wishes& wishes_;
  Workshop w_;
};

}  // namespace

std::string drawing_name(std::string_view option_name) {
  std::string n;
  for (const char c : option_name) {
    const bool kept = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                      static_cast<unsigned char>(c) >= 0x80U;
    n += kept ? c : '-';
  }
  return n;
}

std::string_view words(MadeKind kind) {
  for (const auto& k : kinds)
    if (k.kind == kind) return k.name;
  return "";
}

const std::vector<std::string>& usual_loads() {
  static const std::vector<std::string> names{
      "cornering", "braking", "accelerating", "bump", "cornering and braking",
      "kerb",      "pothole", "parking"};
  return names;
}

Workshop read_workshop(const Document& document, const Car& car, const Wishes& wishes) {
  return Reader(document, car, wishes).read();
}

PlatePlane plate_plane(const Vec3<double>& axis) {
  const Vec3<double> a = unit(axis);
  // Up in the plate is as near to the car's up as it can be; of a plate lying flat, to the left.
  const Vec3<double> wanted = std::fabs(a.z) < 0.9 ? Vec3<double>{0, 0, 1} : Vec3<double>{0, 1, 0};
  const Vec3<double> up = unit(wanted - dot(wanted, a) * a);
  return {cross(up, a), up, a};
}

}  // namespace trammel
