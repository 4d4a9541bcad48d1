#include "start/starter_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.h"
#include "file/document.h"

namespace trammel {
namespace {

using HolderKind = HeldBy::Kind;

constexpr double tape_sigma_mm = 5.0;        // of a track or height where no ± was typed with it
constexpr double axle_line_sigma_mm = 10.0;  // of the wheels against the line that x counts from
constexpr std::size_t comment_column = 40;

// A line with its comment where comments stand.
std::string line(const std::string& text, const std::string& comment = {}) {
  if (comment.empty()) return text + "\n";
  // Columns: bytes that begin a letter, without the empty line ahead.
  const auto columns = static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return c != '\n' && (c & 0xC0) != 0x80; }));
  const std::size_t gap = columns < comment_column ? comment_column - columns : 1;
  return text + std::string(gap, ' ') + "# " + comment + "\n";
}
std::string rule(const std::string& words) {
  const std::size_t dashes = words.size() + 4 < 96 ? 96 - words.size() : 4;
  return fmt::format("\n\n# {} {}\n", std::string(dashes, '-'), words);
}
std::string coordinates(const Vec3<double>& p) {
  return fmt::format("[{}, {}, {}]", shortest(p.x), shortest(p.y), shortest(p.z));
}
std::string inches(double mm) { return shortest(std::round(mm / 25.4 * 100.0) / 100.0); }

// A paragraph of comment, no line longer than the rest of the file's.
std::string comment(const std::string& words) {
  constexpr std::size_t widest = 98;
  std::string t, row;
  std::size_t from = 0;
  while (from < words.size()) {
    const auto stop = std::min(words.find(' ', from), words.size());
    const auto next = words.substr(from, stop - from);
    if (!row.empty() && row.size() + 1 + next.size() > widest) {
      t += "# " + row + "\n";
      row.clear();
    }
    row += (row.empty() ? "" : " ") + next;
    from = stop + 1;
  }
  return t + "# " + row + "\n";
}

std::string head(const StartedCar& car) {
  std::string t = fmt::format(
      "# {}: a start, to be measured.\n"
      "#\n"
      "# The coordinates below are guesses: common practice for such axles, invented proportions, "
      "scaled to\n"
      "# the size of the car. They are good to a hand's breadth (± {} mm) and give the readings "
      "somewhere to\n"
      "# begin. What comes out before the readings are in is not about your car.\n"
      "#\n"
      "# Axes: x forward, y to the left, z up, in mm. The floor is z = 0, the middle of the car y "
      "= "
      "0, the\n"
      "# front axle x = 0. Only the left side is written down; the right is its mirror image. A "
      "bare number\n"
      "# is mm, degrees, kg, N/mm or N·m; anything else carries its unit: \"2 3/8 in\", "
      "\"0°30'\".\n",
      car.name, shortest(guess_sigma_mm));
  for (const auto& why : car.left_out)
    if (!why.empty()) t += "#\n" + comment(why);
  t += fmt::format(
      "\ntrammel = 1\nname = {}\n\n"
      "# Readings go here, above the first [table], each as it was read.\n\n"
      "[survey]\n",
      in_quotes(car.name));
  t += line(fmt::format("baseline = \"{} mm\"", shortest(car.baseline.mm)),
            "a straight line on the floor, so far ahead of the front axle");
  t += line("symmetry = \"2 mm\"", "how alike the two sides should be");
  if (car.wheelbase.typed)
    t += fmt::format("\n[body]\nwheelbase = {}\n", shortest(car.wheelbase.mm));
  return t;
}

std::string states(const StartedCar& car) {
  std::string rows;
  for (const auto& axle : car.axle) {
    if (!axle || !axle->lowered.typed || axle->lowered.mm == 0.0) continue;
    const bool front = axle->wheel.seen.axle == AxleName::front;
    const bool set = front || (axle->wheel.find(HolderKind::rod, "toe") != nullptr &&
                               axle->toe != ToeSetBy::nothing);
    rows += line(fmt::format("{} = {{ height = {}{} }}", word(axle->wheel.seen.axle),
                             shortest(axle->lowered.mm),
                             !set    ? ""
                             : front ? ", toe = 0.0"
                                     : ", toe = 0.1"),
                 set ? "toe: what the wheels were set to then" : "");
  }
  if (rows.empty()) return {};
  return "\n# How the car stood before it was lowered: the body that much "
         "higher.\n[state.as_built]\n" +
         rows;
}

