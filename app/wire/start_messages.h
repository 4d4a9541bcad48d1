// The start of a car of one's own: what the page asks, and what the core answers.
#pragma once

#include <vector>

#include "start/starter.h"
#include "wire/fields.h"

namespace trammel::wire {

// The answers so far: the questions that follow from them, and the file that they make.
struct Start {
  std::vector<StartAnswer> answers;
  using Reply = Started;
};

template <>
struct Fields<StartAnswer> {
  static constexpr const char* name = "StartAnswer";
  static auto table() {
    return std::tuple{field("question", &StartAnswer::question),
                      field("answer", &StartAnswer::answer)};
  }
};
template <>
struct Fields<StartChoice> {
  static constexpr const char* name = "StartChoice";
  static auto table() {
    return std::tuple{
        field("id", &StartChoice::id),           field("headline", &StartChoice::headline),
        field("look", &StartChoice::look),       field("trade", &StartChoice::trade),
        field("refused", &StartChoice::refused), field("svg", &StartChoice::svg)};
  }
};
template <>
struct Fields<StartValue> {
  static constexpr const char* name = "StartValue";
  static auto table() {
    return std::tuple{field("id", &StartValue::id), field("label", &StartValue::label),
                      field("how", &StartValue::how), field("usual", &StartValue::usual)};
  }
};
template <>
struct Fields<StartQuestion> {
  static constexpr const char* name = "StartQuestion";
  static auto table() {
    return std::tuple{
        field("id", &StartQuestion::id),         field("question", &StartQuestion::question),
        field("help", &StartQuestion::help),     field("caution", &StartQuestion::caution),
        field("needed", &StartQuestion::needed), field("choices", &StartQuestion::choices),
        field("values", &StartQuestion::values)};
  }
};
template <>
struct Fields<StartFault> {
  static constexpr const char* name = "StartFault";
  static auto table() {
    return std::tuple{field("question", &StartFault::question), field("what", &StartFault::what)};
  }
};
template <>
struct Fields<StartSummary> {
  static constexpr const char* name = "StartSummary";
  static auto table() {
    return std::tuple{field("what", &StartSummary::what), field("answer", &StartSummary::answer)};
  }
};
template <>
struct Fields<Started> {
  static constexpr const char* name = "Started";
  static auto table() {
    return std::tuple{field("questions", &Started::questions), field("faults", &Started::faults),
                      field("left_out", &Started::left_out),   field("summary", &Started::summary),
                      field("text", &Started::text),           field("why", &Started::why)};
  }
};
template <>
struct Fields<Start> {
  static constexpr const char* name = "Start";
  static constexpr const char* kind = "start";
  static auto table() { return std::tuple{field("answers", &Start::answers)}; }
};

}  // namespace trammel::wire
