// What is on the shelf for one axle: every combination of it, and what is refused.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "file/wishes.h"
#include "parts/corner.h"

namespace trammel {

inline constexpr double same_size_mm = 1e-6;

// An option as it can be chosen from: sizes along its direction, or a box to be made to measure.
struct Choice {
  Option option;
  std::size_t index = 0;                            // of it in Wishes
  BySide<Vec3<double>> along;                       // corner axes; for sizes
  std::vector<double> sizes_mm;                     // every size that can be built; for sizes
  std::vector<int> axes;                            // 0, 1, 2 that may move; made to measure
  std::array<std::array<double, 2>, 3> range_mm{};  // of those axes, body axes as measured
  bool made_to_measure() const { return !axes.empty(); }
};

// An option that corrects nothing, or cannot be tried. The words of it and of what is left out:
// parts/reasons.h.
struct Refused {
  enum class Of {
    beside_its_joint,  // between a member and its joint: that stays where it is on the upright
    other_carrier,     // its joint is on `carrier`, the option says `asked`
    holds_nothing,     // its joint: moving it does not move the wheel
    no_steering_axis,  // it goes along that, and the axle does not steer
    no_sizes,
  };
  std::string option;
  Of of{};
  std::string joint{};
  Moves carrier{}, asked{};
};

// What the search is bounded to.
struct NotTried {
  enum class Of {
    tall_stacks,   // `option` has too many pieces: sums up to `up_to_mm` are tried
    combinations,  // of `all` only `tried`: every second size of the longest lists
  };
  Of of{};
  std::string option{};
  std::size_t pieces = 0;
  double up_to_mm = 0.0;
  double all = 0.0, tried = 0.0;
};

struct Shelf {
  std::vector<Choice> choices;
  std::vector<Refused> refused;
  std::vector<NotTried> left_out;
};

// The options whose joint is on the axle. `right` may be the mirror image of `left`.
Shelf shelf_for(const std::vector<Option>& options, const CornerBefore& left,
                const CornerBefore& right);

// The sizes next below and above one that cannot be built of what there is; empty where it can be,
// where it is nothing at all, and of a made part.
std::vector<double> sizes_about(const Choice& choice, double size_mm);

// What one candidate fits, by choice of the shelf; sizes may differ by side.
struct Fit {
  std::vector<BySide<SizeOrPlace>> part;
  friend bool operator==(const Fit&, const Fit&) = default;
};
// Nothing of all that the shelf has.
Fit nothing_fitted(const Shelf& shelf);
// The same on both sides.
void set_size(Fit& fit, std::size_t choice, double size_mm);
void set_place(Fit& fit, std::size_t choice, const Vec3<double>& by_mm);
bool sides_alike(const Fit& fit);

// The joints of one side moved by a fit.
std::vector<PartMove<double>> moves_of(const Shelf& shelf, const Fit& fit, Side side);

// Every combination of sizes, the same on both sides; a made-to-measure choice stays at zero. At
// most `most`: where there are more, sizes are thinned evenly and the shelf says so.
std::vector<Fit> combinations(Shelf& shelf, std::size_t most);

}  // namespace trammel
