// Quantities as people write them: "12.5 mm", "2 3/8 in", "15 thou", "0°30'", "45 N·m",
// "188 ± 2 mm". Text to number and back happens here and nowhere else.
//
// Inside, everything is mm, rad, N, kg, s and what follows from them (N/mm, N·mm, N·mm/rad).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

namespace trammel {

inline constexpr double degree_rad = 0.017453292519943295;
inline constexpr double micron_mm = 0.001;
inline constexpr double inch_mm = 25.4;  // exact, international inch

enum class Kind { length, angle, mass, force, spring_rate, torque, roll_rate, ratio };

struct Quantity {
  double value = 0.0;           // in the inside unit of its kind
  std::optional<double> sigma;  // one standard uncertainty, same unit, above zero
};

// Why a text is not the quantity asked for, in words that follow "what is wrong, what was
// expected".
struct NotAQuantity {
  std::string why;
};

// Reads `text` as a quantity of `kind`. A bare number is mm, degree, kg, N, N/mm, N·m, N·m/degree
// or a plain ratio; but a length in fractions says its unit. "188 ± 2 mm": the unit of either
// number serves both. Never returns a number that is not finite.
std::variant<Quantity, NotAQuantity> read_quantity(std::string_view text, Kind kind);

// A length as somebody wrote it, moved by `by_mm`: the unit and the ± stay as they are written, a
// fraction becomes a decimal number: "188 ± 2 mm" by 0.5 is "188.5 ± 2 mm", "2 3/8 in" by 0.254 is
// "2.385 in". Rounded to a ten thousandth of its unit. Nothing where `text` is no length.
std::optional<std::string> moved_length(std::string_view text, double by_mm);

// A bare number of a file in the inside unit.
double from_bare(double number, Kind kind);

// "a length such as 12.5 mm or 1/2 in"
std::string_view example_of(Kind kind);

// Units that readings are shown in.
enum class Units { metric, inch };

// What a reading is measured in; the key of a reading ends with its metric name.
enum class Measure {
  length,
  angle,
  angle_per_length,
  inverse_length,
  ratio,
  percent,
  force,
  spring_rate,
  torque
};

struct ShownUnit {
  std::string_view symbol;  // "mm", "°/25 mm"
  double per_inside;        // multiply the inside value by this
  int decimals;             // digits that mean something on a garage floor
};

ShownUnit shown_unit(Measure measure, Units units);

// Fixed decimals, never "-0.00".
std::string shown(double inside, Measure measure, Units units);
// The same with + before what is above zero.
std::string shown_signed(double inside, Measure measure, Units units);

// The shortest text that reads back as the same number.
std::string shortest(double number);
// Reads a plain decimal number that must fill the text; nothing for anything else.
std::optional<double> plain_number(std::string_view text);

}  // namespace trammel
