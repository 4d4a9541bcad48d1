#include "wire/front_json.h"

namespace trammel {

nlohmann::ordered_json to_json(const Front& front) {
  nlohmann::ordered_json j{{"todo", nlohmann::ordered_json::array()},
                           {"steps", nlohmann::ordered_json::array()}};
  for (const auto& t : front.todo)
    j["todo"].push_back(
        {{"id", t.id}, {"step", t.step}, {"what", t.what}, {"why", t.why}, {"gain", t.gain}});
  for (const auto& s : front.steps)
    j["steps"].push_back({{"id", s.id}, {"state", word(s.state)}, {"answer", s.answer}});
  return j;
}

}  // namespace trammel
