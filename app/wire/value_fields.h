// The tables of fields of what several answers are made of.
#pragma once

#include "wire/fields.h"
#include "wire/page_values.h"

namespace trammel::wire {

template <>
struct Fields<Grid> {
  static constexpr const char* name = "Grid";
  static constexpr const char* kind = "grid";
  static auto table() {
    return std::tuple{field("title", &Grid::title), field("heads", &Grid::heads),
                      field("units", &Grid::units), field("rows", &Grid::rows)};
  }
};
template <>
struct Fields<Drawing> {
  static constexpr const char* name = "Drawing";
  static constexpr const char* kind = "drawing";
  static auto table() {
    return std::tuple{field("title", &Drawing::title), field("text", &Drawing::text),
                      field("svg", &Drawing::svg)};
  }
};
template <>
struct Fields<DrawnPlot> {
  static constexpr const char* name = "DrawnPlot";
  static constexpr const char* kind = "plot";
  static auto table() {
    return std::tuple{
        field("title", &DrawnPlot::title),     field("svg", &DrawnPlot::svg),
        field("values", &DrawnPlot::values),   field("x_mm", &DrawnPlot::x_mm),
        field("wide_mm", &DrawnPlot::wide_mm), field("high_mm", &DrawnPlot::high_mm),
        field("top_mm", &DrawnPlot::top_mm),   field("bottom_mm", &DrawnPlot::bottom_mm)};
  }
};
template <>
struct Fields<FaultSeen> {
  static constexpr const char* name = "FaultSeen";
  static auto table() {
    return std::tuple{field("line", &FaultSeen::line), field("what", &FaultSeen::what),
                      field("text", &FaultSeen::text)};
  }
};
template <>
struct Fields<Changed> {
  static constexpr const char* name = "Changed";
  static auto table() {
    return std::tuple{field("text", &Changed::text), field("faults", &Changed::faults)};
  }
};

}  // namespace trammel::wire