std::string with_sigma(double value, double sigma) {
  return fmt::format("\"{} ± {} mm\"", shortest(value), shortest(sigma));
}

std::string wheel_table(const StartedAxle& axle, const StartedCar& car) {
  const char* name = word(axle.wheel.seen.axle);
  const auto& c = axle.wheel.centre_mm;
  const auto number = [](double value, const TapeValue& tape, double share) {
    if (!tape.typed) return shortest(value);
    return with_sigma(value, share * tape.sigma_mm.value_or(tape_sigma_mm));
  };
  const std::string x = axle.wheel.seen.axle == AxleName::front
                            ? with_sigma(c.x, axle_line_sigma_mm)
                            : number(c.x, car.wheelbase, 1.0);
  std::string t = fmt::format("\n[{}.wheel]\n", name);
  t += line(fmt::format("centre = [{}, {}, {}]", x, number(c.y, axle.track, 0.5),
                        number(c.z, axle.hub, 1.0)),
            "its height is the loaded radius of the tyre");
  t += line("camber = \"-1 ± 1°\"", "top leaning in is below zero; a guess");
  t += line(axle.wheel.seen.axle == AxleName::front ? "toe = \"0 ± 0.3°\"" : "toe = \"0.1 ± 0.3°\"",
            "per wheel, toe-in is above zero; a guess");
  if (car.rim_diameter.typed || car.rim_width.typed) {
    std::string rim;
    if (car.rim_diameter.typed)
      rim += fmt::format("diameter = \"{} in\"", inches(car.rim_diameter.mm));
    if (car.rim_width.typed)
      rim += fmt::format("{}width = \"{} in\"", rim.empty() ? "" : ", ", inches(car.rim_width.mm));
    t += fmt::format("rim = {{ {} }}\n", rim);
  }
  return t;
}

std::string member_table(const HeldBy& m, const char* axle) {
  std::string t;
  switch (m.kind) {
    case HolderKind::arm:
      t = line(fmt::format("\n[{}.arm.{}]", axle, m.name),
               "two joints on the body, one on the upright");
      break;
    case HolderKind::rod:
      t = line(fmt::format("\n[{}.rod.{}]", axle, m.name), "a joint at each end");
      break;
    case HolderKind::strut:
      t = line(fmt::format("\n[{}.strut]", axle),
               "its top mount's centre, and a second point on its axis");
      break;
    case HolderKind::swing:
      t = line(fmt::format("\n[{}.swing.{}]", axle, m.name),
               "the two pivots that the arm turns about");
      break;
    case HolderKind::spring:
      t = m.joints.empty() ? line(fmt::format("\n[{}.spring]", axle), "round the strut")
                           : fmt::format("\n[{}.spring]\n", axle);
      break;
    case HolderKind::bar:
      t = line(fmt::format("\n[{}.roll_bar]", axle), "turned by its drop link");
      break;
  }
  std::size_t longest = 0;
  for (const auto& j : m.joints) longest = std::max(longest, j.first.size());
  if (m.steered) longest = std::max(longest, std::string_view("steered").size());
  if (!m.on.empty()) t += fmt::format("{:<{}} = \"{}\"\n", "on", longest, m.on);
  for (const auto& [key, at] : m.joints)
    t += fmt::format("{:<{}} = {}\n", key, longest, coordinates(at));
  if (m.steered) t += line(fmt::format("{:<{}} = true", "steered", longest), "it ends on the rack");
  return t;
}

std::string adjust_table(const StartedAxle& axle) {
  const bool front = axle.wheel.seen.axle == AxleName::front;
  if (front)
    return "\n[front.adjust]\n" + line("toe = { rod = \"steering\", pitch = 1.5, ends = 1 }",
                                       "look at the thread: mm a turn, and one end or two");
  if (!axle.wheel.find(HolderKind::rod, "toe")) return {};
  switch (axle.toe) {
    case ToeSetBy::one_end:
    case ToeSetBy::both_ends:
      return "\n[rear.adjust]\n" +
             line(fmt::format("toe = {{ rod = \"toe\", pitch = 1.5, ends = {} }}",
                              axle.toe == ToeSetBy::both_ends ? 2 : 1),
                  "look at the thread: mm a turn");
    case ToeSetBy::eccentric:
      return "\n[rear.adjust]\n" +
             line("toe = { rod = \"toe\" }", "an eccentric bolt moves its inner end");
    case ToeSetBy::unknown:
    case ToeSetBy::nothing:
      break;
  }
  return {};
}

