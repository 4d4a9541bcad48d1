#include "parts/shelf.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "travel/readings.h"

namespace trammel {
namespace {

constexpr std::size_t most_sums = 400;  // of one stack

// Every sum that some of the pieces make, ascending.
std::vector<double> sums_of(const std::vector<double>& pieces, const std::string& name,
                            std::vector<NotTried>& left_out) {
  std::vector<double> sums{0.0};
  bool bounded = false;
  for (const double piece : pieces) {
    const auto before = sums.size();
    for (std::size_t i = 0; i < before; ++i) sums.push_back(sums[i] + piece);
    std::sort(sums.begin(), sums.end());
    sums.erase(std::unique(sums.begin(), sums.end(),
                           [](double a, double b) { return b - a < same_size_mm; }),
               sums.end());
    if (sums.size() > most_sums) {
      // The smallest stacks are the ones that get built.
      sums.resize(most_sums);
      bounded = true;
    }
  }
  if (bounded) left_out.push_back({NotTried::Of::tall_stacks, name, pieces.size(), sums.back()});
  return sums;
}

// Along the steering axis, away from the wheel's centre: down for a joint below it, up above.
Vec3<double> axis_direction(const CornerBefore& c, int point) {
  const auto as_measured = solution_as_measured(c.mechanism);
  const At<double> at(c.axle->layout, c.mechanism, as_measured, {});
  const auto& joint = c.mechanism.numbers.points_mm[static_cast<std::size_t>(point)];
  return joint.z > c.mechanism.centre_mm.z ? at.axis.direction : -at.axis.direction;
}

// What carries a joint that holds the wheel; nothing where it holds none.
std::optional<Moves> carrier_of(const Layout& l, int joint) {
  for (const auto& arm : l.arms) {
    if (arm.upright == joint) return Moves::upright;
    if (arm.body_front == joint || arm.body_rear == joint) return Moves::body;
  }
  for (const auto& rod : l.rods) {
    if (rod.upright == joint) return Moves::upright;
    if (rod.inner == joint) return rod.inner_on.on == Carrier::arm ? Moves::member : Moves::body;
  }
  if (l.strut && l.strut->foot == joint) return Moves::upright;
  if (l.strut && l.strut->top == joint) return Moves::body;
  if (l.swing && (l.swing->pivot_inner == joint || l.swing->pivot_outer == joint))
    return Moves::body;
  return {};
}

std::optional<Refused> refusal(const Option& o, const Layout& layout, bool steered) {
  const auto& joint = layout.points[static_cast<std::size_t>(o.joint)];
  const auto holds = carrier_of(layout, o.joint);
  const Moves carrier = holds.value_or(Moves::body);
  const auto refused = [&](Refused::Of of) {
    return Refused{o.name, of, joint, carrier, o.moves.value_or(carrier)};
  };
  if (o.moves == Moves::member && carrier != Moves::member)
    return refused(Refused::Of::beside_its_joint);
  if (o.moves && *o.moves != carrier) return refused(Refused::Of::other_carrier);
  if (!holds) return refused(Refused::Of::holds_nothing);
  if (!o.along && !std::holds_alternative<MadeToMeasure>(o.choice) && !steered)
    return refused(Refused::Of::no_steering_axis);
  return {};
}

}  // namespace

Shelf shelf_for(const std::vector<Option>& options, const CornerBefore& left,
                const CornerBefore& right) {
  Shelf shelf;
  const auto& layout = left.axle->layout;
  for (std::size_t index = 0; index < options.size(); ++index) {
    const auto& o = options[index];
    if (o.axle != layout.axle || o.joint <= 0) continue;
    if (auto refused = refusal(o, layout, layout.steered())) {
      shelf.refused.push_back(std::move(*refused));
      continue;
    }
    Choice c;
    c.option = o;
    c.index = index;
    if (const auto* made = std::get_if<MadeToMeasure>(&o.choice)) {
      for (int axis = 0; axis < 3; ++axis)
        if (const auto& range = made->range_mm[static_cast<std::size_t>(axis)]) {
          c.axes.push_back(axis);
          c.range_mm[static_cast<std::size_t>(axis)] = *range;
        }
    } else {
      for (const CornerBefore* corner : {&left, &right})
        c.along[corner->side] = o.along ? *o.along : axis_direction(*corner, o.joint);
      if (const auto* one = std::get_if<OneOf>(&o.choice)) {
        c.sizes_mm = one->sizes_mm;
      } else {
        c.sizes_mm = sums_of(std::get<AnyOf>(o.choice).pieces_mm, o.name, shelf.left_out);
      }
    }
    if (c.made_to_measure() || !c.sizes_mm.empty()) shelf.choices.push_back(std::move(c));
    else shelf.refused.push_back({o.name, Refused::Of::no_sizes});
  }
  return shelf;
}

std::vector<double> sizes_about(const Choice& choice, double size_mm) {
  if (choice.made_to_measure() || size_mm == 0.0) return {};
  std::optional<double> below, above;
  for (const double size : choice.sizes_mm) {
    if (std::fabs(size - size_mm) < same_size_mm) return {};
    if (size < size_mm && (!below || size > *below)) below = size;
    if (size > size_mm && (!above || size < *above)) above = size;
  }
  std::vector<double> about;
  if (below && *below != 0.0) about.push_back(*below);
  if (above) about.push_back(*above);
  return about;
}

Fit nothing_fitted(const Shelf& shelf) {
  return {std::vector<BySide<SizeOrPlace>>(shelf.choices.size())};
}

void set_size(Fit& fit, std::size_t choice, double size_mm) {
  for (const Side side : each_side) fit.part[choice][side].size_mm = size_mm;
}

void set_place(Fit& fit, std::size_t choice, const Vec3<double>& by_mm) {
  for (const Side side : each_side) fit.part[choice][side].by_mm = by_mm;
}

bool sides_alike(const Fit& fit) {
  return std::all_of(fit.part.begin(), fit.part.end(),
                     [](const auto& p) { return p.left == p.right; });
}

std::vector<PartMove<double>> moves_of(const Shelf& shelf, const Fit& fit, Side side) {
  std::vector<PartMove<double>> moves;
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const auto& c = shelf.choices[i];
    // Body axes of the left side are its corner axes; on the right both are mirror images.
    const auto& part = fit.part[i][side];
    const auto by = c.made_to_measure() ? part.by_mm : part.size_mm * c.along[side];
    if (length(by) > 0.0) moves.push_back({c.option.joint, by});
  }
  return moves;
}

