#include "base/quantity.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <numbers>
#include <span>

#include "base/plain_text.h"

namespace trammel {
namespace {

constexpr double pound_kg = 0.45359237;  // exact, international pound
constexpr double gravity = 9.80665;      // m/s2, standard
constexpr double pound_n = pound_kg * gravity;

struct UnitName {
  std::string_view name;
  Kind kind;
  double factor;  // to the inside unit
};

constexpr UnitName unit_names[] = {
    {"mm", Kind::length, 1.0},
    {"cm", Kind::length, 10.0},
    {"m", Kind::length, 1000.0},
    {"um", Kind::length, 0.001},
    {"µm", Kind::length, 0.001},
    {"in", Kind::length, inch_mm},
    {"inch", Kind::length, inch_mm},
    {"inches", Kind::length, inch_mm},
    {"\"", Kind::length, inch_mm},
    {"thou", Kind::length, inch_mm / 1000.0},
    {"ft", Kind::length, 12.0 * inch_mm},
    {"deg", Kind::angle, degree_rad},
    {"degree", Kind::angle, degree_rad},
    {"degrees", Kind::angle, degree_rad},
    {"°", Kind::angle, degree_rad},
    {"rad", Kind::angle, 1.0},
    {"mrad", Kind::angle, 0.001},
    {"min", Kind::angle, degree_rad / 60.0},
    {"'", Kind::angle, degree_rad / 60.0},
    {"′", Kind::angle, degree_rad / 60.0},
    {"kg", Kind::mass, 1.0},
    {"g", Kind::mass, 0.001},
    {"lb", Kind::mass, pound_kg},
    {"lbs", Kind::mass, pound_kg},
    {"N", Kind::force, 1.0},
    {"kN", Kind::force, 1000.0},
    {"kgf", Kind::force, gravity},
    {"lbf", Kind::force, pound_n},
    {"N/mm", Kind::spring_rate, 1.0},
    {"kN/m", Kind::spring_rate, 1.0},
    {"N/m", Kind::spring_rate, 0.001},
    {"kgf/mm", Kind::spring_rate, gravity},
    {"kg/mm", Kind::spring_rate, gravity},
    {"lb/in", Kind::spring_rate, pound_n / inch_mm},
    {"lbf/in", Kind::spring_rate, pound_n / inch_mm},
    {"N·m", Kind::torque, 1000.0},
    {"N*m", Kind::torque, 1000.0},
    {"Nm", Kind::torque, 1000.0},
    {"N·mm", Kind::torque, 1.0},
    {"kgf·m", Kind::torque, gravity * 1000.0},
    {"lb·ft", Kind::torque, pound_n * 12.0 * inch_mm},
    {"lbf·ft", Kind::torque, pound_n * 12.0 * inch_mm},
    {"lb-ft", Kind::torque, pound_n * 12.0 * inch_mm},
    {"ft·lb", Kind::torque, pound_n * 12.0 * inch_mm},
    {"ft-lb", Kind::torque, pound_n * 12.0 * inch_mm},
    {"lb·in", Kind::torque, pound_n* inch_mm},
    {"N·m/deg", Kind::roll_rate, 1000.0 / degree_rad},
    {"N·m/°", Kind::roll_rate, 1000.0 / degree_rad},
    {"Nm/deg", Kind::roll_rate, 1000.0 / degree_rad},
    {"N·m/rad", Kind::roll_rate, 1000.0},
    {"lb·ft/deg", Kind::roll_rate, pound_n * 12.0 * inch_mm / degree_rad},
    {"%", Kind::ratio, 0.01},
};

struct KindWords {
  std::string_view name, example;
  double bare;
};
constexpr KindWords words_of(Kind kind) {
  switch (kind) {
    case Kind::length:
      return {"a length", "a length such as 12.5 mm or \"2 3/8 in\"", 1.0};
    case Kind::angle:
      return {"an angle", "an angle such as 0.5 (degrees) or \"0°30'\"", degree_rad};
    case Kind::mass:
      return {"a mass", "a mass such as 320 (kg) or \"705 lb\"", 1.0};
    case Kind::force:
      return {"a force", "a force such as 4000 (N) or \"4 kN\"", 1.0};
    case Kind::spring_rate:
      return {"a spring rate", "a spring rate such as 32 (N/mm) or \"180 lb/in\"", 1.0};
    case Kind::torque:
      return {"a torque", "a torque such as \"45 N·m\" or \"33 lb·ft\"", 1000.0};
    case Kind::roll_rate:
      return {"a roll rate", "a roll rate such as 240 (N·m per degree)", 1000.0 / degree_rad};
    case Kind::ratio:
      return {"a plain number", "a plain number such as 0.6 or \"60 %\"", 1.0};
  }
  return {};
}

struct Scanner {
  std::string_view rest;

