// The tables of fields of what the car is drawn with.
#pragma once

#include "wire/fields.h"
#include "wire/page_messages.h"

namespace trammel::wire {

template <>
struct Fields<DrawnLine> {
  static constexpr const char* name = "DrawnLine";
  static auto table() {
    return std::tuple{field("axle", &DrawnLine::axle), field("kind", &DrawnLine::kind),
                      field("places", &DrawnLine::places)};
  }
};
template <>
struct Fields<DrawnWheel> {
  static constexpr const char* name = "DrawnWheel";
  static auto table() {
    return std::tuple{field("axle", &DrawnWheel::axle),
                      field("centre", &DrawnWheel::centre),
                      field("spin", &DrawnWheel::spin),
                      field("contact", &DrawnWheel::contact),
                      field("radius_mm", &DrawnWheel::radius_mm),
                      field("width_mm", &DrawnWheel::width_mm),
                      field("rim_radius_mm", &DrawnWheel::rim_radius_mm)};
  }
};
template <>
struct Fields<DrawnRollCentre> {
  static constexpr const char* name = "DrawnRollCentre";
  static auto table() {
    return std::tuple{field("axle", &DrawnRollCentre::axle), field("at", &DrawnRollCentre::at)};
  }
};
template <>
struct Fields<DrawnDoubt> {
  static constexpr const char* name = "DrawnDoubt";
  static auto table() {
    return std::tuple{field("joint", &DrawnDoubt::joint),
                      field("semi_axes", &DrawnDoubt::semi_axes)};
  }
};
template <>
struct Fields<DrawnCar> {
  static constexpr const char* name = "DrawnCar";
  static auto table() {
    return std::tuple{
        field("name", &DrawnCar::name),    field("stroke", &DrawnCar::stroke),
        field("words", &DrawnCar::words),  field("joints", &DrawnCar::joints),
        field("lines", &DrawnCar::lines),  field("wheels", &DrawnCar::wheels),
        field("axes", &DrawnCar::axes),    field("roll_centres", &DrawnCar::roll_centres),
        field("doubts", &DrawnCar::doubts)};
  }
};
template <>
struct Fields<DriveControl> {
  static constexpr const char* name = "DriveControl";
  static auto table() {
    return std::tuple{field("key", &DriveControl::key),   field("label", &DriveControl::label),
                      field("low", &DriveControl::low),   field("high", &DriveControl::high),
                      field("step", &DriveControl::step), field("said", &DriveControl::said)};
  }
};
template <>
struct Fields<DrawnScene> {
  static constexpr const char* name = "DrawnScene";
  static auto table() {
    return std::tuple{field("why", &DrawnScene::why),
                      field("controls", &DrawnScene::controls),
                      field("cars", &DrawnScene::cars),
                      field("floor_x_mm", &DrawnScene::floor_x_mm),
                      field("floor_y_mm", &DrawnScene::floor_y_mm),
                      field("floor_step_mm", &DrawnScene::floor_step_mm),
                      field("notes", &DrawnScene::notes)};
  }
};
template <>
struct Fields<JointNumber> {
  static constexpr const char* name = "JointNumber";
  static auto table() {
    return std::tuple{field("at", &JointNumber::at), field("doubt", &JointNumber::doubt),
                      field("path", &JointNumber::path), field("stands", &JointNumber::stands)};
  }
};
template <>
struct Fields<JointRow> {
  static constexpr const char* name = "JointRow";
  static auto table() {
    return std::tuple{field("name", &JointRow::name),     field("words", &JointRow::words),
                      field("path", &JointRow::path),     field("numbers", &JointRow::numbers),
                      field("nudges", &JointRow::nudges), field("note", &JointRow::note)};
  }
};
template <>
struct Fields<JointTable> {
  static constexpr const char* name = "JointTable";
  static auto table() {
    return std::tuple{field("title", &JointTable::title), field("unit", &JointTable::unit),
                      field("rows", &JointTable::rows)};
  }
};
template <>
struct Fields<Draw> {
  static constexpr const char* name = "Draw";
  static constexpr const char* kind = "draw";
  static auto table() {
    return std::tuple{field("text", &Draw::text),       field("inch", &Draw::inch),
                      field("sets", &Draw::sets),       field("travel_mm", &Draw::travel_mm),
                      field("rack_mm", &Draw::rack_mm), field("roll_deg", &Draw::roll_deg),
                      field("built", &Draw::built),     field("corrected", &Draw::corrected),
                      field("axes", &Draw::axes),       field("doubts", &Draw::doubts)};
  }
};
template <>
struct Fields<Joints> {
  static constexpr const char* name = "Joints";
  static constexpr const char* kind = "joints";
  static auto table() {
    return std::tuple{field("text", &Joints::text), field("inch", &Joints::inch)};
  }
};
template <>
struct Fields<Nudge> {
  static constexpr const char* name = "Nudge";
  static constexpr const char* kind = "nudge";
  static auto table() {
    return std::tuple{field("text", &Nudge::text), field("path", &Nudge::path),
                      field("by_mm", &Nudge::by_mm)};
  }
};

}  // namespace trammel::wire