std::string target_table(const StartedAxle& axle) {
  const bool front = axle.wheel.seen.axle == AxleName::front;
  std::string t = fmt::format("\n[{}.target]", word(axle.wheel.seen.axle));
  t = line(t, "what a road car wants (common practice); yours to change");
  t += line("window = [-30, 40]", "the wheel travel that matters");
  t += line(fmt::format("toe_change = {}", front ? "0.15" : "0.12"),
            "degrees, the largest over the window, per wheel");
  // Where a swing arm's roll centre is, no part of it changes much.
  if (axle.wheel.seen.holder != Holder::swing_arm)
    t += line(front ? "roll_centre = [30, 80]" : "roll_centre = [40, 120]", "mm above the ground");
  return t;
}

struct ShelfRow {
  std::string name, joint, rest;
};

std::vector<ShelfRow> options_of(const StartedAxle& axle) {
  const auto& w = axle.wheel;
  const bool front = w.seen.axle == AxleName::front;
  const std::string end = front ? "" : "rear ";
  std::vector<ShelfRow> all;
  const auto spacer = [&](std::string name, std::string joint, const char* sizes) {
    all.push_back({std::move(name), std::move(joint),
                   fmt::format("along = [0, 0, -1]\nsizes = {}\n", sizes)});
  };
  if (w.find(HolderKind::arm, "lower"))
    spacer(end + "ball-joint spacer", "arm.lower.upright", "[0, 10, 15, 20, 25, 30]");
  if (w.find(HolderKind::rod, "lateral"))
    spacer(end + "cross-rod spacer", "rod.lateral.upright", "[0, 10, 15, 20]");
  if (w.find(HolderKind::rod, "lower_front")) {
    spacer(end + "rod 1 spacer", "rod.lower_front.upright", "[0, 10, 20]");
    spacer(end + "rod 2 spacer", "rod.lower_rear.upright", "[0, 10, 20]");
  }
  if (w.find(HolderKind::rod, "steering"))
    all.push_back(
        {"rod-end stack", "rod.steering.upright",
         "along = [0, 0, -1]\n" + line("stack = [2.5, 5, 10, 15]", "any of these together")});
  if (w.find(HolderKind::rod, "toe"))
    all.push_back({"toe-link bracket", "rod.toe.upright",
                   line("range = { y = [-5, 5], z = [-40, 20] }", "made to measure")});
  if (w.find(HolderKind::swing, "arm"))
    all.push_back({"pivot bracket", "swing.arm.pivot_outer",
                   line("range = { z = [-20, 20] }", "the hole slotted, or a bracket made")});
  return all;
}

std::string axle_tables(const StartedAxle& axle, const StartedCar& car) {
  const char* name = word(axle.wheel.seen.axle);
  std::string t = rule(fmt::format("{}: {}", name, axle.holder_words));
  t += fmt::format("\n[{}]\n", name);
  t += line(fmt::format("sigma = {}", shortest(guess_sigma_mm)),
            "every coordinate without its own ± is a guess, so good");
  t += wheel_table(axle, car);
  for (const auto& m : axle.wheel.members) t += member_table(m, name);
  return t + adjust_table(axle) + target_table(axle);
}

}  // namespace

std::string started_text(const StartedCar& car) {
  std::string t = head(car) + states(car);
  std::string options;
  for (const auto& axle : car.axle) {
    if (!axle) continue;
    t += axle_tables(*axle, car);
    for (const auto& o : options_of(*axle))
      options += fmt::format("\n[[option]]\nname  = \"{}\"\njoint = \"{}.{}\"\n{}", o.name,
                             word(axle->wheel.seen.axle), o.joint, o.rest);
  }
  if (!options.empty())
    t += rule("what can be changed: write down what you can buy or make") + options;
  return t;
}

}  // namespace trammel
