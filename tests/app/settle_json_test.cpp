// What `trammel settle --json` says of stops, tyres and what serves.
#include "wire/settle_json.h"

#include <gtest/gtest.h>

#include "cars.h"

namespace trammel::testing {
namespace {

nlohmann::ordered_json json_of(const std::string& text) {
  const auto document = *parse(text).value;
  const auto car = car_of(text);
  return to_json(settle(*ride(car, nullptr).value, {}, read_wishes(document, car)));
}
std::string without_line(std::string text, const std::string& line) {
  const auto at = text.find(line);
  EXPECT_NE(at, std::string::npos) << line;
  return text.erase(at, text.find('\n', at) + 1 - at);
}

TEST(SettleJson, SaysWhatServesInThreeValues) {
  const auto j = json_of(demo_text("pip.toml"));
  std::string seen;
  for (const auto& one : j["judged"]) {
    const auto verdict = one["verdict"].get<std::string>();
    seen += verdict + ";";
    EXPECT_EQ(verdict == "does not serve", !one["fails"].empty()) << one;
    EXPECT_TRUE(verdict != "not judged" || !one["not_judged"].empty()) << one;
    for (const auto& u : one["not_judged"]) EXPECT_FALSE(u["key"].get<std::string>().empty()) << u;
  }
  for (const char* verdict : {"serves;", "does not serve;", "not judged;"})
    EXPECT_NE(seen.find(verdict), std::string::npos) << seen;
}

TEST(SettleJson, TellsRollWithAndWithoutStops) {
  const auto j = json_of(demo_text("pip.toml"));
  const auto& sits = j["states"].back();
  EXPECT_LT(sits["roll_deg_at_half_g"].get<double>(),
            sits["roll_without_stops_deg_at_half_g"].get<double>());
  EXPECT_GT(sits["roll_of_tyres_deg_at_half_g"].get<double>(), 0.0);
  for (const char* axle : {"front", "rear"}) {
    EXPECT_GT(sits["load_transfer_n"][axle]["stops"].get<double>(), 0.0);
    EXPECT_LT(sits["stop_touched"][axle]["from_g"].get<double>(), 0.5);
    EXPECT_TRUE(sits[axle]["left"].contains("loose_at_droop_by_weight_mm"));
  }
  // Without its lengths nothing is said of the roll that they decide.
  const auto unknown = json_of(
      without_line(without_line(demo_text("pip.toml"), "free_length  = 55"), "solid_length = 22"));
  EXPECT_FALSE(unknown["states"].back().contains("roll_deg_at_half_g"));
  EXPECT_NE(unknown["states"].back()["why_no_roll"].get<std::string>().find("[front.stop]"),
            std::string::npos);
}

}  // namespace
}  // namespace trammel::testing
