// A car on a garage floor for tests of alignment: what strings, level and turn plates read of
// wheels that stand as they are said to.
#pragma once

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string>

#include "align/aligning.h"
#include "align/caster_sweep.h"
#include "cars.h"
#include "travel/reasons.h"

namespace trammel::testing {

// How the four wheels stand, and how string box and floor stand to the car.
struct OnTheFloor {
  // Front left, front right, rear left, rear right.
  std::array<double, 4> toe_rad{}, camber_rad{};
  std::array<double, 2> half_track_mm{695.0, 685.0};  // front, rear
  double wheelbase_mm = 2370.0;
  double across_mm = 406.0;
  double strings_mm = 930.0;  // each from the middle of the box
  double yaw_rad = 0.0;       // car's nose to the right of the box
  double off_mm = 0.0;        // front axle's middle to the left of the box's
  double cap_mm = 7.0;        // hub cap outboard of the wheel's middle plane
  std::array<double, 2> left_pad_high_mm{};

  static double sign(int wheel) { return wheel % 2 == 0 ? 1.0 : -1.0; }
  // Front and rear edge of the rim, and the hub cap, from the string. `noise` is called for every
  // distance.
  template <class Noise>
  std::string row(const std::string& when, int wheel, int places, Noise noise) const {
    const int axle = wheel / 2;
    const auto a = static_cast<std::size_t>(axle);
    const auto w = static_cast<std::size_t>(wheel);
    // To the left of the box's middle, in the box's axes.
    const double back = axle == 1 ? wheelbase_mm : 0.0;
    const double middle = off_mm + back * std::sin(yaw_rad);
    const double centre = middle + sign(wheel) * half_track_mm[a] * std::cos(yaw_rad);
    const double hub = strings_mm - sign(wheel) * centre - cap_mm;
    const double rim = strings_mm - sign(wheel) * centre;
    const double turned = toe_rad[w] + sign(wheel) * yaw_rad;
    const double half = 0.5 * across_mm * std::sin(turned);
    std::string text =
        fmt::format("[[alignment]]\nwhen = \"{}\"\nwheel = \"{}.{}\"\nacross = {}\n", when,
                    axle == 0 ? "front" : "rear", wheel % 2 == 0 ? "left" : "right", across_mm);
    text += fmt::format("hub = {:.9f}\n", hub + noise());
    for (int place = 0; place < places; ++place)
      text += fmt::format("{} = [{:.9f}, {:.9f}]\n", place == 0 ? "edges" : "edges_half_turn",
                          rim + half + noise(), rim - half + noise());
    return text;
  }
  // Camber as a level reads it against gravity, `places` times.
  template <class Noise>
  std::string camber_row(const std::string& when, int wheel, int places, Noise noise) const {
    const auto a = static_cast<std::size_t>(wheel / 2);
    const double tilt = std::atan(left_pad_high_mm[a] / (2.0 * half_track_mm[a]));
    std::string values;
    for (int place = 0; place < places; ++place)
      values +=
          fmt::format("{}{:.10f}", place == 0 ? "" : ", ",
                      (camber_rad[static_cast<std::size_t>(wheel)] - sign(wheel) * tilt + noise()) /
                          degree_rad);
    return fmt::format("[[alignment]]\nwhen = \"{}\"\nwheel = \"{}.{}\"\ncamber = [{}]\n", when,
                       wheel / 2 == 0 ? "front" : "rear", wheel % 2 == 0 ? "left" : "right",
                       values);
  }
  std::string pads_row(const std::string& when, int axle) const {
    return fmt::format("[[alignment]]\nwhen = \"{}\"\naxle = \"{}\"\nleft_pad_high = {:.9f}\n",
                       when, axle == 0 ? "front" : "rear",
                       left_pad_high_mm[static_cast<std::size_t>(axle)]);
  }
  // Everything, exactly.
  std::string rows(const std::string& when) const {
    const auto exact = [] { return 0.0; };
    std::string text;
    for (int wheel = 0; wheel < 4; ++wheel)
      text += row(when, wheel, 2, exact) + camber_row(when, wheel, 2, exact);
    return text + pads_row(when, 0) + pads_row(when, 1);
  }
};

// A car file read with its rows of alignment.
struct AlignedCar {
  Document document;
  Car car;
  Wishes wishes;
  Survey survey;
  AlignmentRows rows;
  Ride sits;
  Aligning aligning() const { return align(sits, {}, wishes, rows, survey); }
  SessionFound found(const std::string& when) const {
    return found_on_floor(rows, when, sits, survey);
  }
};
inline AlignedCar aligned_car(const std::string& text) {
  auto document = parse(text);
  EXPECT_TRUE(document.value) << faults_of(text);
  AlignedCar a{std::move(*document.value), car_of(text), {}, {}, {}, {}};
  a.wishes = read_wishes(a.document, a.car);
  a.survey = read_survey(a.document, a.car);
  a.rows = read_alignment(a.document, a.car);
  auto r = ride(a.car, nullptr);
  EXPECT_TRUE(r.value) << words(r.why, Units::metric);
  a.sits = std::move(*r.value);
  return a;
}

// An invented front axle on struts and rear axle on a strut and three rods, with what sets them.
inline std::string two_axles() {
  return std::string(strut_text) +
         "[front.adjust]\ntoe = { rod = \"steering\", pitch = 1.5, ends = 1 }\n"
         "camber = { joint = \"front.strut.top\", along = [0, 1, 0], pitch = 1.5 }\n"
         "[front.target]\ntoe = [-0.1, 0.1]\ncamber = [-1.2, -0.6]\n" +
         std::string(three_rod_strut_text).substr(std::string("\ntrammel = 1").size()) +
         "[rear.adjust]\ntoe = { rod = \"toe\", pitch = 1.25, ends = 2 }\n"
         "[rear.target]\ntoe = [0.0, 0.2]\n";
}

inline std::string words_of(const Section& s) {
  std::string all = s.answer + "\n";
  for (const auto& b : all_blocks(s)) {
    if (const auto* p = std::get_if<Paragraph>(&b)) all += p->text + "\n";
    if (const auto* c = std::get_if<Caution>(&b)) all += c->text + "\n";
    if (const auto* g = std::get_if<Grid>(&b)) {
      all += g->title + "\n";
      for (const auto& row : g->rows) {
        for (const auto& cell : row) all += cell + " | ";
        all += "\n";
      }
    }
  }
  return all;
}

}  // namespace trammel::testing
