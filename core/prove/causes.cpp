#include "prove/causes.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>
#include <utility>

#include "base/statistics.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr double same_test = 1.0, same_signature = 0.9;  // as for readings that disagree
// Farther than this a joint is not bent but missing, and a jack not misread but forgotten.
constexpr double farthest_joint_mm = 15.0, farthest_zero_mm = 20.0;
constexpr double too_large = 10.0;      // of the ± that the run itself is set up to
constexpr std::size_t most_sizes = 60;  // of one stack that are tried

class Search {
 public:
  Search(const Ride& ride, const RunSetUp& as, const GaugeRun& run, const RunModel& model,
         const RunSums& sums)
      : ride_(ride), as_(as), run_(run), model_(model), sums_(sums), test_(run_test(sums)) {}

  Causes found() {
    joints();
    parts();
    signs();
    travel_sign();
    travel_zero();
    hooks();
    rows();
    return grouped();
  }

 private:
  struct Tried {
    Cause cause;
    std::vector<double> signature;
  };

  const Layout& layout() const { return ride_.car.at(as_.axle)->layout; }
  // A signature: for each dial of each row of the run, what `of` says at its travel.
  template <class F>
  std::vector<double> by_rows(const F& of) const {
    std::vector<double> signature(sums_.off_mm.size());
    for (std::size_t d = 0; d < sums_.dials.size(); ++d) {
      const ShownByModel shown(model_, sums_.dials[d], d);
      for (std::size_t i = 0; i < run_.rows.size(); ++i)
        signature[sums_.row(i, d)] = of(shown, model_.place(run_.rows[i].travel_mm), i);
    }
    return signature;
  }
  bool holds(double chi_square) const {
    return chi_square_above(chi_square, sums_.degrees) >= false_alarm;
  }

  // A cause of any size: what one unit of it does to the rows.
  void of_any_size(Cause cause, std::vector<double> signature, double most) {
    const double own = weighed(sums_.weight, signature, signature);
    if (!(own > 0.0)) return;
    const double with = weighed(sums_.weight, signature, sums_.off_mm);
    cause.by = with / own;
    cause.sigma = 1.0 / std::sqrt(own);
    cause.better = with * with / own;
    // With one more unknown a degree of freedom is gone.
    cause.explains = sums_.degrees > 1 && chi_square_above(test_.chi_square - cause.better,
                                                           sums_.degrees - 1) >= false_alarm;
    if (std::fabs(cause.by) <= most) tried_.push_back({std::move(cause), std::move(signature)});
  }

  // One of a few: the rows are `off` then.
  void as_it_is(Cause cause, const std::vector<double>& off) {
    const double chi_square = weighed(sums_.weight, off, off);
    cause.better = test_.chi_square - chi_square;
    cause.explains = holds(chi_square);
    std::vector<double> signature;
    for (std::size_t i = 0; i < off.size(); ++i) signature.push_back(sums_.off_mm[i] - off[i]);
    tried_.push_back({std::move(cause), std::move(signature)});
  }

  void joints() {
    for (std::size_t k = 0; k < model_.inputs.size(); ++k) {
      const auto& input = model_.inputs[k];
      // The wheel's centre is where travel is counted, and bends nothing.
      if (input.of != RunInput::Of::number || input.number >= camber_number(layout()) ||
          input.number < 3)
        continue;
      Cause c;
      c.kind = Cause::Kind::joint;
      c.joint = layout().points[static_cast<std::size_t>(input.number / 3)];
      c.axis = input.number % 3;
      // Said in body axes, where the right side's y runs the other way.
      const double sign = c.axis == 1 && as_.side == Side::right ? -1.0 : 1.0;
      auto signature = by_rows([&](const ShownByModel& shown, std::size_t at, std::size_t) {
        return sign * shown.unit_mm(at) *
               shown.per_input()(static_cast<int>(at), static_cast<int>(k));
      });
      of_any_size(std::move(c), std::move(signature), farthest_joint_mm);
    }
  }

  // Every row less what the model shows at `travels`, one for each row, with `fit` in.
  std::optional<std::vector<double>> off_with(const Fit& fit,
                                              const std::vector<double>& travels) const {
    RunSetUp other = as_;
    other.fit = fit;
    const auto curve = run_curve(ride_, other, travels);
    if (!curve.value) return {};
    std::vector<double> off;
    for (std::size_t i = 0; i < run_.rows.size(); ++i)
      for (std::size_t d = 0; d < sums_.dials.size(); ++d) {
        const auto& dial = sums_.dials[d];
        off.push_back(read_mm(dial, run_.rows[i]) -
                      (dial.of == DialRow::Of::toe
                           ? dial.apart_mm * std::tan(curve.value->toe_rad[i])
                           : curve.value->shown[d].mm[i]));
      }
    return off;
  }

