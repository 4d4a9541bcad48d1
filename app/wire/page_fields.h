// The tables of fields of every message between page and core.
#pragma once

#include "wire/align_fields.h"
#include "wire/fields.h"
#include "wire/make_fields.h"
#include "wire/page_messages.h"
#include "wire/scene_fields.h"
#include "wire/survey_fields.h"

namespace trammel::wire {

template <>
struct Fields<ValueCell> {
  static constexpr const char* name = "ValueCell";
  static auto table() {
    return std::tuple{field("path", &ValueCell::path), field("shown", &ValueCell::shown)};
  }
};
template <>
struct Fields<ValueRow> {
  static constexpr const char* name = "ValueRow";
  static auto table() {
    return std::tuple{field("label", &ValueRow::label), field("line", &ValueRow::line),
                      field("cells", &ValueRow::cells)};
  }
};
template <>
struct Fields<ValueGroup> {
  static constexpr const char* name = "ValueGroup";
  static auto table() {
    return std::tuple{field("title", &ValueGroup::title), field("list", &ValueGroup::list),
                      field("rows", &ValueGroup::rows)};
  }
};
template <>
struct Fields<Tried> {
  static constexpr const char* name = "Tried";
  static auto table() {
    return std::tuple{field("axle", &Tried::axle),       field("sentence", &Tried::sentence),
                      field("stop", &Tried::stop),       field("good", &Tried::good),
                      field("figures", &Tried::figures), field("plots", &Tried::plots),
                      field("picks", &Tried::picks),     field("hole", &Tried::hole)};
  }
};
template <>
struct Fields<BenchSize> {
  static constexpr const char* name = "BenchSize";
  static auto table() {
    return std::tuple{field("size_mm", &BenchSize::size_mm), field("shown", &BenchSize::shown)};
  }
};
template <>
struct Fields<BenchRange> {
  static constexpr const char* name = "BenchRange";
  static auto table() {
    return std::tuple{field("axis", &BenchRange::axis),     field("way", &BenchRange::way),
                      field("low_mm", &BenchRange::low_mm), field("high_mm", &BenchRange::high_mm),
                      field("low", &BenchRange::low),       field("high", &BenchRange::high)};
  }
};
template <>
struct Fields<BenchChoice> {
  static constexpr const char* name = "BenchChoice";
  static auto table() {
    return std::tuple{field("option", &BenchChoice::option), field("sizes", &BenchChoice::sizes),
                      field("ranges", &BenchChoice::ranges)};
  }
};
template <>
struct Fields<BenchAxle> {
  static constexpr const char* name = "BenchAxle";
  static auto table() {
    return std::tuple{field("axle", &BenchAxle::axle), field("chosen", &BenchAxle::chosen),
                      field("why", &BenchAxle::why), field("choices", &BenchAxle::choices),
                      field("tried", &BenchAxle::tried)};
  }
};
template <>
struct Fields<Looked> {
  static constexpr const char* name = "Looked";
  static auto table() {
    return std::tuple{field("faults", &Looked::faults), field("why", &Looked::why),
                      field("name", &Looked::name),     field("demo", &Looked::demo),
                      field("values", &Looked::values), field("sections", &Looked::sections),
                      field("bench", &Looked::bench)};
  }
};
template <>
struct Fields<RankedSet> {
  static constexpr const char* name = "RankedSet";
  static auto table() {
    return std::tuple{field("words", &RankedSet::words), field("verdict", &RankedSet::verdict),
                      field("chance", &RankedSet::chance), field("picks", &RankedSet::picks)};
  }
};
template <>
struct Fields<BenchMap> {
  static constexpr const char* name = "BenchMap";
  static auto table() {
    return std::tuple{field("axle", &BenchMap::axle),       field("option", &BenchMap::option),
                      field("side", &BenchMap::side),       field("title", &BenchMap::title),
                      field("text", &BenchMap::text),       field("caution", &BenchMap::caution),
                      field("svg", &BenchMap::svg),         field("wide_mm", &BenchMap::wide_mm),
                      field("high_mm", &BenchMap::high_mm), field("room", &BenchMap::room)};
  }
};
template <>
struct Fields<RankedAxle> {
  static constexpr const char* name = "RankedAxle";
  static auto table() {
    return std::tuple{field("axle", &RankedAxle::axle), field("set", &RankedAxle::set),
                      field("best", &RankedAxle::best), field("maps", &RankedAxle::maps),
                      field("rule", &RankedAxle::rule), field("next", &RankedAxle::next)};
  }
};
template <>
struct Fields<Ranked> {
  static constexpr const char* name = "Ranked";
  static auto table() {
    return std::tuple{field("why", &Ranked::why), field("sections", &Ranked::sections),
                      field("axles", &Ranked::axles)};
  }
};
template <>
struct Fields<Look> {
  static constexpr const char* name = "Look";
  static constexpr const char* kind = "look";
  static auto table() {
    return std::tuple{field("text", &Look::text), field("inch", &Look::inch),
                      field("sets", &Look::sets), field("hurry", &Look::hurry)};
  }
};
template <>
struct Fields<Rank> {
  static constexpr const char* name = "Rank";
  static constexpr const char* kind = "rank";
  static auto table() { return std::tuple{field("text", &Rank::text), field("inch", &Rank::inch)}; }
};
template <>
struct Fields<Try> {
  static constexpr const char* name = "Try";
  static constexpr const char* kind = "try";
  static auto table() {
    return std::tuple{field("text", &Try::text),  field("inch", &Try::inch),
                      field("set", &Try::set),    field("moved", &Try::moved),
                      field("side", &Try::side),  field("hole", &Try::hole),
                      field("hurry", &Try::hurry)};
  }
};
template <>
struct Fields<Change> {
  static constexpr const char* name = "Change";
  static constexpr const char* kind = "change";
  static auto table() {
    return std::tuple{field("text", &Change::text), field("path", &Change::path),
                      field("typed", &Change::typed)};
  }
};
template <>
struct Fields<Choose> {
  static constexpr const char* name = "Choose";
  static constexpr const char* kind = "choose";
  static auto table() {
    return std::tuple{field("text", &Choose::text), field("set", &Choose::set),
                      field("none", &Choose::none)};
  }
};
template <>
struct Fields<Note> {
  static constexpr const char* name = "Note";
  static constexpr const char* kind = "note";
  static auto table() {
    return std::tuple{field("text", &Note::text), field("step", &Note::step),
                      field("part", &Note::part), field("words", &Note::words),
                      field("key", &Note::key),   field("typed", &Note::typed)};
  }
};

}  // namespace trammel::wire
