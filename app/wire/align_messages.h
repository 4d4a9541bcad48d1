// What the page asks of the step align: its cards, and what was turned.
#pragma once

#include <string>
#include <vector>

#include "wire/survey_messages.h"

namespace trammel::wire {

// A day of readings on the floor.
struct FloorDayListed {
  std::string when;
  bool fitted = false, driven = false;
};
struct FloorRoundShown {
  std::string why;  // why there is no round; empty where there is
  std::vector<StationListed> stations;
  std::vector<FloorDayListed> days;  // in the order of the file
};

// The cards of alignment, with what they hold for a day.
struct ShowFloorRound {
  std::string text;
  bool inch = false;
  std::string when;
  using Reply = FloorRoundShown;
};
struct ShowFloorCard {
  std::string text;
  bool inch = false;
  std::string number, when;
  using Reply = CardShown;
};
struct EnterFloorCard {
  std::string text;
  bool inch = false;
  std::string number, when;
  bool fitted = false, driven = false;
  std::vector<std::string> values;
  std::string sigma;
  bool sure = false;  // it has been asked about
  using Reply = CardEntered;
};
// The plan written down as turned.
struct TurnAsPlanned {
  std::string text;
  using Reply = Changed;
};

}  // namespace trammel::wire