  // Bump written as droop: every row belongs at the other end of the travel.
  void travel_sign() {
    Cause c;
    c.kind = Cause::Kind::travel_sign;
    std::vector<double> travels;
    for (const auto& row : run_.rows) travels.push_back(-row.travel_mm);
    if (const auto off = off_with(as_.fit, travels)) as_it_is(std::move(c), *off);
  }

  void parts() {
    std::vector<double> travels;
    for (const auto& row : run_.rows) travels.push_back(row.travel_mm);
    const auto try_fit = [&](const Fit& fit, Cause cause) {
      if (const auto off = off_with(fit, travels)) as_it_is(std::move(cause), *off);
    };
    const auto& choices = as_.shelf.choices;
    std::size_t fitted = 0;
    for (std::size_t i = 0; i < choices.size(); ++i) {
      Cause c;
      c.kind = Cause::Kind::part_size;
      c.option = choices[i].option.name;
      const auto& part = as_.fit.part[i][as_.side];
      c.fitted_mm = part.size_mm;
      if (choices[i].made_to_measure()) {
        if (length(part.by_mm) == 0.0) continue;
        ++fitted;
        c.fitted_mm = length(part.by_mm);
        Fit fit = as_.fit;
        fit.part[i][as_.side] = {};
        try_fit(fit, c);
        continue;
      }
      if (part.size_mm != 0.0) ++fitted;
      std::vector<double> sizes = choices[i].sizes_mm;
      sizes.push_back(0.0);
      // The nearest sizes are the ones that get mixed up.
      std::sort(sizes.begin(), sizes.end(), [&](double a, double b) {
        return std::fabs(a - c.fitted_mm) < std::fabs(b - c.fitted_mm);
      });
      sizes.erase(std::unique(sizes.begin(), sizes.end()), sizes.end());
      if (sizes.size() > most_sizes) sizes.resize(most_sizes);
      for (const double size : sizes) {
        if (size == c.fitted_mm) continue;
        Fit fit = as_.fit;
        fit.part[i][as_.side].size_mm = c.size_mm = size;
        try_fit(fit, c);
      }
    }
    if (fitted < 2) return;
    Cause none;
    none.kind = Cause::Kind::no_parts;
    try_fit(nothing_fitted(as_.shelf), none);
  }

  // As if every row had been read as `turn` makes it.
  template <class F>
  void signs_as(Cause::Of of, const F& turn) {
    Cause c;
    c.kind = Cause::Kind::signs;
    c.of = of;
    std::vector<double> off;
    for (const auto& row : run_.rows)
      for (const auto& dial : sums_.dials)
        off.push_back(sums_.off_mm[off.size()] + (read_mm(dial, turn(row)) - read_mm(dial, row)));
    as_it_is(std::move(c), off);
  }

  void signs() {
    const auto both = [](GaugeRow r) {
      r.front_mm = -r.front_mm;
      r.rear_mm = -r.rear_mm;
      return r;
    };
    const auto low = [](GaugeRow r) {
      r.low_mm = -*r.low_mm;
      return r;
    };
    const bool two = sums_.dials.size() == 1;
    signs_as(two ? Cause::Of::two : Cause::Of::both_upper, both);
    if (two) return;
    signs_as(Cause::Of::exchanged, [](GaugeRow r) {
      std::swap(r.front_mm, r.rear_mm);
      return r;
    });
    if (!run_.drop_mm) return;
    signs_as(Cause::Of::low, low);
    signs_as(Cause::Of::all, [&](const GaugeRow& r) { return low(both(r)); });
  }

  void travel_zero() {
    Cause c;
    c.kind = Cause::Kind::travel_zero;
    auto signature = by_rows([](const ShownByModel& shown, std::size_t at, std::size_t) {
      return shown.per_travel(at);
    });
    of_any_size(std::move(c), std::move(signature), farthest_zero_mm);
    if (tried_.empty() || tried_.back().cause.kind != Cause::Kind::travel_zero) return;
    auto& zero = tried_.back().cause;
    zero.too_large = std::fabs(zero.by) > too_large * run_.zero_sigma_mm;
  }

