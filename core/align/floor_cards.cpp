#include "align/floor_cards.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/in_units.h"
#include "car/by.h"
#include "told/cautions.h"

namespace trammel {
namespace {

class FloorRound {
 public:
  explicit FloorRound(const Car& car) : car_(car) {}

  std::vector<FloorStation> stations() {
    floor();
    const bool front = car_.at(AxleName::front).has_value();
    const bool rear = car_.at(AxleName::rear).has_value();
    // As one goes round the car.
    if (front) wheel(AxleName::front, Side::left, "AFL");
    if (front) wheel(AxleName::front, Side::right, "AFR");
    if (rear) wheel(AxleName::rear, Side::right, "ARR");
    if (rear) wheel(AxleName::rear, Side::left, "ARL");
    across();
    return std::move(stations_);
  }

 private:
  void station(std::string name, std::string intro, std::string care, std::string letters) {
    letters_ = std::move(letters);
    count_ = 0;
    stations_.push_back({std::move(name), std::move(intro), std::move(care), {}});
  }
  void add(FloorCard c) {
    c.number = fmt::format("{}{}", letters_, ++count_);
    stations_.back().cards.push_back(std::move(c));
  }
  static FloorCard card(FloorReading reading, AxleName a, Side s = Side::left) {
    FloorCard c;
    c.reading = reading;
    c.axle = a;
    c.side = s;
    return c;
  }

  void floor() {
    station(
        "Before you read",
        "Pressures cold, driver's weight in the seat, half a tank. Slip plates or two greased "
        "sheets under each wheel, rolled 3 to 5 m, bounced. Steering wheel strapped straight. "
        "Pads shimmed until they are level to a millimetre or two; what is left is entered here.",
        caution(Care::chocks_rolled), "A");
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      if (!car_.at(a)) continue;
      auto c = card(FloorReading::pads, a);
      c.what = fmt::format("pads under the {} wheels, left against right", word(a));
      c.how =
          "Water level or line laser: how much higher the pad under the left tyre stands than "
          "the one under the right. Below zero where the left one is lower.";
      c.care = "The sign. 1 mm across the car is 0.04° of camber.";
      c.fields = {{"left_pad_high", "left pad higher by", Kind::length, true}};
      c.sigma = usual_pads_mm;
      add(std::move(c));
    }
  }

  void wheel(AxleName a, Side s, const char* letters) {
    station(capital(corner_words(a, s)),
            "String outside the wheel at hub height, on two equal bars; then the level; then, in "
            "front, the turn plates.",
            caution({Care::chocks, Care::string_seen}), letters);
    auto c = card(FloorReading::strings, a, s);
    c.what = "string to rim and hub";
    c.how =
        "From the string to the rim's front edge and to its rear edge, at hub height, square to "
        "the string; to the middle of the hub cap.";
    c.care =
        "The string touching a tyre; a rule read from its end and not from its zero; front and "
        "rear exchanged.";
    c.fields = {
        {"edges[0]", "string to the rim's front edge", Kind::length, true},
        {"edges[1]", "string to the rim's rear edge", Kind::length, true},
        {"hub", "string to the hub cap", Kind::length, false},
    };
    across_too(c);
    c.sigma = usual_edge_mm;
    add(std::move(c));
    c = card(FloorReading::half_turn, a, s);
    c.what = "string to rim, half a turn on";
    c.how =
        "Roll the car on by half a turn of its wheels, strings left as they are; both edges once "
        "more. A bent rim then drops out.";
    c.care = "A whole turn instead of half a turn: chalk the tyre at the top.";
    c.fields = {{"edges_half_turn[0]", "string to the rim's front edge", Kind::length, true},
                {"edges_half_turn[1]", "string to the rim's rear edge", Kind::length, true}};
    across_too(c);
    c.sigma = usual_edge_mm;
    add(std::move(c));
    c = card(FloorReading::camber, a, s);
    c.what = "camber";
    c.how =
        "Straight bar on the rim's flange at top and bottom, digital level against it, zeroed "
        "both ways round. Half a turn of the wheel on, again. Top leaning in counts below zero.";
    c.care = "A bar on the tyre's bulge; a level that was not turned round.";
    c.fields = {{"camber[0]", "against level", Kind::angle, true},
                {"camber[1]", "half a turn on", Kind::angle, false}};
    c.sigma = usual_sigma(ReadingKind::camber);
    add(std::move(c));
    c = card(FloorReading::ride_height, a, s);
    c.what = "hub centre up to the arch";
    c.how = "Tape, straight up from the middle of the hub to the edge of the arch.";
    c.care = "The car not rolled and settled.";
    c.fields = {{"arch", "hub to arch", Kind::length, true}};
    c.sigma = usual_sigma(ReadingKind::ride_height);
    add(std::move(c));
    if (!car_.at(a)->layout.steered()) return;
    c = card(FloorReading::sweep, a, s);
    c.what = "camber with the wheel turned out and in";
    c.how =
        "Brake held by a stick on the pedal, both front wheels on turn plates. Turn this wheel's "
        "front edge 20° away from the car and read the level; then 20° towards it. Where the "
        "plates show other angles, enter those: they need not be equal.";
    c.care =
        "Out and in exchanged; the brake let go; the angle at the steering wheel taken for the "
        "road wheel's.";
    c.fields = {{"camber_out", "camber turned out", Kind::angle, true},
                {"camber_in", "camber turned in", Kind::angle, true},
                {"turn_out", "turned out by, if not 20°", Kind::angle, false},
                {"turn_in", "turned in by, if not 20°", Kind::angle, false}};
    c.sigma = usual_sigma(ReadingKind::camber);
    add(std::move(c));
  }

