// What the dials of a gauge run say of a wheel: the quantities that each of its rows gives, what
// each is by the wheel's axis and centre, how well it is read, and what backlash does to it.
#pragma once

#include <array>
#include <string_view>
#include <vector>

#include "base/vec.h"
#include "file/survey.h"

namespace trammel {

enum class Dial { front, rear, low };
std::string_view word(Dial dial);  // "front dial"

// What a quantity is made of: so much of the front, the rear and the low dial.
using OfDials = std::array<double, 3>;
inline constexpr OfDials toe_dials{-1.0, 1.0, 0.0}, lean_dials{-0.5, -0.5, 1.0};

// One quantity of every row of a run.
struct DialRow {
  enum class Of {
    toe,   // the rear dial less the front one
    lean,  // the low dial less the mean of the other two: camber
    dial,  // one dial by itself, which also follows the wheel sideways
  };
  Of of = Of::toe;
  OfDials dials = toe_dials;
  double sigma_mm = 0.0;
  double lever_mm = 0.0;  // what it reads per rad of toe that backlash adds
  double apart_mm = 0.0;  // toe: the base; lean: the drop
  // Of a dial by itself: the plate's face outboard of the wheel's centre, the dial ahead of and
  // above it.
  double plate_mm = 0.0, ahead_mm = 0.0, above_mm = 0.0;
};

// Two dials: toe. With a low one: toe and lean, whose noise has nothing to do with each other.
// Where the run says where its dials stand: each dial by itself.
std::vector<DialRow> dial_rows(const GaugeRun& run);
// "front dial"; empty for toe, which is of two.
std::string_view name_of(const DialRow& row);

// As read, mm.
double read_mm(const DialRow& row, const GaugeRow& read);

// As a wheel makes it, mm, but for the dials' zeros. `axis`: of the wheel, outboard; `centre`: of
// the wheel; `stood`: where that was when the dials were put up. All in axes forward, outboard, up.
// A dial by itself counts from the plate of a wheel that stands there upright and straight ahead.
template <class T>
T dial_mm(const DialRow& row, const Vec3<T>& axis, const Vec3<T>& centre, const Vec3<T>& stood) {
  if (row.of == DialRow::Of::toe) return T(row.apart_mm) * (axis.x / axis.y);
  if (row.of == DialRow::Of::lean) return T(row.apart_mm) * (axis.z / axis.y);
  // The dial touches the plate where its own line, fixed to the floor, meets it.
  const T ahead = stood.x + T(row.ahead_mm) - centre.x;
  const T above = stood.z + T(row.above_mm) - centre.z;
  const T beyond = T(row.plate_mm) * (T(1.0) - axis.y);
  return centre.y - stood.y + (beyond - axis.x * ahead - axis.z * above) / axis.y;
}

// How much of each row makes toe or lean (`toe_dials`, `lean_dials`); empty where no dial tells it.
std::vector<double> made_of(const std::vector<DialRow>& rows, const OfDials& dials);

}  // namespace trammel
