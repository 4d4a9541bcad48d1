#include "measure/round.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/in_units.h"
#include "told/cautions.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

// Standard uncertainties of one careful reading (common practice): a centre that can be seen, and
// one that is under a gaiter, in rubber or inside a tube.
constexpr double hidden_height_mm = 2.5;
constexpr double hidden_mark_mm = 3.0;
constexpr double across_mm = 1.5;  // a tape right across the car
constexpr double spot_mm = 0.7;    // of the floor, by water level
constexpr double beside_axle_mm = 250.0;
constexpr double farthest_pair_mm = 300.0;  // joints nearer than this are taped to each other

bool is_hidden(const Layout& layout, int point) {
  if (layout.strut && (point == layout.strut->top || point == layout.strut->foot)) return true;
  for (const auto& rod : layout.rods)
    if (rod.steered() && point == rod.inner) return true;
  for (const auto& arm : layout.arms)
    if (point == arm.body_rear) return true;
  return false;
}

// Behind the tyre, where no bob can hang.
bool on_upright(const Layout& layout, int point) {
  for (const auto& arm : layout.arms)
    if (point == arm.upright) return true;
  for (const auto& rod : layout.rods)
    if (point == rod.upright) return true;
  return false;
}

// What the centre of a joint is, and where one finds it.
std::string where_to_look(const Layout& layout, int point) {
  if (point == 0) return "The hub's centre: the middle of the wheel's bearing, where the cap is.";
  for (const auto& arm : layout.arms) {
    if (point == arm.upright)
      return "The ball's centre, not the boot: on a spare joint it is the one height that stays "
             "still while the stud swings.";
    if (point == arm.body_front || point == arm.body_rear)
      return "The bolt's axis, midway between its two faces. A large bush that stands upright: "
             "half "
             "the height of its rubber.";
  }
  for (const auto& rod : layout.rods) {
    if (point == rod.inner && rod.steered())
      return "Where the rod bends under the gaiter: swing it up and down and mark what stays "
             "still.";
    if (point == rod.upright || point == rod.inner)
      return "The centre of the ball, or of the bush on its bolt's axis.";
  }
  if (layout.strut && point == layout.strut->top)
    return "The centre of the bearing or rubber, below the turret's face: take the step from a "
           "spare mount.";
  if (layout.strut && point == layout.strut->foot)
    return "A dot punched on the tube, low down: any point on its axis. Lay a straight edge along "
           "the tube and take off its radius.";
  return "The bolt's axis, in the middle of the bush.";
}

class Round {
 public:
  explicit Round(const Car& car) : car_(car) {}

  std::vector<Station> stations() {
    before();
    const bool front = car_.at(AxleName::front).has_value();
    const bool rear = car_.at(AxleName::rear).has_value();
    // As one goes round the car: front left, front right, rear right, rear left.
    if (front) {
      corner(AxleName::front, Side::left, "FL");
      corner(AxleName::front, Side::right, "FR");
      across(AxleName::front, "FX");
    }
    if (rear) {
      corner(AxleName::rear, Side::right, "RR");
      corner(AxleName::rear, Side::left, "RL");
      across(AxleName::rear, "RX");
    }
    return std::move(stations_);
  }

  Card card(CardKind kind, const Spot& spot, const Spot& other) const {
    Card c;
    c.kind = kind;
    c.spot = spot;
    c.other = other;
    switch (kind) {
      case CardKind::height:
        height(c);
        break;
      case CardKind::mark:
        mark(c);
        break;
      case CardKind::slope:
        slope(c);
        break;
      case CardKind::distance:
        distance(c);
        break;
      case CardKind::camber:
        camber(c);
        break;
      case CardKind::toe:
        toe(c);
        break;
      case CardKind::ride_height:
        ride_height(c);
        break;
      case CardKind::baseline:
      case CardKind::floor:
        break;
    }
    return c;
  }

 private:
  const Layout& layout(AxleName a) const { return car_.at(a)->layout; }
  std::string joint(const Spot& s) const { return joint_words(layout(s.axle), s.index); }
  // Both ends of a pair; the corner is said where they differ in it.
  std::string pair(const Spot& a, const Spot& b) const {
    if (a.axle == b.axle && a.side == b.side) return fmt::format("{} to {}", joint(a), joint(b));
    if (a.axle == b.axle && a.index == b.index) return fmt::format("{}, left to right", joint(a));
    return fmt::format("{}, {}, to {}, {}", joint(a), corner_words(a.axle, a.side), joint(b),
                       corner_words(b.axle, b.side));
  }

