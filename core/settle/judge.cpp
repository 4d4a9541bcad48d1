#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/in_units.h"
#include "settle/settling.h"

namespace trammel {
namespace {

constexpr double worth_saying_mm = 0.5;   // of a spring's length, a stop's gap
constexpr double lengths_agree_mm = 8.0;  // of a free length and what the weights make of it

// Whole millimetres; inches as they are shown anywhere.
std::string whole(const InUnits& t, double mm) {
  return t.units() == Units::inch ? t.mm(mm) : fmt::format("{:.0f}\u00a0mm", mm);
}

class Judge {
 public:
  Judge(const Settling& s, Units units)
      : s_(s), t_(units), state_(s.states[s.corrected.value_or(s.sits)]) {}

  std::vector<Judgement> all() {
    each(&Judge::spring);
    each(&Judge::stop);
    each(&Judge::links);
    return std::move(all_);
  }

 private:
  void each(Judgement (Judge::*of)(const AxleSettled&) const) {
    for (const auto& a : state_.axle)
      if (a)
        if (auto j = (this->*of)(*a); !j.of.empty()) all_.push_back(std::move(j));
  }
  static std::string key(const AxleSettled& a, const char* what) {
    return fmt::format("[{}.{}", word(a.axle), what);
  }
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

  Judgement spring(const AxleSettled& a) const {
    Judgement j{fmt::format("{} spring", word(a.axle)), {}, {}};
    captive(a, j);
    std::string tight;  // told last
    coils(a, j, tight);
    lengths(a, j);
    if (!tight.empty()) j.fails.push_back(tight);
    return j;
  }
  // By the free length and by what stands on it the worse one counts.
  void captive(const AxleSettled& a, Judgement& j) const {
    const auto side = worse(a, &CornerSettled::loose_mm, 1.0);
    if (!side) {
      const bool placed = a.side[0].rate.has_value();
      j.unjudged.push_back({"whether it stays in its seats at full droop",
                            placed ? key(a, "spring] free_length, or corner_weights under [body]")
                                   : key(a, "spring] top, foot, rate and free_length")});
      return;
    }
    const auto& c = a.at(*side);
    if (c.droop_is_usual) {
      j.unjudged.push_back({"whether it stays in its seats at full droop",
                            fmt::format("[{0}.damper] open, or [{0}.stop] droop", word(a.axle))});
      return;
    }
    if (*c.loose_mm <= worth_saying_mm) return;
    std::string by;
    if (c.loose_by_length_mm && c.loose_by_weight_mm &&
        std::fabs(*c.loose_by_length_mm - *c.loose_by_weight_mm) > worth_saying_mm) {
      const bool by_length = *c.loose_by_length_mm > *c.loose_by_weight_mm;
      const double other = by_length ? *c.loose_by_weight_mm : *c.loose_by_length_mm;
      by = fmt::format(
          " by its {} ({} by its {})", by_length ? "free length" : "weight",
          other > 0.0 ? whole(t_, other) : fmt::format("still pressed by {}", whole(t_, -other)),
          by_length ? "weight" : "free length");
    }
    j.fails.push_back(
        fmt::format("the {} one is loose by {} at full droop{}: fit a helper spring or limit the "
                    "droop",
                    word(*side), whole(t_, *c.loose_mm), by));
  }
  void coils(const AxleSettled& a, Judgement& j, std::string& tight) const {
    const auto side = worse(a, &CornerSettled::bind_room_mm, -1.0);
    if (!side) {
      const bool solid = a.side[0].mark(TravelEnd::solid).has_value();
      j.unjudged.push_back(
          {"whether its coils touch before the stop is solid",
           solid ? key(a, "spring] solid_length, or wire and coils")
                 : fmt::format("[{0}.stop] gap, free_length and solid_length, and [{0}.spring] "
                               "solid_length",
                               word(a.axle))});
      return;
    }
    const double room = *a.at(*side).bind_room_mm;
    if (room < 0.0)
      j.fails.push_back(
          fmt::format("the coils of the {} one are solid {} before the stop is: the spring ends "
                      "the travel, steel on steel",
                      word(*side), t_.mm(-room)));
    else if (room < before_bind_mm)
      tight = fmt::format(
          "with the stop solid only {} are left before the coils of the {} one "
          "touch, {} wanted (common practice)",
          t_.mm(room), word(*side), whole(t_, before_bind_mm));
  }
  void lengths(const AxleSettled& a, Judgement& j) const {
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
            {"whether its free length and its load agree",
             free ? fmt::format("corner_weights under [body], and [{}.spring] rate", word(a.axle))
                  : key(a, "spring] free_length")});
      return;
    }
    if (std::fabs(off) > lengths_agree_mm)
      j.fails.push_back(
          fmt::format("weight and rate make the {} one {} long when free, the file says {}: one "
                      "of the three, or where its seats are, is wrong",
                      word(*worst), t_.mm(*free + off), t_.mm(*free)));
  }

  Judgement stop(const AxleSettled& a) const {
    Judgement j{fmt::format("{} bump stop", word(a.axle)), {}, {}};
    const auto side = worse(a, &CornerSettled::gap_mm, -1.0);
    if (!side) {
      j.unjudged.push_back({"its clearance at ride height", key(a, "stop] gap")});
    } else if (const double gap = *a.at(*side).gap_mm; gap <= 0.0) {
      j.fails.push_back(
          fmt::format("the {} one is pressed at ride height: the car rides on it", word(*side)));
    } else if (gap < gap_least_mm) {
      j.fails.push_back(
          fmt::format("{} of clearance at ride height on the {}, {} at least "
                      "(common practice)",
                      t_.mm(gap), word(*side), whole(t_, gap_least_mm)));
    }
    const auto& c = a.side[0];
    const auto solid = c.mark(TravelEnd::solid), closed = c.mark(TravelEnd::closed);
    if (solid && closed && *closed <= *solid)
      j.fails.insert(j.fails.begin(), "the damper closes before it is solid: metal meets metal");
    if (!solid)
      j.unjudged.push_back({"where it is solid", key(a, "stop] free_length and solid_length")});
    else if (!closed)
      j.unjudged.push_back(
          {"whether it is solid before the damper closes", key(a, "damper] closed")});
    return j;
  }

  Judgement links(const AxleSettled& a) const {
    Judgement j;
    if (!a.bar_nmm_per_rad && !a.link[0]) return j;
    j.of = fmt::format("{} drop links", word(a.axle));
    if (!a.link[0]) {
      j.unjudged.push_back(
          {"their angle over the travel", key(a, "roll_bar] pivot, link_bar and link")});
      return j;
    }
    for (const Side side : {Side::left, Side::right})
      if (const auto& l = a.link[static_cast<std::size_t>(side)];
          l && j.fails.empty() &&
          (l->least_rad < link_over_centre_rad ||
           l->most_rad > std::numbers::pi - link_over_centre_rad))
        j.fails.push_back(fmt::format(
            "lever and {} link come near one line over the travel: the bar may go over centre and "
            "lock",
            word(side)));
    return j;
  }

  const Settling& s_;
  InUnits t_;
  const StateSettled& state_;
  std::vector<Judgement> all_;
};

}  // namespace

std::vector<Judgement> judge(const Settling& settling, Units units) {
  return Judge(settling, units).all();
}

}  // namespace trammel
