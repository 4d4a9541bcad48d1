#include "wire/check_json.h"

#include "wire/json_values.h"

namespace trammel {

Json to_json(const Car& car) {
  Json j;
  j["name"] = car.name;
  j["axles"] = Json::object();
  for (const auto& axle : car.axle) {
    if (!axle) continue;
    Json points;
    for (const Side side : {Side::left, Side::right})
      for (std::size_t i = 0; i < axle->layout.points.size(); ++i) {
        const auto& p = axle->at(side).numbers.points_mm[i];
        const auto& s = axle->at(side).sigma_mm[i];
        auto& point = points[word(side)][axle->layout.points[i]];
        point["at_mm"] = {p.x, p.y, p.z};
        if (s.x > 0.0 || s.y > 0.0 || s.z > 0.0) point["sigma_mm"] = {s.x, s.y, s.z};
      }
    j["axles"][word(axle->layout.axle)] = {{"right_is_mirrored", axle->right_is_mirrored},
                                           {"points", std::move(points)}};
  }
  j["states"] = Json::array();
  for (const auto& state : car.states) j["states"].push_back(state.name);
  return j;
}

}  // namespace trammel