  // Where the file does not know the rim.
  void across_too(FloorCard& c) const {
    if (!car_.at(c.axle)->rim.diameter_mm)
      c.fields.push_back({"across", "the rim from edge to edge", Kind::length, true});
  }

  void across() {
    station("Across and along the car", "Straight bars along the wheels, and the tape.",
            caution(Care::before_lying), "AX");
    for (const AxleName a : {AxleName::front, AxleName::rear}) {
      if (!car_.at(a)) continue;
      auto c = card(FloorReading::plates, a);
      c.what = fmt::format("toe plates at the {} wheels", word(a));
      c.how =
          "Two straight bars of one length against the rims at hub height, standing out in front "
          "and behind. Tape from bar to bar at their front ends, then at their rear ends.";
      c.care =
          "Total toe only: it does not say which wheel it comes from. The tape sagging; one end "
          "at the bar's inside and the other at its outside.";
      c.fields = {{"plates[0]", "between the front ends", Kind::length, true},
                  {"plates[1]", "between the rear ends", Kind::length, true},
                  {"base", "length of the bars", Kind::length, true}};
      c.sigma = usual_plates_mm;
      add(std::move(c));
    }
    if (!car_.at(AxleName::front)) return;
    auto c = card(FloorReading::car, AxleName::front);
    c.what = "steering wheel, wheelbase, rear pads";
    c.how =
        "How far the steering wheel was held from straight, to the left above zero; hub to hub "
        "along the left and the right side; how much higher the rear pads stand than those in "
        "front. What was not read stays empty.";
    c.care = "A steering wheel that was put straight on its splines and not by the rods.";
    c.fields = {{"steering_wheel", "steering wheel held to the left by", Kind::angle, false},
                {"wheelbases[0]", "hub to hub on the left", Kind::length, false},
                {"wheelbases[1]", "hub to hub on the right", Kind::length, false},
                {"rear_pads_high", "rear pads higher by", Kind::length, false}};
    add(std::move(c));
  }

  const Car& car_;
  std::vector<FloorStation> stations_;
  std::string letters_;
  int count_ = 0;
};

Read<Document> fault(std::string what) { return {{}, {{0, std::move(what)}}}; }

// Whether a row of the day says already that parts were in, or that it was driven.
bool says_how(const Document& document, const FloorDay& day) {
  const Value* rows = document.root.find("alignment");
  if (!rows || !rows->array()) return false;
  bool fitted = !day.fitted, driven = !day.driven;
  for (const Value& row : *rows->array()) {
    const Value* is = row.find("when");
    if (!is || !is->string() || *is->string() != day.when) continue;
    fitted = fitted || row.find("fitted");
    driven = driven || row.find("driven");
  }
  return fitted && driven;
}

std::string wheel_key(AxleName a, Side s) { return fmt::format("{}.{}", word(a), word(s)); }

}  // namespace

