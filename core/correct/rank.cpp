#include "correct/rank.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "correct/optimise.h"
#include "parts/shelf.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

constexpr int samples_for_all = 200;
constexpr std::size_t leaders = 12;
constexpr int most_rounds = 6;
constexpr std::uint64_t first_seed = 7, fresh_seed = 70, sides_seed = 77;
constexpr std::size_t most_combinations = 4000;
constexpr std::size_t most_optimised = 300;  // each costs some milliseconds
constexpr double worth_a_share = 0.9;        // unlike sides, where nothing is uncertain
constexpr double worth_a_chance = 0.03;      // and where it is; what samples tell apart besides
constexpr std::size_t unlike_tried = 6;

double thickness(const Fit& fit) {
  double t = 0.0;
  for (const auto& part : fit.part)
    for (const Side side : each_side)
      t += 0.5 * (std::fabs(part[side].size_mm) + length(part[side].by_mm));
  return t;
}

// The impossible last; by chance where it is known, then by what is missed and used up.
void sort_best_first(std::vector<Candidate>& candidates) {
  std::stable_sort(
      candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) {
        const auto key = [](const Candidate& c) {
          return std::make_tuple(
              !c.figures.has_value(), -c.chance.value_or(0.0), !c.meets(), c.stop.has_value(),
              c.share, c.figures ? c.figures->worse().toe_change_max_rad : 0.0, thickness(c.fit));
        };
        return key(a) < key(b);
      });
}

// Every candidate on the same cars.
void give_chances(DrawnAxle& cars, const Shelf& shelf, std::vector<Candidate>& candidates,
                  const Progress& progress) {
  std::vector<Fit> fits;
  std::vector<Candidate*> of;
  for (auto& c : candidates) {
    if (!c.figures) continue;
    c.chance = 0.0;
    c.chance_samples = samples_for_all;
    if (c.at_a_limit) continue;
    fits.push_back(c.fit);
    of.push_back(&c);
  }
  const auto count = met(cars, shelf, fits, samples_for_all, progress);
  for (std::size_t i = 0; i < of.size(); ++i)
    of[i]->chance = static_cast<double>(count[i]) / samples_for_all;
  sort_best_first(candidates);
}

// The best of many always looks too good: the leaders are counted again on fresh cars until those
// in front are all leaders, and compared car by car.
class Leaders {
 public:
  Leaders(const DrawnAxle& fresh, const Shelf& shelf) : fresh_(fresh), shelf_(shelf) {}

  void count(std::vector<Candidate>& candidates) {
    for (int round = 0; round < most_rounds; ++round) {
      std::vector<Fit> fits;
      std::vector<Candidate*> of;
      for (std::size_t i = 0; i < std::min(leaders, candidates.size()); ++i) {
        auto& c = candidates[i];
        if (c.at_a_limit || c.chance.value_or(0.0) == 0.0 || met_by(c.fit)) continue;
        fits.push_back(c.fit);
        of.push_back(&c);
      }
      if (fits.empty()) break;
      count(fits, of);
      sort_best_first(candidates);
    }
  }
  // One more that is to be compared with them.
  void count(Candidate& c) { count({c.fit}, {&c}); }

  const std::vector<bool>* met_by(const Fit& fit) const {
    for (const auto& c : counted_)
      if (c.fit == fit) return &c.met;
    return nullptr;
  }

  // Which of the others cannot be told from the first.
  void compare(std::vector<Candidate>& candidates) const {
    if (candidates.empty()) return;
    const auto* best = met_by(candidates.front().fit);
    for (auto& c : candidates) {
      c.equal_to_best = false;
      if (!best || &c == &candidates.front()) continue;
      if (const auto* other = met_by(c.fit)) c.equal_to_best = equal_chances(*best, *other);
    }
  }

 private:
  struct Counted {
    Fit fit;
    std::vector<bool> met;  // by car
  };
  void count(const std::vector<Fit>& fits, const std::vector<Candidate*>& of) {
    DrawnAxle cars = fresh_;  // from the start: all leaders meet the same cars
    auto met = met_by_sample(cars, shelf_, fits, samples_for_leaders);
    for (std::size_t i = 0; i < of.size(); ++i) {
      of[i]->chance =
          static_cast<double>(std::count(met[i].begin(), met[i].end(), true)) / samples_for_leaders;
      of[i]->chance_samples = samples_for_leaders;
      counted_.push_back({fits[i], std::move(met[i])});
    }
  }

  const DrawnAxle& fresh_;
  const Shelf& shelf_;
  std::vector<Counted> counted_;
};

// The choices that move an end of the rod that sets toe.
std::vector<std::size_t> rod_choices(const Axle& axle, const Shelf& shelf) {
  std::vector<std::size_t> all;
  if (!axle.toe_adjuster) return all;
  const auto& rod = axle.layout.rods[static_cast<std::size_t>(axle.toe_adjuster->rod)];
  for (std::size_t i = 0; i < shelf.choices.size(); ++i) {
    const int joint = shelf.choices[i].option.joint;
    if (joint == rod.inner || joint == rod.upright) all.push_back(i);
  }
  return all;
}

