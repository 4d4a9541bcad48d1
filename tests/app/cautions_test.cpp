// The manuals warn in the program's own words, and so does the card of a gauge run.
#include "told/cautions.h"

#include <gtest/gtest.h>

#include "cars.h"
#include "wasm/desk.h"

namespace trammel::testing {
namespace {

// A manual as one line: its words wrap where the editor wrapped them.
std::string manual(const std::string& path) {
  const auto text = demo_text("../" + path);
  EXPECT_FALSE(text.empty()) << path;
  std::string flat;
  for (const char c : text) {
    const char seen = c == '\n' ? ' ' : c;
    if (seen != ' ' || flat.empty() || flat.back() != ' ') flat += seen;
  }
  return flat;
}

TEST(Cautions, OfTheManualsAreTheProgramsOwn) {
  const struct {
    const char* path;
    std::vector<Care> cares;
  } table[] = {
      {"README.md",
       {Care::not_approved, Care::law, Care::torque, Care::under_car, Care::spring_out,
        Care::gas_damper, Care::rod_with_joint}},
      {"docs/measuring.md",
       {Care::under_tyres, Care::glasses, Care::not_approved, Care::law, Care::spring_out,
        Care::gas_damper, Care::brake_hose, Care::under_car, Care::jack_hub, Care::left_slack}},
      {"docs/proving.md",
       {Care::not_approved, Care::law, Care::spring_out, Care::gas_damper, Care::brake_hose}},
      {"docs/aligning.md", {Care::chocks, Care::lock_nuts, Care::law}},
      {"docs/writing-a-car-file.md",
       {Care::under_tyres, Care::not_approved, Care::law, Care::forged}},
  };
  for (const auto& row : table) {
    const auto text = manual(row.path);
    for (const Care care : row.cares)
      EXPECT_NE(text.find(caution(care)), std::string::npos) << row.path << ": " << caution(care);
    // Nothing is said of compressors in other words.
    const auto words = caution(Care::spring_out);
    const auto inside = words.find("compressor");
    for (auto at = text.find("compressor"); at != std::string::npos;
         at = text.find("compressor", at + 1))
      EXPECT_EQ(text.compare(at - inside, words.size(), words), 0) << row.path << " at " << at;
  }
}

TEST(Cautions, StandOnTheCardOfAGaugeRun) {
  Desk desk;
  wire::ShowGauge ask;
  ask.text = demo_text("pip.toml");
  ask.corner = "front left";
  const auto shown = desk.reply(ask);
  EXPECT_EQ(shown.why, "");
  EXPECT_EQ(shown.caution, gauge_run_cautions());
  for (const Care care : {Care::spring_out, Care::gas_damper, Care::brake_hose, Care::under_car})
    EXPECT_NE(shown.caution.find(caution(care)), std::string::npos) << caution(care);
}

TEST(Cautions, StandBesideTheMapThatIsDragged) {
  Desk desk;
  const auto ranked = desk.reply(wire::Rank{demo_text("pip.toml"), false});
  int maps = 0;
  for (const auto& axle : ranked.axles)
    for (const auto& map : axle.maps) {
      ++maps;
      EXPECT_EQ(map.caution, caution(Care::hole_edge));
    }
  EXPECT_GT(maps, 0);
}

}  // namespace
}  // namespace trammel::testing
