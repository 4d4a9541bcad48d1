// The lines of a corner that springs, dampers and stops work along, and what a bump stop gives:
// force against the length of its line.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "travel/springs.h"

namespace trammel {

// Lines of a corner whose lengths say where travel ends.
enum class TravelLine { spring, damper, strut };
const Line<double>* line_of(const Mechanism<double>& mechanism, TravelLine kind);
double length_now(const At<double>& at, TravelLine kind);
// How much a line shortens per mm of wheel travel.
double shortens_per_travel(const At<double>& at, TravelLine kind);
// The line that the bump stop works along: damper, else strut, else spring.
std::optional<TravelLine> stop_line(const Layout& layout);

// Length of the stop's line (mm) at which it is touched: by its gap as measured, else by the closed
// damper that it sits on. Nothing where the file says neither.
std::optional<double> stop_touch_mm(const Axle& axle, Side side);

// Rubber between its free length and its solid length. Pressed by x it gives rate·x/(1 - x/room):
// the simplest law that begins at a rate and has nothing left to give at the solid length (own; the
// rate has doubled at 0.29 of the room and is four times the first at half of it). From
// `stiff_from` of the room on it goes on straight, so that there is a force at any length.
struct StopLaw {
  static constexpr double stiff_from = 0.9;
  TravelLine line = TravelLine::damper;
  double touch_mm = 0.0;                    // length of the line where it is touched
  double room_mm = 1.0;                     // free length less solid length, above zero
  double rate_n_per_mm = 0.0;               // as it is first touched
  bool rate_is_usual = false;               // the file does not say it
  double force_at(double length_mm) const;  // N, never below zero
  double rate_at(double length_mm) const;   // N/mm, zero where it is not touched
};

// What the stop's push is at the tyre, N, by virtual work; zero where it is not touched or not
// known.
double stop_at_tyre_n(const std::optional<StopLaw>& stop, const At<double>& at);

// The stop of a corner. The first rate is the file's, else the one that makes the wheel twice as
// stiff as its spring does, as measured: 'two to four times' is common practice for a car that sits
// on its stops. Nothing where the file does not say where it is touched, how long it is and how
// short it gets, or says neither its rate nor that of the spring.
std::optional<StopLaw> stop_law(const Axle& axle, Side side);

}  // namespace trammel
