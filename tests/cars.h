// Cars for tests: the invented demo cars, and texts written in place.
#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <string>

#include "travel/freedom.h"

namespace trammel::testing {

inline std::string demo_text(const std::string& name) {
  std::ifstream in(std::string(CARS_FOLDER) + "/" + name, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

// All faults of a text, as "line: what", one to a line.
inline std::string faults_of(const std::string& text) {
  auto document = parse(text);
  std::string all;
  const auto add = [&](const std::vector<Fault>& faults) {
    for (const auto& f : faults) all += std::to_string(f.line) + ": " + f.what + "\n";
  };
  add(document.faults);
  if (document.value) add(read_car(*document.value).faults);
  return all;
}

inline Car car_of(const std::string& text) {
  auto document = parse(text);
  EXPECT_TRUE(document.value) << faults_of(text);
  auto car = read_car(*document.value);
  EXPECT_TRUE(car.value) << faults_of(text);
  return std::move(*car.value);
}

inline Car demo(const std::string& name) { return car_of(demo_text(name)); }

// A car for each layout, invented, with skewed axes so that nothing cancels.
inline const char* strut_text = R"(
trammel = 1
[front.wheel]
centre = [0, 715, 292]
camber = -0.4
toe = 0.05
[front.arm.lower]
body_front = [135, 345, 205]
body_rear  = [-180, 350, 200]
upright    = [5, 655, 178]
[front.rod.steering]
body    = [-120, 320, 232]
upright = [-128, 640, 226]
steered = true
[front.strut]
top  = [-20, 545, 820]
foot = [4, 598, 330]
)";

inline const char* wishbone_text = R"(
trammel = 1
[front.wheel]
centre = [2, 705, 278]
camber = -0.7
toe = 0.1
[front.arm.lower]
body_front = [140, 330, 185]
body_rear  = [-150, 322, 172]
upright    = [6, 668, 168]
[front.arm.upper]
body_front = [88, 398, 396]
body_rear  = [-108, 405, 384]
upright    = [-14, 640, 402]
[front.rod.steering]
body    = [112, 335, 249]
upright = [118, 655, 246]
steered = true
)";

inline const char* five_link_text = R"(
trammel = 1
[front.wheel]
centre = [0, 745, 320]
camber = -0.9
toe = 0.08
[front.rod.lower_front]
body    = [180, 420, 215]
upright = [25, 690, 190]
[front.rod.lower_rear]
body    = [-210, 400, 225]
upright = [-20, 685, 195]
[front.rod.upper_front]
body    = [90, 470, 560]
upright = [20, 650, 575]
[front.rod.upper_rear]
body    = [-130, 480, 555]
upright = [-25, 645, 570]
[front.rod.steering]
body    = [-140, 410, 290]
upright = [-135, 680, 280]
steered = true
)";

inline const char* three_rod_strut_text = R"(
trammel = 1
[rear.wheel]
centre = [-2370, 685, 280]
camber = -0.8
toe = 0.1
[rear.rod.lateral]
body    = [-2338, 205, 244]
upright = [-2338, 642, 212]
[rear.rod.toe]
body    = [-2448, 245, 242]
upright = [-2448, 645, 212]
[rear.rod.trailing]
body    = [-1965, 545, 225]
upright = [-2335, 600, 196]
[rear.strut]
top  = [-2392, 560, 806]
foot = [-2386, 612, 400]
)";

inline const char* semi_trailing_text = R"(
trammel = 1
[rear.wheel]
centre = [-2500, 700, 300]
camber = -1.2
toe = 0.15
[rear.swing.arm]
pivot_inner = [-2190, 260, 290]
pivot_outer = [-2080, 610, 275]
)";

// The toe link stands on the lower arm.
inline const char* toe_link_on_arm_text = R"(
trammel = 1
[rear.wheel]
centre = [-2300, 720, 295]
camber = -1.1
toe = 0.12
[rear.arm.lower]
body_front = [-2150, 320, 200]
body_rear  = [-2440, 310, 190]
upright    = [-2290, 670, 165]
[rear.arm.upper]
body_front = [-2210, 430, 420]
body_rear  = [-2410, 425, 410]
upright    = [-2310, 650, 415]
[rear.rod.toe]
on      = "arm.lower"
member  = [-2400, 420, 185]
upright = [-2425, 670, 200]
)";

struct NamedText {
  const char* name;
  AxleName axle;
  const char* text;
};
inline const NamedText all_layouts[] = {
    {"strut", AxleName::front, strut_text},
    {"double_wishbone", AxleName::front, wishbone_text},
    {"five_link", AxleName::front, five_link_text},
    {"strut_with_three_rods", AxleName::rear, three_rod_strut_text},
    {"semi_trailing_arm", AxleName::rear, semi_trailing_text},
    {"toe_link_on_arm", AxleName::rear, toe_link_on_arm_text},
};

// The same with something that holds the wheel up, where the text has neither spring nor strut: on
// the upright, and on an arm where one carries.
inline std::string with_spring(const NamedText& l) {
  const std::string text = l.text, name = l.name;
  const auto spring = [&](const char* keys) {
    return text + "[" + word(l.axle) + ".spring]\n" + keys + "\n";
  };
  if (name == "double_wishbone")
    return spring("top = [20, 540, 620]\nfoot = [10, 560, 190]\non = \"arm.lower\"");
  if (name == "toe_link_on_arm")
    return spring("top = [-2310, 500, 600]\nfoot = [-2300, 560, 200]\non = \"arm.lower\"");
  if (name == "five_link") return spring("top = [5, 560, 750]\nfoot = [10, 650, 300]");
  if (name == "semi_trailing_arm")
    return spring("top = [-2450, 560, 640]\nfoot = [-2440, 590, 270]");
  return text;
}

}  // namespace trammel::testing
