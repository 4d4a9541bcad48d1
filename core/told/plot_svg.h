// A plot as SVG, in mm, in one ink: states of the car differ by line.
#pragma once

#include <string>

#include "told/markup.h"
#include "told/section.h"

namespace trammel {

struct PlotSize {
  double width_mm = 88.0, height_mm = 62.0;
};

// Values that are not finite are left out. Text is what the plot holds, escaped; no script, no
// link.
std::string plot_svg(const Plot& plot, PlotSize size = {});

// The values of a plot as a table, and where each row stands in its drawing, for reading a curve
// with a pointer or by keys.
struct PlotReadout {
  Grid values;               // x first, then each series; a gap where a series has no such x
  std::vector<double> x_mm;  // from the drawing's left edge, by row
  double top_mm = 0.0, bottom_mm = 0.0;  // of the area with the curves
};
PlotReadout readout(const Plot& plot, PlotSize size = {});

}  // namespace trammel
