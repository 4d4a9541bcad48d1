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
                      field("units", &Grid::units), field("rows", &Grid::rows),
                      field("to_fill", &Grid::to_fill)};
  }
};
template <>
struct Fields<Drawing> {
  static constexpr const char* name = "Drawing";
  static constexpr const char* kind = "drawing";
  static auto table() {
    return std::tuple{field("title", &Drawing::title), field("text", &Drawing::text),
                      field("svg", &Drawing::svg), field("own_page", &Drawing::own_page),
                      field("letter", &Drawing::letter)};
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
                      field("text", &FaultSeen::text), field("field", &FaultSeen::field)};
  }
};
template <>
struct Fields<Changed> {
  static constexpr const char* name = "Changed";
  static auto table() {
    return std::tuple{field("text", &Changed::text), field("faults", &Changed::faults)};
  }
};

template <>
struct Fields<Paragraph> {
  static constexpr const char* name = "Paragraph";
  static constexpr const char* kind = "paragraph";
  static auto table() { return std::tuple{field("text", &Paragraph::text)}; }
};
template <>
struct Fields<Caution> {
  static constexpr const char* name = "Caution";
  static constexpr const char* kind = "caution";
  static auto table() { return std::tuple{field("text", &Caution::text)}; }
};
template <>
struct Fields<Step> {
  static constexpr const char* name = "Step";
  static auto table() {
    return std::tuple{
        field("id", &Step::id),           field("what", &Step::what),
        field("mark", &Step::mark),       field("torque", &Step::torque),
        field("done_by", &Step::done_by), field("checked_by", &Step::checked_by),
        field("done", &Step::done),       field("second_person", &Step::second_person)};
  }
};
template <>
struct Fields<Checklist> {
  static constexpr const char* name = "Checklist";
  static constexpr const char* kind = "checklist";
  static auto table() {
    return std::tuple{field("title", &Checklist::title), field("gate", &Checklist::gate),
                      field("steps", &Checklist::steps)};
  }
};
template <>
struct Fields<Part> {
  static constexpr const char* name = "Part";
  static auto table() {
    return std::tuple{field("what", &Part::what), field("made_of", &Part::made_of),
                      field("state", &Part::state), field("key", &Part::key)};
  }
};
template <>
struct Fields<PartsList> {
  static constexpr const char* name = "PartsList";
  static constexpr const char* kind = "parts";
  static auto table() {
    return std::tuple{field("title", &PartsList::title), field("parts", &PartsList::parts)};
  }
};
template <>
struct Fields<PageSection> {
  static constexpr const char* name = "PageSection";
  static auto table() {
    return std::tuple{field("name", &PageSection::name), field("question", &PageSection::question),
                      field("answer", &PageSection::answer), field("blocks", &PageSection::blocks),
                      field("working", &PageSection::working)};
  }
};

template <>
struct Fields<PickOfSide> {
  static constexpr const char* name = "PickOfSide";
  static auto table() {
    return std::tuple{field("size_mm", &PickOfSide::size_mm), field("by_mm", &PickOfSide::by_mm)};
  }
};
template <>
struct Fields<Pick> {
  static constexpr const char* name = "Pick";
  static auto table() {
    return std::tuple{field("option", &Pick::option), field("size_mm", &Pick::size_mm),
                      field("by_mm", &Pick::by_mm), field("right", &Pick::right)};
  }
};
template <>
struct Fields<AxleSet> {
  static constexpr const char* name = "AxleSet";
  static auto table() {
    return std::tuple{field("axle", &AxleSet::axle), field("picks", &AxleSet::picks)};
  }
};

}  // namespace trammel::wire