  Station& station(std::string name, std::string intro, std::string caution) {
    letters_.clear();
    count_ = 0;
    stations_.push_back({std::move(name), std::move(intro), std::move(caution), {}});
    return stations_.back();
  }
  void add(Card c) {
    c.number = fmt::format("{}{}", letters_, ++count_);
    stations_.back().cards.push_back(std::move(c));
  }
  void add(CardKind kind, const Spot& spot, const Spot& other = {}) {
    add(card(kind, spot, other));
  }

  void before() {
    station(
        "Before you crawl",
        "Tyres at pressure, 75 kg in the driver's seat, half a tank, handbrake off, rolled 3 to "
        "5 m. Steering at its centre: half the turns from lock to lock, wheel strapped. "
        "Centreline and baseline on the floor, square by 3-4-5.",
        caution({Care::under_tyres, Care::glasses}));
    letters_ = "B";
    Card b;
    b.kind = CardKind::baseline;
    b.what = "baseline, ahead of the front axle line";
    b.how = "Along the centreline, from below the front hubs forward to the line on the floor.";
    b.care = "Measured from the bumper. All values 'back' are counted from this line.";
    b.fields = {{"value", "ahead of the axle", Kind::length, true}};
    add(b);
    const auto& front = car_.at(AxleName::front);
    const auto& rear = car_.at(AxleName::rear);
    for (const auto* axle : {front ? &*front : nullptr, rear ? &*rear : nullptr}) {
      if (!axle) continue;
      const auto& hub = axle->at(Side::left).numbers.points_mm[0];
      for (const double ahead : {beside_axle_mm, -beside_axle_mm})
        for (const double y : {hub[1], 0.0, -hub[1]}) {
          Card c;
          c.kind = CardKind::floor;
          c.at_mm = {std::round((hub[0] + ahead) / 10.0) * 10.0, std::round(y / 10.0) * 10.0};
          const auto across = c.at_mm[1] == 0.0
                                  ? std::string("on the centreline")
                                  : fmt::format("{:.0f} mm {} of it", std::fabs(c.at_mm[1]),
                                                c.at_mm[1] > 0.0 ? "left" : "right");
          c.what = fmt::format("floor, {} axle, {:.0f} mm {} it, {}", word(axle->layout.axle),
                               beside_axle_mm, ahead > 0.0 ? "ahead of" : "behind", across);
          c.how =
              "Water level: how far this spot stands above the plane under the four tyres; "
              "below it counts below zero.";
          c.care =
              "The sign: where the water line stands farther above the floor than above the "
              "pads, the spot is below zero.";
          c.fields = {{"value", "against the pads", Kind::length, true}};
          c.sigma = spot_mm;
          add(c);
        }
    }
  }

