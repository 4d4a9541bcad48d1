#include <algorithm>
#include <cmath>
#include <numbers>

#include "settle/settling.h"

namespace trammel {
namespace {

constexpr double worth_saying_mm = 0.5;   // of a spring's length, a stop's gap
constexpr double lengths_agree_mm = 8.0;  // of a free length and what the weights make of it

class Judge {
 public:
  explicit Judge(const Settling& s) : s_(s), state_(s.states[s.corrected.value_or(s.sits)]) {}

  std::vector<SprungJudged> all() {
    for (const auto& look : {&Judge::spring, &Judge::stop, &Judge::links})
      for (const auto& a : state_.axle)
        if (a)
          if (auto j = (this->*look)(*a)) all_.push_back(std::move(*j));
    return std::move(all_);
  }

 private:
  // The side with the most (sign 1) or the least (sign -1) of something, where both or one have it.
  static std::optional<Side> worse(const AxleSettled& a, std::optional<double> CornerSettled::*what,
                                   double sign) {
    std::optional<Side> found;
    for (const Side side : {Side::left, Side::right})
      if (const auto& v = a.at(side).*what;
          v && (!found || sign * *v > sign * *(a.at(*found).*what)))
        found = side;
    return found;
  }

  std::optional<SprungJudged> spring(const AxleSettled& a) const {
    SprungJudged j{{Sprung::Of::spring, a.axle}, {}, {}};
    captive(a, j);
    std::optional<Unwell> tight;  // told last
    coils(a, j, tight);
    lengths(a, j);
    if (tight) j.fails.push_back(*tight);
    return j;
  }
  // By the free length and by what stands on it the worse one counts.
  static void captive(const AxleSettled& a, SprungJudged& j) {
    const auto side = worse(a, &CornerSettled::loose_mm, 1.0);
    if (!side) {
      j.unjudged.push_back({a.side[0].rate ? SprungNotJudged::Of::droop_of_placed
                                           : SprungNotJudged::Of::droop_of_unplaced,
                            a.axle});
      return;
    }
    const auto& c = a.at(*side);
    if (c.droop_is_usual) {
      j.unjudged.push_back({SprungNotJudged::Of::droop_taken, a.axle});
      return;
    }
    if (*c.loose_mm <= worth_saying_mm) return;
    Unwell loose{Unwell::Of::loose, *side, *c.loose_mm};
    if (c.loose_by_length_mm && c.loose_by_weight_mm &&
        std::fabs(*c.loose_by_length_mm - *c.loose_by_weight_mm) > worth_saying_mm) {
      const bool by_length = *c.loose_by_length_mm > *c.loose_by_weight_mm;
      loose.by = by_length ? Unwell::By::free_length : Unwell::By::weight;
      loose.other_mm = by_length ? *c.loose_by_weight_mm : *c.loose_by_length_mm;
    }
    j.fails.push_back(loose);
  }
  static void coils(const AxleSettled& a, SprungJudged& j, std::optional<Unwell>& tight) {
    const auto side = worse(a, &CornerSettled::bind_room_mm, -1.0);
    if (!side) {
      j.unjudged.push_back({a.side[0].mark(TravelEnd::solid) ? SprungNotJudged::Of::coils
                                                             : SprungNotJudged::Of::coils_and_stop,
                            a.axle});
      return;
    }
    const double room = *a.at(*side).bind_room_mm;
    if (room < 0.0) j.fails.push_back({Unwell::Of::coils_solid, *side, -room});
    else if (room < before_bind_mm) tight = Unwell{Unwell::Of::coils_close, *side, room};
  }
  void lengths(const AxleSettled& a, SprungJudged& j) const {
    const auto& free = s_.free_length_mm[static_cast<std::size_t>(a.axle)];
    std::optional<Side> worst;
    double off = 0.0;
    for (const Side side : {Side::left, Side::right})
      if (const auto& by = a.at(side).free_length_by_weight_mm; by && free)
        if (!worst || std::fabs(*by - *free) > std::fabs(off)) {
          worst = side;
          off = *by - *free;
        }
    if (!worst) {
      if (a.side[0].spring_length_mm)
        j.unjudged.push_back(
            {free ? SprungNotJudged::Of::load : SprungNotJudged::Of::free_length, a.axle});
      return;
    }
    if (std::fabs(off) > lengths_agree_mm)
      j.fails.push_back({Unwell::Of::free_length, *worst, *free + off, *free});
  }

  std::optional<SprungJudged> stop(const AxleSettled& a) const {
    SprungJudged j{{Sprung::Of::bump_stop, a.axle}, {}, {}};
    const auto side = worse(a, &CornerSettled::gap_mm, -1.0);
    if (!side) j.unjudged.push_back({SprungNotJudged::Of::gap, a.axle});
    else if (const double gap = *a.at(*side).gap_mm; gap <= 0.0)
      j.fails.push_back({Unwell::Of::pressed, *side});
    else if (gap < gap_least_mm) j.fails.push_back({Unwell::Of::little_gap, *side, gap});
    const auto& c = a.side[0];
    const auto solid = c.mark(TravelEnd::solid), closed = c.mark(TravelEnd::closed);
    if (solid && closed && *closed <= *solid)
      j.fails.insert(j.fails.begin(), Unwell{Unwell::Of::metal_to_metal});
    if (!solid) j.unjudged.push_back({SprungNotJudged::Of::solid_stop, a.axle});
    else if (!closed) j.unjudged.push_back({SprungNotJudged::Of::closed_damper, a.axle});
    return j;
  }

  std::optional<SprungJudged> links(const AxleSettled& a) const {
    if (!a.bar_nmm_per_rad && !a.link[0]) return {};
    SprungJudged j{{Sprung::Of::drop_links, a.axle}, {}, {}};
    if (!a.link[0]) {
      j.unjudged.push_back({SprungNotJudged::Of::links, a.axle});
      return j;
    }
    for (const Side side : {Side::left, Side::right})
      if (const auto& l = a.link[static_cast<std::size_t>(side)];
          l && j.fails.empty() &&
          (l->least_rad < link_over_centre_rad ||
           l->most_rad > std::numbers::pi - link_over_centre_rad))
        j.fails.push_back({Unwell::Of::over_centre, side});
    return j;
  }

  const Settling& s_;
  const StateSettled& state_;
  std::vector<SprungJudged> all_;
};

}  // namespace

std::vector<SprungJudged> judge(const Settling& settling) { return Judge(settling).all(); }

}  // namespace trammel
