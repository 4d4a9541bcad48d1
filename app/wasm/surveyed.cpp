#include "wasm/surveyed.h"

#include "travel/freedom.h"
#include "wasm/paged.h"

namespace trammel {

Surveyed* survey_of(std::unique_ptr<Surveyed>& surveyed, const std::string& text,
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
  auto survey = read_survey(*document.value, *car.value);
  if (!survey.faults.empty()) {
    faults = seen(survey.faults, text);
    return nullptr;
  }
  auto s = std::make_unique<Surveyed>();
  s->text = text;
  s->document = std::move(*document.value);
  s->car = std::move(*car.value);
  s->survey = std::move(survey);
  s->round = round_of(s->car);
  auto adjusted = adjust(s->car, s->survey);
  if (adjusted.value) s->adjusted = std::move(*adjusted.value);
  else s->why = adjusted.why;
  surveyed = std::move(s);
  return surveyed.get();
}

}  // namespace trammel
