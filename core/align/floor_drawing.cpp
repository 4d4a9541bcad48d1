#include <fmt/format.h>

#include <cmath>

#include "align/floor_cards.h"
#include "base/quantity.h"
#include "car/by.h"
#include "measure/card_paper.h"
#include "told/markup.h"

namespace trammel {
namespace {

using namespace card_paper;

constexpr double wide_mm = 100.0, high_mm = 64.0;
constexpr double tyre_mm = 190.0;        // drawn width of a tyre
constexpr double string_off_mm = 130.0;  // string outside the tyre, as drawn
constexpr double turned_rad = 20.0 * degree_rad;

struct WheelAt {
  Vec3<double> centre;
  double radius = 0.0, outboard = 1.0;
};
WheelAt wheel_at(const Car& car, AxleName a, Side s) {
  const auto& centre = car.at(a)->at(s).numbers.points_mm[0];
  return {centre, centre.z, outboard_sign(s)};
}

class Floor {
 public:
  Floor(const Car& car, const FloorCard& card)
      : car_(car),
        card_(card),
        paper_(from_behind() ? View::behind : View::above, wide_mm, high_mm) {}

  Drawing drawn(double shown_mm, const std::string& caption) {
    if (from_behind()) behind();
    else above();
    Drawing d;
    d.title = card_.what;
    d.text = fmt::format("{}, {}", card_.what,
                         from_behind() ? "the axle seen from behind" : "the car seen from above");
    if (!caption.empty()) paper_.text({3.0, high_mm - 3.0}, caption, "start", 6.0);
    d.svg = paper_.svg(escaped(d.text), shown_mm);
    return d;
  }

 private:
  bool from_behind() const {
    return card_.reading == FloorReading::camber || card_.reading == FloorReading::ride_height ||
           card_.reading == FloorReading::pads;
  }

  // ------------------------------------------------------------------ from above, nose up

  void tyre(const WheelAt& w, double turned, double width) {
    const double c = std::cos(turned), s = std::sin(turned);
    std::vector<Flat> corners;
    for (const auto& [x, y] : {std::array{1.0, -1.0}, std::array{1.0, 1.0}, std::array{-1.0, 1.0},
                               std::array{-1.0, -1.0}}) {
      const double ahead = x * w.radius, out = 0.5 * y * tyre_mm;
      corners.push_back(paper_.at({w.centre.x + ahead * c - out * s * w.outboard,
                                   w.centre.y + ahead * s * w.outboard + out * c, 0.0}));
    }
    paper_.shape(corners, width);
  }

  void above() {
    std::vector<WheelAt> wheels;
    for (const AxleName a : {AxleName::front, AxleName::rear})
      if (car_.at(a))
        for (const Side s : {Side::left, Side::right}) wheels.push_back(wheel_at(car_, a, s));
    // One wheel fills the picture where one is read.
    const auto here = wheel_at(car_, card_.axle, card_.side);
    const bool near = card_.reading == FloorReading::strings ||
                      card_.reading == FloorReading::half_turn ||
                      card_.reading == FloorReading::sweep;
    const double string_y = here.centre.y + here.outboard * (0.5 * tyre_mm + string_off_mm);
    if (near) {
      for (const double ahead : {-1.25, 1.25})
        paper_.include({here.centre.x + ahead * here.radius, here.centre.y, 0.0});
      paper_.include({here.centre.x, string_y, 0.0});
      paper_.include({here.centre.x, here.centre.y - here.outboard * 260.0, 0.0});
    } else {
      for (const auto& w : wheels)
        for (const double ahead : {-1.3, 1.3})
          paper_.include({w.centre.x + ahead * w.radius, w.centre.y + w.outboard * 300.0, 0.0});
    }
    paper_.fit();
    if (near) {
      one_wheel(here, string_y);
      return;
    }
    for (const auto& w : wheels) tyre(w, 0.0, plain);
    if (card_.reading == FloorReading::plates) {
      const auto l = wheel_at(car_, card_.axle, Side::left),
                 r = wheel_at(car_, card_.axle, Side::right);
      const double reach = 1.2 * l.radius;
      for (const auto& w : {l, r}) {
        const double y = w.centre.y + w.outboard * 0.5 * tyre_mm;
        paper_.line(paper_.at({w.centre.x - reach, y, 0.0}),
                    paper_.at({w.centre.x + reach, y, 0.0}), plain);
      }
      for (const double ahead : {reach, -reach})
        paper_.measured(paper_.at({l.centre.x + ahead, l.centre.y + 0.5 * tyre_mm, 0.0}),
                        paper_.at({r.centre.x + ahead, r.centre.y - 0.5 * tyre_mm, 0.0}));
    } else if (wheels.size() == 4) {
      for (const std::size_t side : {std::size_t{0}, std::size_t{1}})
        paper_.measured(
            paper_.at({wheels[side].centre.x, wheels[side].centre.y + wheels[side].outboard * 150.0,
                       0.0}),
            paper_.at({wheels[side + 2].centre.x,
                       wheels[side + 2].centre.y + wheels[side].outboard * 150.0, 0.0}));
    }
    paper_.text({wide_mm - 12.0, 6.0}, "front", "middle");
  }