std::vector<FloorStation> floor_round_of(const Car& car) { return FloorRound(car).stations(); }

const FloorCard* floor_card(const std::vector<FloorStation>& round, const std::string& number) {
  for (const auto& station : round)
    for (const auto& card : station.cards)
      if (card.number == number) return &card;
  return nullptr;
}

Read<Document> entered(const Document& document, const FloorCard& card, const FloorDay& day,
                       const TypedCard& typed) {
  if (day.when.empty()) return fault("the day has no name, expected one such as \"as found\"");
  if (auto bad = wrong_typed(card.fields, typed)) return {{}, {std::move(*bad)}};
  const auto text_of = [&](std::size_t i) {
    return i < typed.values.size() ? typed.values[i] : std::string();
  };
  Document file = document;
  if ((day.fitted || day.driven) && !says_how(file, day)) {
    std::vector<std::pair<std::string, std::string>> keys{{"when", in_quotes(day.when)}};
    if (day.fitted) keys.emplace_back("fitted", "true");
    if (day.driven) keys.emplace_back("driven", "true");
    auto with = add_row(file, "alignment", keys);
    if (!with.value) return with;
    file = std::move(*with.value);
  }
  std::vector<std::pair<std::string, std::string>> keys{{"when", in_quotes(day.when)}};
  if (card.reading == FloorReading::pads || card.reading == FloorReading::plates)
    keys.emplace_back("axle", in_quotes(word(card.axle)));
  else if (card.reading != FloorReading::car)
    keys.emplace_back("wheel", in_quotes(wheel_key(card.axle, card.side)));
  std::string name;
  {
    // Each row has a name, so that it can be set aside.
    std::set<std::string> names;
    const Value* rows = file.root.find("alignment");
    if (rows && rows->array())
      for (const auto& row : *rows->array())
        if (const Value* is = row.find("name"); is && is->string()) names.insert(*is->string());
    name = fmt::format("{} {}", card.number, day.when);
    for (int i = 2; names.contains(name); ++i)
      name = fmt::format("{} {} again {}", card.number, day.when, i);
  }
  keys.insert(keys.begin(), {"name", in_quotes(name)});
  for (std::size_t i = 0; i < card.fields.size(); ++i) {
    const auto& f = card.fields[i];
    const auto at = f.key.find('[');
    if (at == std::string::npos) {
      if (!text_of(i).empty()) keys.emplace_back(f.key, as_toml(text_of(i)));
      continue;
    }
    if (f.key.substr(at) != "[0]") continue;
    // A list of one or two: of edges both or neither.
    const auto list = f.key.substr(0, at);
    const auto first = text_of(i), second = text_of(i + 1);
    if (first.empty() && second.empty()) continue;
    const bool one_will_do = list == "camber";
    if (first.empty() || (second.empty() && !one_will_do)) {
      const std::size_t wanting = first.empty() ? i : i + 1;
      return {{},
              {{0,
                fmt::format("{}: nothing was entered, expected both or neither",
                            card.fields[wanting].label),
                {},
                static_cast<int>(wanting)}}};
    }
    keys.emplace_back(list, second.empty()
                                ? as_toml(first)
                                : fmt::format("[{}, {}]", as_toml(first), as_toml(second)));
  }
  if (!typed.sigma.empty()) {
    const bool strung =
        card.reading == FloorReading::strings || card.reading == FloorReading::half_turn;
    const char* key = strung                                 ? "edge_sigma"
                      : card.reading == FloorReading::plates ? "plates_sigma"
                                                             : "sigma";
    if (strung || card.reading == FloorReading::plates || card.reading == FloorReading::camber ||
        card.reading == FloorReading::sweep)
      keys.emplace_back(key, as_toml(typed.sigma));
  }
  return add_row(file, "alignment", keys);
}