std::vector<Fit> combinations(Shelf& shelf, std::size_t most) {
  const auto count = [&] {
    double n = 1.0;
    for (const auto& c : shelf.choices)
      if (!c.made_to_measure()) n *= static_cast<double>(c.sizes_mm.size());
    return n;
  };
  const double all = count();
  while (count() > static_cast<double>(most)) {
    auto longest = std::max_element(
        shelf.choices.begin(), shelf.choices.end(),
        [](const Choice& a, const Choice& b) { return a.sizes_mm.size() < b.sizes_mm.size(); });
    std::vector<double> thinned;
    for (std::size_t i = 0; i < longest->sizes_mm.size(); i += 2)
      thinned.push_back(longest->sizes_mm[i]);
    longest->sizes_mm = std::move(thinned);
  }
  if (count() < all)
    shelf.left_out.push_back({NotTried::Of::combinations, "", 0, 0.0, all, count()});
  std::vector<Fit> fits{nothing_fitted(shelf)};
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    if (shelf.choices[i].made_to_measure()) continue;
    std::vector<Fit> longer;
    for (const auto& fit : fits)
      for (const double size : shelf.choices[i].sizes_mm) {
        longer.push_back(fit);
        set_size(longer.back(), i, size);
      }
    fits = std::move(longer);
  }
  return fits;
}

}  // namespace trammel