  void corner(AxleName a, Side s, const char* letters) {
    station(capital(corner_words(a, s)),
            "From outside: the wheel. Then from below: each joint with stick and bob, the level "
            "along rods and arms, the tape between joints.",
            caution(Care::before_lying));
    letters_ = letters;
    Spot wheel;
    wheel.axle = a;
    wheel.side = s;
    add(CardKind::camber, wheel);
    add(CardKind::toe, wheel);
    add(CardKind::ride_height, wheel);
    const auto& l = layout(a);
    const auto at = [&](int point) {
      Spot spot = wheel;
      spot.index = point;
      return spot;
    };
    // From the wheel inwards, the strut last: its top is reached from above.
    auto points = holding_points(l);
    const auto rank = [&](int p) {
      if (p == 0) return 0;
      if (l.strut && (p == l.strut->top || p == l.strut->foot)) return 3;
      return on_upright(l, p) ? 1 : 2;
    };
    std::stable_sort(points.begin(), points.end(), [&](int x, int y) { return rank(x) < rank(y); });
    for (const int p : points) {
      add(CardKind::height, at(p));
      add(CardKind::mark, at(p));
    }
    for (const auto& arm : l.arms) add(CardKind::slope, at(arm.body_front), at(arm.upright));
    for (const auto& rod : l.rods) add(CardKind::slope, at(rod.inner), at(rod.upright));
    std::vector<std::pair<int, int>> tapes;
    for (const auto& arm : l.arms) {
      tapes.emplace_back(arm.upright, arm.body_front);
      tapes.emplace_back(arm.upright, arm.body_rear);
      tapes.emplace_back(arm.body_front, arm.body_rear);
    }
    for (const auto& rod : l.rods) tapes.emplace_back(rod.upright, rod.inner);
    // Outer joints to each other; and inner ones, where they are neighbours.
    const auto& numbers = car_.at(a)->at(s).numbers.points_mm;
    const auto near = [&](int p, int q) {
      const auto d = numbers[static_cast<std::size_t>(p)] - numbers[static_cast<std::size_t>(q)];
      return dot(d, d) < farthest_pair_mm * farthest_pair_mm;
    };
    std::vector<int> outer, inner;
    for (const auto& arm : l.arms) outer.push_back(arm.upright);
    for (const auto& rod : l.rods) outer.push_back(rod.upright), inner.push_back(rod.inner);
    for (const auto* some : {&outer, &inner})
      for (std::size_t i = 0; i < some->size(); ++i)
        for (std::size_t j = i + 1; j < some->size(); ++j)
          if (near((*some)[i], (*some)[j])) tapes.emplace_back((*some)[i], (*some)[j]);
    for (const auto& [p, q] : tapes) add(CardKind::distance, at(p), at(q));
  }

  // Left to right, and the diagonals: what ties the sides together.
  void across(AxleName a, const char* letters) {
    station(fmt::format("Across the {} axle", word(a)),
            "Tape or trammel bar from one side to the other, held taut, between the same edges.",
            caution(Care::before_lying));
    letters_ = letters;
    const auto& l = layout(a);
    std::vector<int> inner;
    for (const auto& arm : l.arms) inner.push_back(arm.body_front), inner.push_back(arm.body_rear);
    for (const auto& rod : l.rods)
      if (rod.inner_on.on != Carrier::arm) inner.push_back(rod.inner);
    if (l.swing) inner.push_back(l.swing->pivot_inner);
    const auto at = [&](Side s, int point) {
      Spot spot;
      spot.axle = a;
      spot.side = s;
      spot.index = point;
      return spot;
    };
    for (const int p : inner) add(CardKind::distance, at(Side::left, p), at(Side::right, p));
    if (l.strut)
      add(CardKind::distance, at(Side::left, l.strut->top), at(Side::right, l.strut->top));
    if (inner.size() > 1) {
      add(CardKind::distance, at(Side::left, inner[0]), at(Side::right, inner[1]));
      add(CardKind::distance, at(Side::left, inner[1]), at(Side::right, inner[0]));
    }
  }

  // ------------------------------------------------------------------ what a card says

  void height(Card& c) const {
    const auto& l = layout(c.spot.axle);
    c.what = "floor to " + joint(c.spot);
    c.how = "Stick upright on the spot right below, square to the centre. " +
            where_to_look(l, c.spot.index);
    c.care = "10 mm misread on the stick; the wrong spot; the boot measured and not the ball.";
    c.fields = {{"value", "above the floor", Kind::length, true}};
    c.own_sigma = is_hidden(l, c.spot.index);
    c.sigma = c.own_sigma ? hidden_height_mm : usual_sigma(ReadingKind::height);
  }

  void mark(Card& c) const {
    const auto& l = layout(c.spot.axle);
    c.what = "floor mark of " + joint(c.spot);
    c.how =
        "Bob from the centre, at rest, marked on tape; then tape and square to the baseline and "
        "to the centreline. " +
        where_to_look(l, c.spot.index);
    c.care =
        "'back' counted from the hub and not from the baseline; a tape begun at its 100 mm mark.";
    c.fields = {{"back", "back from the baseline", Kind::length, false},
                {"out", "out from the centreline", Kind::length, false}};
    if (on_upright(l, c.spot.index)) {
      c.how +=
          " Where the tyre is in the way, carry the centre inboard along a level bar, plumb "
          "from its end, and enter the bar's length as well.";
      c.fields.push_back(
          {"inboard", "length of the level bar, if one was used", Kind::length, false});
    }
    c.own_sigma = is_hidden(l, c.spot.index);
    c.sigma = c.own_sigma ? hidden_mark_mm : usual_sigma(ReadingKind::back);
  }