  void spaces() {
    for (;;) {
      if (!rest.empty() && (rest[0] == ' ' || rest[0] == '\t')) rest.remove_prefix(1);
      else if (rest.starts_with("\u00a0")) rest.remove_prefix(2);
      else return;
    }
  }
  bool take(std::string_view what) {
    if (!rest.starts_with(what)) return false;
    rest.remove_prefix(what.size());
    return true;
  }
  // Digits with at most one point and an exponent; no sign, no space.
  std::optional<double> unsigned_number() {
    std::size_t n = 0;
    bool digit = false;
    const auto digits = [&] {
      while (n < rest.size() && rest[n] >= '0' && rest[n] <= '9') ++n, digit = true;
    };
    digits();
    if (n < rest.size() && rest[n] == '.') ++n, digits();
    if (!digit) return {};
    if (n < rest.size() && (rest[n] == 'e' || rest[n] == 'E')) {
      std::size_t e = n + 1;
      if (e < rest.size() && (rest[e] == '+' || rest[e] == '-')) ++e;
      if (e < rest.size() && rest[e] >= '0' && rest[e] <= '9') {
        n = e;
        digits();
      }
    }
    if (n > 60) return {};
    std::array<char, 64> text{};
    rest.copy(text.data(), n);
    const double value = std::strtod(text.data(), nullptr);
    rest.remove_prefix(n);
    return value;
  }
};

// 3 | 3.5 | 1/2 | 2 3/8 | 2-3/8, as drawings in inches have it
std::optional<double> number_or_fraction(Scanner& in) {
  const auto first = in.unsigned_number();
  if (!first) return {};
  if (in.take("/")) {
    const auto below = in.unsigned_number();
    if (!below || *below == 0.0) return {};
    return *first / *below;
  }
  Scanner ahead = in;
  const bool joined = ahead.take("-");
  if (!joined) ahead.spaces();
  else if (*first != std::floor(*first)) return first;
  const auto above = ahead.unsigned_number();
  if (!above || !ahead.take("/")) return first;
  const auto below = ahead.unsigned_number();
  if (!below || *below == 0.0) return {};
  in = ahead;
  return *first + *above / *below;
}

// The unit word at the head of `in`: everything up to a space, a sign or the end.
const UnitName* take_unit(Scanner& in, std::string_view& word) {
  word = in.rest.substr(0, in.rest.find_first_of(" \t"));
  for (std::string_view stop : {std::string_view("±"), std::string_view("+/-")})
    word = word.substr(0, word.find(stop));
  for (const auto& unit : unit_names)
    if (unit.name == word) {
      in.rest.remove_prefix(word.size());
      return &unit;
    }
  return nullptr;
}

struct Part {
  double number = 0.0;
  const UnitName* unit = nullptr;
  std::string_view fraction;  // as it is written; empty for a decimal number
};

struct Failed {
  std::string why;
};

// A number with its unit; 0°30' and 0°30'15" as one angle.
std::variant<Part, Failed> take_part(Scanner& in) {
  in.spaces();
  const bool negative = in.take("-") || in.take("−");
  if (!negative) in.take("+");
  in.spaces();
  const auto written = in.rest;
  const auto number = number_or_fraction(in);
  if (!number) return Failed{"is not a number"};
  Part part{*number, nullptr, written.substr(0, written.size() - in.rest.size())};
  if (part.fraction.find('/') == std::string_view::npos) part.fraction = {};
  if (in.rest.starts_with(",")) return Failed{"has a comma: write decimals with a point"};
  in.spaces();
  std::string_view word;
  if (in.take("°")) {
    static constexpr UnitName degrees{"°", Kind::angle, degree_rad};
    part.unit = &degrees;
    in.spaces();
    Scanner ahead = in;
    if (const auto minutes = ahead.unsigned_number()) {
      if (!(ahead.take("'") || ahead.take("′")))
        return Failed{"has a number after the degrees that is not marked as minutes (0°30')"};
      if (*minutes >= 60.0) return Failed{"has 60 minutes or more"};
      part.number += *minutes / 60.0;
      in = ahead;
      ahead.spaces();
      if (const auto seconds = ahead.unsigned_number();
          seconds && (ahead.take("\"") || ahead.take("″"))) {
        if (*seconds >= 60.0) return Failed{"has 60 seconds or more"};
        part.number += *seconds / 3600.0;
        in = ahead;
      }
    }
  } else if (!in.rest.empty() && !in.rest.starts_with("±") && !in.rest.starts_with("+/-")) {
    part.unit = take_unit(in, word);
    if (!part.unit)
      return Failed{fmt::format("has a unit that is not known: '{}'", in_short(word))};
  }
  if (negative) part.number = -part.number;
  return part;
}

}  // namespace

double from_bare(double number, Kind kind) { return number * words_of(kind).bare; }

std::string_view example_of(Kind kind) { return words_of(kind).example; }

std::variant<Quantity, NotAQuantity> read_quantity(std::string_view text, Kind kind) {
  const auto fail = [&](std::string_view why) {
    return NotAQuantity{fmt::format("'{}' {}, expected {}", in_short(text), why, example_of(kind))};
  };
  Scanner in{text};
  auto first = take_part(in);
  if (auto* f = std::get_if<Failed>(&first)) return fail(f->why);
  Part value = std::get<Part>(first);
  std::optional<Part> doubt;
  in.spaces();
  if (in.take("±") || in.take("+/-")) {
    auto second = take_part(in);
    if (auto* f = std::get_if<Failed>(&second)) return fail(f->why);
    doubt = std::get<Part>(second);
    if (!value.unit) value.unit = doubt->unit;
    if (!doubt->unit) doubt->unit = value.unit;
    in.spaces();
  }
  if (!in.rest.empty()) return fail(fmt::format("goes on with '{}'", in_short(in.rest)));
  // Nobody reads eighths of a millimetre.
  if (kind == Kind::length && !value.unit && !value.fraction.empty())
    return fail(
        fmt::format("is a fraction without a unit (inches? then write \"{} in\")", value.fraction));
  const auto inside = [&](const Part& p) -> std::optional<double> {
    if (!p.unit) return from_bare(p.number, kind);
    if (p.unit->kind == kind) return p.number * p.unit->factor;
    return {};
  };
  Quantity q;
  for (const Part* p : {&value, doubt ? &*doubt : nullptr})
    if (p && p->unit && p->unit->kind != kind)
      return fail(fmt::format("is {}", words_of(p->unit->kind).name));
  q.value = *inside(value);
  if (!std::isfinite(q.value)) return fail("is not a finite number");
  if (doubt) {
    q.sigma = *inside(*doubt);
    if (!(*q.sigma > 0.0) || !std::isfinite(*q.sigma))
      return fail("has an uncertainty that is not above zero");
  }
  return q;
}

std::optional<std::string> moved_length(std::string_view text, double by_mm) {
  const auto read = [](std::string_view t) -> std::optional<double> {
    const auto q = read_quantity(t, Kind::length);
    const auto* quantity = std::get_if<Quantity>(&q);
    return quantity ? std::optional(quantity->value) : std::nullopt;
  };
  const auto was = read(text);
  if (!was) return {};
  Scanner in{text};
  in.spaces();
  if (!in.take("-") && !in.take("−")) in.take("+");
  in.spaces();
  if (!number_or_fraction(in)) return {};
  const std::string after(in.rest);
  const auto one = read("1" + after);
  if (!one) return {};
  constexpr double finest = 1e4;
  const double number = std::round((*was + by_mm) / *one * finest) / finest;
  if (!std::isfinite(number)) return {};
  return shortest(number == 0.0 ? 0.0 : number) + after;  // no -0
}

ShownUnit shown_unit(Measure measure, Units units) {
  const bool inch = units == Units::inch;
  switch (measure) {
    case Measure::length:
      return inch ? ShownUnit{"in", 1.0 / inch_mm, 3} : ShownUnit{"mm", 1.0, 1};
    case Measure::angle:
      return {"°", 1.0 / degree_rad, 2};
    case Measure::angle_per_length:
      return inch ? ShownUnit{"°/in", inch_mm / degree_rad, 3}
                  : ShownUnit{"°/25 mm", 25.0 / degree_rad, 3};
    case Measure::inverse_length:
      return inch ? ShownUnit{"1/in", inch_mm, 4} : ShownUnit{"1/mm", 1.0, 5};
    case Measure::ratio:
      return {"", 1.0, 3};
    case Measure::percent:
      return {"%", 100.0, 0};
    case Measure::force:
      return inch ? ShownUnit{"lbf", 1.0 / pound_n, 0} : ShownUnit{"N", 1.0, 0};
    case Measure::spring_rate:
      return inch ? ShownUnit{"lb/in", inch_mm / pound_n, 0} : ShownUnit{"N/mm", 1.0, 1};
    case Measure::torque:
      return inch ? ShownUnit{"lb·ft", 1.0 / (pound_n * 12.0 * inch_mm), 0}
                  : ShownUnit{"N·m", 1e-3, 0};
  }
  return {};
}

std::string shown(double inside, Measure measure, Units units) {
  const auto unit = shown_unit(measure, units);
  std::string text = fmt::format("{:.{}f}", inside * unit.per_inside, unit.decimals);
  if (text.starts_with('-') && text.find_first_of("123456789") == std::string::npos)
    text.erase(0, 1);
  return text;
}

std::string shown_signed(double inside, Measure measure, Units units) {
  std::string text = shown(inside, measure, units);
  const bool zero = text.find_first_of("123456789") == std::string::npos;
  return text.starts_with('-') || zero ? text : "+" + text;
}

std::string shortest(double number) { return fmt::format("{}", number); }

std::optional<double> plain_number(std::string_view text) {
  Scanner in{text};
  const bool negative = in.take("-");
  const auto n = in.unsigned_number();
  if (!n || !in.rest.empty()) return {};
  return negative ? -*n : *n;
}

}  // namespace trammel