// Every size of one choice on each side, all else as `base`: the pairs of unlike sizes that use
// least of the tolerances, best first. A side is solved once for each size.
std::vector<Fit> unlike_sizes(const SetJudge& judge, const Shelf& shelf, const Fit& base,
                              std::size_t choice) {
  const auto& sizes = shelf.choices[choice].sizes_mm;
  BySide<std::vector<std::optional<WheelJudged>>> wheels;
  for (const Side side : each_side)
    for (const double size : sizes) {
      Fit fit = base;
      set_size(fit, choice, size);
      wheels[side].push_back(judge.wheel(shelf, fit, side, true).value);
    }
  struct Pair {
    double share;
    std::size_t left, right;
  };
  std::vector<Pair> pairs;
  for (std::size_t l = 0; l < sizes.size(); ++l)
    for (std::size_t r = 0; r < sizes.size(); ++r) {
      const auto &a = wheels.left[l], &b = wheels.right[r];
      if (std::fabs(sizes[l] - sizes[r]) < same_size_mm || !a || !b) continue;
      pairs.push_back({judge
                           .shares({a->figures, b->figures},
                                   0.5 * (a->roll_centre_height_mm + b->roll_centre_height_mm))
                           .largest(),
                       l, r});
    }
  std::stable_sort(pairs.begin(), pairs.end(),
                   [](const Pair& a, const Pair& b) { return a.share < b.share; });
  std::vector<Fit> fits;
  for (const auto& p : pairs) {
    if (fits.size() == unlike_tried) break;
    fits.push_back(base);
    fits.back().part[choice].left.size_mm = sizes[p.left];
    fits.back().part[choice].right.size_mm = sizes[p.right];
  }
  return fits;
}

// Sets whose sides differ at the toe rod, from the sets in front.
std::vector<Candidate> unlike_sets(const SetJudge& judge, const Ranking& r) {
  std::vector<Candidate> found;
  std::vector<Fit> bases;
  for (const std::size_t choice : rod_choices(judge.axle(), r.shelf)) {
    bases.clear();
    for (std::size_t i = 0; i < std::min(leaders, r.candidates.size()); ++i) {
      if (!r.candidates[i].figures) break;
      Fit base = r.candidates[i].fit;
      if (r.shelf.choices[choice].made_to_measure()) {
        if (i < unlike_tried)
          if (const auto fit = optimised_by_side(judge, r.shelf, base); fit && !sides_alike(*fit))
            found.push_back(judge.judge(r.shelf, *fit));
        continue;
      }
      set_size(base, choice, 0.0);
      if (std::find(bases.begin(), bases.end(), base) != bases.end()) continue;
      for (const auto& fit : unlike_sizes(judge, r.shelf, base, choice))
        found.push_back(judge.judge(r.shelf, fit));
      bases.push_back(std::move(base));
    }
  }
  std::erase_if(found, [](const Candidate& c) { return !c.figures; });
  std::stable_sort(found.begin(), found.end(),
                   [](const Candidate& a, const Candidate& b) { return a.share < b.share; });
  if (found.size() > unlike_tried) found.resize(unlike_tried);
  return found;
}

// Without anything uncertain: unlike sides come in where no set with both alike meets.
void add_unlike(const SetJudge& judge, Ranking& r) {
  if (!r.best() || r.best()->meets()) return;
  const double enough = worth_a_share * r.best()->share;
  for (auto& c : unlike_sets(judge, r))
    if (c.share < enough) r.candidates.push_back(std::move(c));
  sort_best_first(r.candidates);
}

// By chance: where they are clearly better than the best with both sides alike.
void add_unlike(const SetJudge& judge, Ranking& r, Leaders& counted) {
  if (!r.best()) return;
  const double alike = r.best()->chance.value_or(0.0);
  const auto* best = counted.met_by(r.best()->fit);
  for (auto& c : unlike_sets(judge, r)) {
    c.chance = 0.0;
    c.chance_samples = samples_for_leaders;
    if (c.at_a_limit) continue;
    counted.count(c);
    const auto* met = counted.met_by(c.fit);
    if (*c.chance > alike + worth_a_chance && (!best || !equal_chances(*best, *met)))
      r.candidates.push_back(std::move(c));
  }
  sort_best_first(r.candidates);
}

}  // namespace