  // From a travel towards an end toe leaves the curve in proportion to what is beyond.
  void hooks() {
    std::set<double> travels;
    for (const auto& row : run_.rows) travels.insert(row.travel_mm);
    for (const double way : {1.0, -1.0}) {
      const double end = way > 0.0 ? *travels.rbegin() : *travels.begin();
      if (!(way * end > 0.0)) continue;
      for (const double from : travels) {
        if (way * from < 0.4 * way * end || from == end) continue;
        Cause c;
        c.kind = Cause::Kind::hook;
        c.from_mm = from;
        auto signature = by_rows([&](const ShownByModel& shown, std::size_t at, std::size_t i) {
          return shown.per_toe(at) * std::max(0.0, (run_.rows[i].travel_mm - from) / (end - from));
        });
        of_any_size(std::move(c), std::move(signature), 1e9);
      }
    }
  }

  // One dial misread once. Of the difference of two dials nobody knows which.
  void rows() {
    const bool two = sums_.dials.size() == 1;
    for (std::size_t i = 0; i < run_.rows.size(); ++i)
      for (const Dial dial : {Dial::rear, Dial::front, Dial::low}) {
        if ((two && dial != Dial::rear) || (dial == Dial::low && !run_.drop_mm)) continue;
        Cause c;
        c.kind = Cause::Kind::row;
        c.row = i;
        c.from_mm = run_.rows[i].travel_mm;
        c.of = two                  ? Cause::Of::two
               : dial == Dial::low  ? Cause::Of::low
               : dial == Dial::rear ? Cause::Of::rear
                                    : Cause::Of::front;
        std::vector<double> signature(sums_.off_mm.size(), 0.0);
        for (std::size_t d = 0; d < sums_.dials.size(); ++d)
          signature[sums_.row(i, d)] = sums_.dials[d].dials[static_cast<std::size_t>(dial)];
        of_any_size(std::move(c), std::move(signature), 1e9);
      }
  }

  Causes grouped() {
    Causes causes;
    std::stable_sort(tried_.begin(), tried_.end(), [](const Tried& a, const Tried& b) {
      return a.cause.better > b.cause.better;
    });
    for (const auto& t : tried_) causes.any_explains = causes.any_explains || t.cause.explains;
    const auto usable = [&](const Tried& t) { return t.cause.explains || !causes.any_explains; };
    auto best = std::find_if(tried_.begin(), tried_.end(),
                             [&](const Tried& t) { return usable(t) && !t.cause.too_large; });
    if (best == tried_.end()) best = std::find_if(tried_.begin(), tried_.end(), usable);
    if (best == tried_.end() || best->cause.better <= 0.0) return causes;
    const double test = std::sqrt(best->cause.better);
    const double own = weighed(sums_.weight, best->signature, best->signature);
    std::set<std::string> named;  // a joint or a part once, with what suits it best
    for (auto t = tried_.begin(); t != tried_.end(); ++t) {
      if (t < best && !t->cause.too_large) continue;
      if (t->cause.better <= 0.0 || (causes.any_explains && !t->cause.explains)) continue;
      const double alike = weighed(sums_.weight, t->signature, best->signature) /
                           std::sqrt(own * weighed(sums_.weight, t->signature, t->signature));
      const bool near = test - std::sqrt(t->cause.better) <= same_test;
      if (t->cause.too_large && !best->cause.too_large) {
        if (near || (causes.any_explains && std::fabs(alike) > same_signature))
          causes.less_likely.push_back(t->cause);
        continue;
      }
      if (t != best && !near && !(causes.any_explains && std::fabs(alike) > same_signature))
        continue;
      const auto name =
          std::to_string(static_cast<int>(t->cause.kind)) + t->cause.joint + t->cause.option;
      if (named.insert(name).second) causes.likely.push_back(t->cause);
    }
    return causes;
  }

  const Ride& ride_;
  const RunSetUp& as_;
  const GaugeRun& run_;
  const RunModel& model_;
  const RunSums& sums_;
  RunTest test_;
  std::vector<Tried> tried_;
};

}  // namespace

std::string_view word(Cause::Kind kind) {
  switch (kind) {
    case Cause::Kind::joint:
      return "joint";
    case Cause::Kind::part_size:
      return "part size";
    case Cause::Kind::no_parts:
      return "no parts";
    case Cause::Kind::signs:
      return "signs";
    case Cause::Kind::travel_sign:
      return "travel sign";
    case Cause::Kind::travel_zero:
      return "travel zero";
    case Cause::Kind::hook:
      return "hook";
    case Cause::Kind::row:
      break;
  }
  return "row";
}

Causes causes_of(const Ride& ride, const RunSetUp& as, const GaugeRun& run, const RunModel& model,
                 const RunSums& sums) {
  return Search(ride, as, run, model, sums).found();
}

}  // namespace trammel