Read<Document> turned_as_planned(const Document& document, const Aligning& aligning) {
  if (!aligning.plan || aligning.plan->steps.empty()) return fault("the plan has nothing to turn");
  if (aligning.turned())
    return fault(fmt::format("what was turned on '{}' is written down already: read another day",
                             aligning.now()->when));
  Read<Document> after{document, {}};
  for (const AxleName a : {AxleName::front, AxleName::rear})
    for (const Side s : each_side) {
      std::vector<std::pair<std::string, std::string>> keys{
          {"when", in_quotes(aligning.now()->when)}, {"wheel", in_quotes(wheel_key(a, s))}};
      for (const auto& step : aligning.plan->steps)
        if (step.axle == a && step.side == s)
          keys.emplace_back(fmt::format("{}_turned", word(step.what)),
                            shortest(std::round(step.by_mm * 1e4) / 1e4));
      if (keys.size() == 2) continue;
      after = add_row(*after.value, "alignment", keys);
      if (!after.value) return after;
    }
  return after;
}

std::vector<const AlignmentRow*> taken_on(const AlignmentRows& rows, const FloorCard& card,
                                          const std::string& when) {
  std::vector<const AlignmentRow*> taken;
  for (const auto& r : rows.rows) {
    if (r.when != when) continue;
    bool is = false;
    switch (card.reading) {
      case FloorReading::pads:
        is = r.axle == card.axle && r.left_pad_high_mm;
        break;
      case FloorReading::plates:
        is = r.axle == card.axle && r.plates;
        break;
      case FloorReading::strings:
      case FloorReading::half_turn: {
        const bool half = card.reading == FloorReading::half_turn;
        is =
            r.of_wheel(card.axle, card.side) &&
            ((r.hub_mm && !half) || std::any_of(r.edges.begin(), r.edges.end(), [&](const auto& e) {
               return e.half_turn == half;
             }));
        break;
      }
      case FloorReading::camber:
        is = r.of_wheel(card.axle, card.side) && !r.camber_rad.empty();
        break;
      case FloorReading::sweep:
        is = r.of_wheel(card.axle, card.side) && r.sweep;
        break;
      case FloorReading::ride_height:
        is = r.of_wheel(card.axle, card.side) && r.arch_mm;
        break;
      case FloorReading::car:
        is = !r.axle && (r.steering_wheel_rad || r.wheelbases_mm || r.rear_pads_high_mm);
        break;
    }
    if (is) taken.push_back(&r);
  }
  return taken;
}

std::string row_words(const AlignmentRow& r, const FloorCard& card, Units units) {
  const InUnits t(units);
  std::vector<std::string> words;
  const auto add = [&](std::string text) { words.push_back(std::move(text)); };
  switch (card.reading) {
    case FloorReading::strings:
    case FloorReading::half_turn:
      for (const auto& e : r.edges)
        if (e.half_turn == (card.reading == FloorReading::half_turn))
          add(fmt::format("front {}, rear {}", t.mm(e.front_mm.value), t.mm(e.rear_mm.value)));
      if (r.hub_mm && card.reading == FloorReading::strings) add("hub " + t.mm(r.hub_mm->value));
      break;
    case FloorReading::camber:
      for (const auto& c : r.camber_rad) add(t.deg(c.value));
      break;
    case FloorReading::sweep:
      if (r.sweep)
        add(fmt::format("out {}, in {}", t.deg(r.sweep->camber_out_rad.value),
                        t.deg(r.sweep->camber_in_rad.value)));
      break;
    case FloorReading::ride_height:
      if (r.arch_mm) add(t.mm(r.arch_mm->value));
      break;
    case FloorReading::pads:
      if (r.left_pad_high_mm) add(t.signed_mm(r.left_pad_high_mm->value));
      break;
    case FloorReading::plates:
      if (r.plates)
        add(fmt::format("front {}, rear {}", t.mm(r.plates->front_mm.value),
                        t.mm(r.plates->rear_mm.value)));
      break;
    case FloorReading::car:
      if (r.steering_wheel_rad) add("steering wheel " + t.deg(*r.steering_wheel_rad));
      if (r.wheelbases_mm)
        add(fmt::format("left {}, right {}", t.mm((*r.wheelbases_mm)[0].value),
                        t.mm((*r.wheelbases_mm)[1].value)));
      if (r.rear_pads_high_mm) add("rear pads " + t.signed_mm(r.rear_pads_high_mm->value));
      break;
  }
  std::string text;
  for (const auto& w : words) text += (text.empty() ? "" : "; ") + w;
  return text;
}

}  // namespace trammel