Answer<Ranking, NothingToRank> unranked(const Ride& ride, const Spread& spread, AxleName name,
                                        const Wishes& wishes) {
  const SetJudge judge(ride, name, wishes);
  Ranking r;
  r.axle = name;
  r.wanted = judge.wanted();
  const auto before = judge.before();
  if (!before.value) return {{}, {name, before.why}};
  r.before = *before.value;
  r.toe_is_reset = judge.corner(Side::left).setting.toe_rad.has_value();
  r.sides_apart = judge.sides_apart();
  r.guessed = joints_are_guesses(judge.axle().layout, spread);
  r.shelf = shelf_for(wishes.options, judge.corner(Side::left), judge.corner(Side::right));
  if (r.shelf.choices.empty()) return {{}, {name, {}, std::move(r.shelf.refused)}};
  return {std::move(r), {}};
}

Answer<Ranking, NothingToRank> rank(const Ride& ride, const Spread& spread, AxleName name,
                                    const Wishes& wishes, const Progress& progress) {
  auto answer = unranked(ride, spread, name, wishes);
  if (!answer.value) return answer;
  Ranking& r = *answer.value;
  const SetJudge judge(ride, name, wishes);
  const bool made = std::any_of(r.shelf.choices.begin(), r.shelf.choices.end(),
                                [](const Choice& c) { return c.made_to_measure(); });
  const auto& target = wishes.target[static_cast<std::size_t>(name)];
  DrawnAxle cars(ride, spread, name, target, first_seed);
  const bool by_chance = cars.uncertain() && !r.guessed;
  const double judging = by_chance ? 0.5 : 1.0;  // its share of the work
  const auto fits = combinations(r.shelf, made ? most_optimised : most_combinations);
  for (std::size_t i = 0; i < fits.size(); ++i) {
    r.candidates.push_back(
        judge.judge(r.shelf, made ? optimised(judge, r.shelf, fits[i]) : fits[i]));
    if (progress) progress(judging * static_cast<double>(i + 1) / static_cast<double>(fits.size()));
  }
  sort_best_first(r.candidates);
  if (!by_chance) {
    if (r.sides_apart && !r.guessed) add_unlike(judge, r);
    return answer;
  }
  give_chances(cars, r.shelf, r.candidates, [&](double done) {
    if (progress) progress(judging + (1.0 - judging) * done);
  });
  const DrawnAxle fresh(ride, spread, name, target, fresh_seed);
  Leaders counted(fresh, r.shelf);
  counted.count(r.candidates);
  if (r.sides_apart) {
    DrawnAxle as_it_sits(ride, spread, name, target, sides_seed);
    if (sides_differ(as_it_sits, samples_for_all)) add_unlike(judge, r, counted);
  }
  counted.compare(r.candidates);
  return answer;
}

Candidate judged(const Ride& ride, const Wishes& wishes, const Ranking& ranking, const Fit& fit) {
  return SetJudge(ride, ranking.axle, wishes).judge(ranking.shelf, fit);
}

Candidate tried(const Ride& ride, const Spread& spread, const Wishes& wishes,
                const Ranking& ranking, const Fit& fit, int samples) {
  auto c = judged(ride, wishes, ranking, fit);
  if (!c.figures) return c;
  DrawnAxle cars(ride, spread, ranking.axle, wishes.target[static_cast<std::size_t>(ranking.axle)],
                 fresh_seed);
  if (!cars.uncertain() || joints_are_guesses(ride.car.at(ranking.axle)->layout, spread)) return c;
  c.chance = c.at_a_limit
                 ? 0.0
                 : static_cast<double>(met(cars, ranking.shelf, {fit}, samples).front()) / samples;
  c.chance_samples = samples;
  return c;
}

Fit fit_of(const Shelf& shelf, const std::vector<Chosen>& chosen) {
  Fit fit = nothing_fitted(shelf);
  for (std::size_t i = 0; i < shelf.choices.size(); ++i)
    for (const auto& c : chosen)
      if (shelf.choices[i].index == c.option) fit.part[i] = c.part;
  return fit;
}

std::optional<Fit> chosen_fit(const Shelf& shelf, const Wishes& wishes, AxleName axle) {
  const auto& chosen = wishes.chosen[static_cast<std::size_t>(axle)];
  if (!chosen) return {};
  return fit_of(shelf, *chosen);
}

std::string words(const Choice& choice, const SizeOrPlace& part, Units units, bool with_unit) {
  const auto unit =
      with_unit ? fmt::format(" {}", shown_unit(Measure::length, units).symbol) : std::string();
  if (!choice.made_to_measure()) {
    if (units == Units::metric) return shortest(part.size_mm) + unit;
    return shown(part.size_mm, Measure::length, units) + unit;
  }
  std::string text;
  constexpr std::array<const char*, 3> names{"x", "y", "z"};
  for (const int axis : choice.axes)
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", names[static_cast<std::size_t>(axis)],
                        shown_signed(part.by_mm[axis], Measure::length, units));
  return text + unit;
}

std::string words(const Choice& choice, const Fit& fit, std::size_t index, Units units) {
  const auto& [left, right] = fit.part[index];
  if (left == right) return words(choice, left, units);
  return fmt::format("left {}, right {}", words(choice, left, units), words(choice, right, units));
}

}  // namespace trammel
