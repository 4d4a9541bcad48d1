// The fields of align_messages.h, by name.
#pragma once

#include "wire/align_messages.h"
#include "wire/survey_fields.h"

namespace trammel::wire {

template <>
struct Fields<FloorDayListed> {
  static constexpr const char* name = "FloorDayListed";
  static auto table() {
    return std::tuple{field("when", &FloorDayListed::when),
                      field("fitted", &FloorDayListed::fitted),
                      field("driven", &FloorDayListed::driven)};
  }
};
template <>
struct Fields<FloorRoundShown> {
  static constexpr const char* name = "FloorRoundShown";
  static auto table() {
    return std::tuple{field("why", &FloorRoundShown::why),
                      field("stations", &FloorRoundShown::stations),
                      field("days", &FloorRoundShown::days)};
  }
};
template <>
struct Fields<ShowFloorRound> {
  static constexpr const char* name = "ShowFloorRound";
  static constexpr const char* kind = "show_floor_round";
  static auto table() {
    return std::tuple{field("text", &ShowFloorRound::text), field("inch", &ShowFloorRound::inch),
                      field("when", &ShowFloorRound::when)};
  }
};
template <>
struct Fields<ShowFloorCard> {
  static constexpr const char* name = "ShowFloorCard";
  static constexpr const char* kind = "show_floor_card";
  static auto table() {
    return std::tuple{field("text", &ShowFloorCard::text), field("inch", &ShowFloorCard::inch),
                      field("number", &ShowFloorCard::number), field("when", &ShowFloorCard::when)};
  }
};
template <>
struct Fields<EnterFloorCard> {
  static constexpr const char* name = "EnterFloorCard";
  static constexpr const char* kind = "enter_floor_card";
  static auto table() {
    return std::tuple{
        field("text", &EnterFloorCard::text),     field("inch", &EnterFloorCard::inch),
        field("number", &EnterFloorCard::number), field("when", &EnterFloorCard::when),
        field("fitted", &EnterFloorCard::fitted), field("driven", &EnterFloorCard::driven),
        field("values", &EnterFloorCard::values), field("sigma", &EnterFloorCard::sigma),
        field("sure", &EnterFloorCard::sure)};
  }
};
template <>
struct Fields<TurnAsPlanned> {
  static constexpr const char* name = "TurnAsPlanned";
  static constexpr const char* kind = "turn_as_planned";
  static auto table() { return std::tuple{field("text", &TurnAsPlanned::text)}; }
};

}  // namespace trammel::wire