  void slope(Card& c) const {
    c.what = "level along " + pair(c.spot, c.other);
    c.how =
        "Digital level along the line between the two centres, a straight edge on equal blocks "
        "where the part is bent; turned end for end, the mean written down. Above zero where "
        "the outer end stands higher.";
    c.care = "A cast or tapered face; 3°30' written as 3.30; per cent for degrees.";
    c.fields = {{"value", "outer end above inner", Kind::angle, true}};
    c.sigma = usual_sigma(ReadingKind::slope);
  }

  void distance(Card& c) const {
    c.what = pair(c.spot, c.other);
    c.how = "Trammel bar, or tape held taut, straight through the air from centre to centre.";
    c.care =
        "One edge of a bolt head here and the other edge there; a tape begun at its 100 mm mark.";
    c.fields = {{"value", "centre to centre", Kind::length, true}};
    c.own_sigma = c.spot.axle != c.other.axle || c.spot.side != c.other.side;
    c.sigma = c.own_sigma ? across_mm : usual_sigma(ReadingKind::distance);
  }

  void camber(Card& c) const {
    c.what = "camber";
    c.how =
        "Straight bar on the rim's flange at top and bottom, level against it; rolled on by half "
        "a turn, read again, the mean. Top leaning in counts below zero.";
    c.care = "A bar on the tyre; the floor's fall forgotten.";
    c.fields = {{"value", "against level", Kind::angle, true}};
    c.sigma = usual_sigma(ReadingKind::camber);
  }

  void toe(Card& c) const {
    c.what = "toe by string";
    c.how =
        "String outside the wheel at hub height, along the centreline. From it to the rim's "
        "front edge and to its rear edge; then the rim from edge to edge.";
    c.care = "The string touching the tyre; a bent rim: read it again half a turn on.";
    c.fields = {{"edges[0]", "string to the rim's front edge", Kind::length, true},
                {"edges[1]", "string to the rim's rear edge", Kind::length, true},
                {"across", "rim, front edge to rear edge", Kind::length, true}};
    c.sigma = 0.5;  // of one edge
  }

  void ride_height(Card& c) const {
    c.what = "hub up to the arch";
    c.how = "A rule hooked to the hub's centre, upright, to the edge of the arch.";
    c.care = "A leaning rule; the car not rolled since it came off the jack.";
    c.fields = {{"value", "hub to arch", Kind::length, true}};
    c.sigma = usual_sigma(ReadingKind::ride_height);
  }

  const Car& car_;
  std::vector<Station> stations_;
  std::string letters_;
  int count_ = 0;
};

}  // namespace

std::vector<Station> round_of(const Car& car) { return Round(car).stations(); }

const Card* card_numbered(const std::vector<Station>& round, const std::string& number) {
  for (const auto& station : round)
    for (const auto& card : station.cards)
      if (card.number == number) return &card;
  return nullptr;
}

Card free_card(const Car& car, CardKind kind, const Spot& spot, const Spot& other) {
  return Round(car).card(kind, spot, other);
}

std::vector<ReadingKind> reading_kinds(CardKind kind) {
  switch (kind) {
    case CardKind::height:
      return {ReadingKind::height};
    case CardKind::mark:
      return {ReadingKind::back, ReadingKind::out};
    case CardKind::slope:
      return {ReadingKind::slope};
    case CardKind::distance:
      return {ReadingKind::distance};
    case CardKind::camber:
      return {ReadingKind::camber};
    case CardKind::toe:
      return {ReadingKind::toe};
    case CardKind::ride_height:
      return {ReadingKind::ride_height};
    case CardKind::baseline:
    case CardKind::floor:
      break;
  }
  return {};
}

bool is_of(const TakenReading& r, const Card& card) {
  const auto kinds = reading_kinds(card.kind);
  if (std::find(kinds.begin(), kinds.end(), r.kind) == kinds.end() || r.travel_mm) return false;
  if (!has_two_ends(r.kind)) return r.spot == card.spot;
  return (r.spot == card.spot && r.other == card.other) ||
         (r.kind == ReadingKind::distance && r.spot == card.other && r.other == card.spot);
}

std::string corner_words(AxleName axle, Side side) {
  return fmt::format("{} {}", word(axle), word(side));
}

}  // namespace trammel