  void one_wheel(const WheelAt& w, double string_y) {
    if (card_.reading == FloorReading::sweep) {
      tyre(w, 0.0, thin);
      tyre(w, turned_rad, plain);
      tyre(w, -turned_rad, plain);
      const auto tip = [&](double turned) {
        return paper_.at({w.centre.x + 1.15 * w.radius * std::cos(turned),
                          w.centre.y + 1.15 * w.radius * std::sin(turned) * w.outboard, 0.0});
      };
      paper_.measured(tip(0.0), tip(turned_rad));
      paper_.measured(tip(0.0), tip(-turned_rad));
      const auto out = tip(1.6 * turned_rad), in = tip(-1.6 * turned_rad);
      paper_.text(out, "out");
      paper_.text(in, "in");
      return;
    }
    tyre(w, 0.0, plain);
    paper_.line(paper_.at({w.centre.x - 1.25 * w.radius, string_y, 0.0}),
                paper_.at({w.centre.x + 1.25 * w.radius, string_y, 0.0}), thin);
    const double rim = 0.7 * w.radius, face = w.centre.y + w.outboard * 0.35 * tyre_mm;
    paper_.line(paper_.at({w.centre.x - rim, face, 0.0}), paper_.at({w.centre.x + rim, face, 0.0}),
                plain);
    for (const double ahead : {rim, 0.0, -rim}) {
      if (ahead == 0.0 && card_.reading == FloorReading::half_turn) continue;
      paper_.measured(paper_.at({w.centre.x + ahead, string_y, 0.0}),
                      paper_.at({w.centre.x + ahead, face, 0.0}));
    }
    paper_.text(paper_.at({w.centre.x + 1.1 * w.radius, w.centre.y - w.outboard * 200.0, 0.0}),
                "front");
  }

  // ------------------------------------------------------------------ from behind

  void behind() {
    const auto l = wheel_at(car_, card_.axle, Side::left),
               r = wheel_at(car_, card_.axle, Side::right);
    for (const auto& w : {l, r}) {
      paper_.include({0.0, w.centre.y + w.outboard * 250.0, 0.0});
      paper_.include({0.0, w.centre.y, 2.0 * w.radius + 120.0});
    }
    paper_.fit();
    paper_.line(paper_.at({0.0, l.centre.y + 250.0, 0.0}),
                paper_.at({0.0, r.centre.y - 250.0, 0.0}), thin);
    for (const auto& w : {l, r}) {
      const double half = 0.5 * tyre_mm;
      paper_.shape(
          {paper_.at({0.0, w.centre.y - half, 0.0}), paper_.at({0.0, w.centre.y + half, 0.0}),
           paper_.at({0.0, w.centre.y + half, 2.0 * w.radius}),
           paper_.at({0.0, w.centre.y - half, 2.0 * w.radius})},
          plain);
    }
    const auto here = wheel_at(car_, card_.axle, card_.side);
    if (card_.reading == FloorReading::camber) {
      const double y = here.centre.y + here.outboard * (0.5 * tyre_mm + 25.0);
      paper_.measured(paper_.at({0.0, y, 0.3 * here.radius}),
                      paper_.at({0.0, y, 1.7 * here.radius}));
    } else if (card_.reading == FloorReading::ride_height) {
      const double y = here.centre.y + here.outboard * 0.5 * tyre_mm;
      paper_.measured(paper_.at({0.0, y, here.radius}),
                      paper_.at({0.0, y, 2.0 * here.radius + 90.0}));
    } else {
      for (const auto& w : {l, r})
        paper_.shape(
            {paper_.at({0.0, w.centre.y - 120.0, 0.0}), paper_.at({0.0, w.centre.y + 120.0, 0.0}),
             paper_.at({0.0, w.centre.y + 120.0, -25.0}),
             paper_.at({0.0, w.centre.y - 120.0, -25.0})},
            heavy);
    }
    paper_.text({10.0, 6.0}, "left", "middle");
    paper_.text({wide_mm - 10.0, 6.0}, "right", "middle");
  }

  const Car& car_;
  const FloorCard& card_;
  Paper paper_;
};

}  // namespace

Drawing floor_drawing(const Car& car, const FloorCard& card, double shown_mm,
                      const std::string& caption) {
  return Floor(car, card).drawn(shown_mm, caption);
}

}  // namespace trammel
