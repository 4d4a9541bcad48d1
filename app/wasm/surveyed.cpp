#include "wasm/surveyed.h"

#include "file/edit.h"
#include "travel/freedom.h"
#include "wasm/paged.h"

namespace trammel {
namespace {

std::string key_of(const Document& document) {
  // What was chosen counts where a gauge run was taken with it.
  bool by_chosen = false;
  for (const auto& leaf : leaves(document))
    by_chosen = by_chosen || (leaf.path.ends_with(".with") && leaf.written == "\"chosen\"");
  std::string key;
  for (const auto& leaf : leaves(document)) {
    bool aside = leaf.path == "name";
    for (const char* list : {"job[", "make[", "fastener[", "rod_end[", "load[", "alignment[",
                             "front.chosen", "rear.chosen"})
      aside = aside || (leaf.path.starts_with(list) &&
                        !(by_chosen && std::string_view(list).ends_with(".chosen")));
    if (!aside) key += leaf.path + "=" + leaf.written + "\n";
  }
  return key;
}

}  // namespace

SurveyedText* survey_of(std::unique_ptr<SurveyedText>& surveyed, const std::string& text,
                        std::vector<wire::FaultSeen>& faults) {
  if (surveyed && surveyed->text == text) return surveyed.get();
  auto document = parse(text);
  if (!document.value) {
    faults = seen(document.faults, text);
    return nullptr;
  }
  auto car = read_car(*document.value);
  if (!car.value) {
    faults = seen(car.faults, text);
    return nullptr;
  }
  auto key = key_of(*document.value);
  if (!surveyed || surveyed->key != key) {
    auto s = std::make_unique<SurveyedText>();
    s->key = std::move(key);
    s->survey = read_survey(*document.value, *car.value);
    s->round = round_of(*car.value);
    auto adjusted = adjust(*car.value, s->survey);
    if (adjusted.value) {
      auto judged = judge_runs(std::move(*adjusted.value), s->survey,
                               read_wishes(*document.value, *car.value));
      s->adjusted = std::move(judged.adjusted);
      s->runs = std::move(judged.runs);
    } else {
      s->why = adjusted.why;
    }
    surveyed = std::move(s);
  } else if (surveyed->adjusted) {
    surveyed->adjusted->car.name = car.value->name;
  }
  surveyed->text = text;
  surveyed->document = std::move(*document.value);
  surveyed->car = std::move(*car.value);
  return surveyed.get();
}

}  // namespace trammel
