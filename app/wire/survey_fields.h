// The tables of fields of the survey's messages.
#pragma once

#include "wire/fields.h"
#include "wire/survey_messages.h"
#include "wire/value_fields.h"

namespace trammel::wire {

template <>
struct Fields<CardListed> {
  static constexpr const char* name = "CardListed";
  static auto table() {
    return std::tuple{field("number", &CardListed::number), field("what", &CardListed::what),
                      field("taken", &CardListed::taken), field("doubted", &CardListed::doubted)};
  }
};
template <>
struct Fields<StationListed> {
  static constexpr const char* name = "StationListed";
  static auto table() {
    return std::tuple{field("name", &StationListed::name), field("intro", &StationListed::intro),
                      field("caution", &StationListed::caution),
                      field("cards", &StationListed::cards)};
  }
};
template <>
struct Fields<RunListed> {
  static constexpr const char* name = "RunListed";
  static auto table() {
    return std::tuple{field("name", &RunListed::name), field("axle", &RunListed::axle),
                      field("side", &RunListed::side), field("rows", &RunListed::rows),
                      field("with_parts", &RunListed::with_parts)};
  }
};
template <>
struct Fields<KnownSoFar> {
  static constexpr const char* name = "KnownSoFar";
  static auto table() {
    return std::tuple{field("axle", &KnownSoFar::axle), field("sentence", &KnownSoFar::sentence),
                      field("next", &KnownSoFar::next), field("card", &KnownSoFar::card),
                      field("gauge", &KnownSoFar::gauge)};
  }
};
template <>
struct Fields<JointListed> {
  static constexpr const char* name = "JointListed";
  static auto table() {
    return std::tuple{field("path", &JointListed::path), field("words", &JointListed::words)};
  }
};
template <>
struct Fields<MisreadShown> {
  static constexpr const char* name = "MisreadShown";
  static auto table() {
    return std::tuple{field("words", &MisreadShown::words), field("card", &MisreadShown::card)};
  }
};
template <>
struct Fields<RoundShown> {
  static constexpr const char* name = "RoundShown";
  static auto table() {
    return std::tuple{
        field("why", &RoundShown::why),        field("stations", &RoundShown::stations),
        field("runs", &RoundShown::runs),      field("corners", &RoundShown::corners),
        field("joints", &RoundShown::joints),  field("known", &RoundShown::known),
        field("misread", &RoundShown::misread)};
  }
};
template <>
struct Fields<FieldShown> {
  static constexpr const char* name = "FieldShown";
  static auto table() {
    return std::tuple{field("key", &FieldShown::key), field("label", &FieldShown::label),
                      field("quantity", &FieldShown::quantity),
                      field("needed", &FieldShown::needed)};
  }
};
template <>
struct Fields<TakenShown> {
  static constexpr const char* name = "TakenShown";
  static auto table() {
    return std::tuple{field("name", &TakenShown::name), field("shown", &TakenShown::shown),
                      field("doubt", &TakenShown::doubt),
                      field("set_aside", &TakenShown::set_aside),
                      field("removable", &TakenShown::removable)};
  }
};
template <>
struct Fields<CardShown> {
  static constexpr const char* name = "CardShown";
  static auto table() {
    return std::tuple{field("why", &CardShown::why),         field("number", &CardShown::number),
                      field("station", &CardShown::station), field("caution", &CardShown::caution),
                      field("what", &CardShown::what),       field("how", &CardShown::how),
                      field("care", &CardShown::care),       field("drawing", &CardShown::drawing),
                      field("fields", &CardShown::fields),   field("sigma", &CardShown::sigma),
                      field("taken", &CardShown::taken)};
  }
};
template <>
struct Fields<CardEntered> {
  static constexpr const char* name = "CardEntered";
  static auto table() {
    return std::tuple{field("text", &CardEntered::text), field("faults", &CardEntered::faults),
                      field("asks", &CardEntered::asks)};
  }
};
template <>
struct Fields<GaugeShown> {
  static constexpr const char* name = "GaugeShown";
  static auto table() {
    return std::tuple{
        field("why", &GaugeShown::why),         field("name", &GaugeShown::name),
        field("fitted", &GaugeShown::fitted),   field("sentence", &GaugeShown::sentence),
        field("care", &GaugeShown::care),       field("caution", &GaugeShown::caution),
        field("next_mm", &GaugeShown::next_mm), field("third_dial", &GaugeShown::third_dial),
        field("rows", &GaugeShown::rows),       field("curve", &GaugeShown::curve)};
  }
};
template <>
struct Fields<ShowRound> {
  static constexpr const char* name = "ShowRound";
  static constexpr const char* kind = "show_round";
  static auto table() {
    return std::tuple{field("text", &ShowRound::text), field("inch", &ShowRound::inch),
                      field("known", &ShowRound::known)};
  }
};
template <>
struct Fields<ShowCard> {
  static constexpr const char* name = "ShowCard";
  static constexpr const char* kind = "show_card";
  static auto table() {
    return std::tuple{field("text", &ShowCard::text),     field("inch", &ShowCard::inch),
                      field("number", &ShowCard::number), field("reading", &ShowCard::reading),
                      field("from", &ShowCard::from),     field("to", &ShowCard::to)};
  }
};
template <>
struct Fields<EnterCard> {
  static constexpr const char* name = "EnterCard";
  static constexpr const char* kind = "enter_card";
  static auto table() {
    return std::tuple{field("text", &EnterCard::text),     field("inch", &EnterCard::inch),
                      field("number", &EnterCard::number), field("reading", &EnterCard::reading),
                      field("from", &EnterCard::from),     field("to", &EnterCard::to),
                      field("values", &EnterCard::values), field("sigma", &EnterCard::sigma),
                      field("sure", &EnterCard::sure)};
  }
};
template <>
struct Fields<SetAside> {
  static constexpr const char* name = "SetAside";
  static constexpr const char* kind = "set_aside";
  static auto table() {
    return std::tuple{field("text", &SetAside::text), field("name", &SetAside::name),
                      field("aside", &SetAside::aside)};
  }
};
template <>
struct Fields<ShowGauge> {
  static constexpr const char* name = "ShowGauge";
  static constexpr const char* kind = "show_gauge";
  static auto table() {
    return std::tuple{field("text", &ShowGauge::text),
                      field("inch", &ShowGauge::inch),
                      field("name", &ShowGauge::name),
                      field("corner", &ShowGauge::corner),
                      field("with_parts", &ShowGauge::with_parts),
                      field("sets", &ShowGauge::sets),
                      field("fresh", &ShowGauge::fresh)};
  }
};
template <>
struct Fields<EnterGauge> {
  static constexpr const char* name = "EnterGauge";
  static constexpr const char* kind = "enter_gauge";
  static auto table() {
    return std::tuple{
        field("text", &EnterGauge::text),     field("name", &EnterGauge::name),
        field("corner", &EnterGauge::corner), field("base", &EnterGauge::base),
        field("drop", &EnterGauge::drop),     field("travel", &EnterGauge::travel),
        field("front", &EnterGauge::front),   field("rear", &EnterGauge::rear),
        field("low", &EnterGauge::low),       field("with_parts", &EnterGauge::with_parts),
        field("sets", &EnterGauge::sets)};
  }
};

template <>
struct Fields<BlankShown> {
  static constexpr const char* name = "BlankShown";
  static auto table() {
    return std::tuple{field("why", &BlankShown::why), field("sections", &BlankShown::sections)};
  }
};
template <>
struct Fields<ShowBlank> {
  static constexpr const char* name = "ShowBlank";
  static constexpr const char* kind = "show_blank";
  static auto table() {
    return std::tuple{field("text", &ShowBlank::text), field("inch", &ShowBlank::inch)};
  }
};

}  // namespace trammel::wire
