// What several answers of the core are made of.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "told/section.h"

namespace trammel::wire {

// A line of the file that is at fault.
struct FaultSeen {
  int line = 0;
  std::string what;
  std::string text;  // the line itself
  int field = -1;    // of a card that was typed
};

// A plot as it is drawn and read.
struct DrawnPlot {
  std::string title, svg;
  Grid values;
  std::vector<double> x_mm;
  double wide_mm = 0.0, high_mm = 0.0, top_mm = 0.0, bottom_mm = 0.0;
};

using PageBlock = std::variant<Paragraph, Caution, Grid, DrawnPlot, Drawing, Checklist, PartsList>;
struct PageSection {
  std::string name, question, answer;
  std::vector<PageBlock> blocks, working;
};

// What is picked for an option: a size, or where a made joint goes (body axes of the left side, on
// the right their mirror image).
struct PickOfSide {
  double size_mm = 0.0;
  std::array<double, 3> by_mm{};
};
struct Pick {
  std::string option;
  double size_mm = 0.0;
  std::array<double, 3> by_mm{};
  std::optional<PickOfSide> right{};  // where the right side has another
};
struct AxleSet {
  std::string axle;  // front or rear
  std::vector<Pick> picks;
};

// The text after an edit, or the faults that it would have brought about.
struct Changed {
  std::string text;
  std::vector<FaultSeen> faults;
};

}  // namespace trammel::wire
