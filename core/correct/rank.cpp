#include "correct/rank.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/check.h"
#include "correct/chance.h"
#include "correct/optimise.h"
#include "travel/sweep.h"
#include "travel/tell.h"

namespace trammel {
namespace {

constexpr double degree = std::numbers::pi / 180.0;
// Road and hill-climb use, peak to peak over +-30 mm (common practice, no single authority).
constexpr double usual_toe_change_rad = 0.12 * degree;
constexpr double least_half_mm = 1.0, least_half_rad = 0.05 * degree;  // of a target's range
constexpr double moves_at_all_mm = 0.05;
constexpr double range_end_mm = 0.02;
constexpr double height_worth_saying_mm = 0.5;
constexpr int samples_for_all = 200;
constexpr std::size_t leaders = 12;
constexpr int most_rounds = 6;
constexpr std::uint64_t first_seed = 7, fresh_seed = 70;
constexpr std::size_t most_combinations = 4000;
constexpr std::size_t most_optimised = 300;  // each costs some milliseconds

Tolerance tolerance_of(const std::optional<std::array<double, 2>>& range, double least_half) {
  if (!range) return {0.0, std::numeric_limits<double>::infinity()};
  return {0.5 * ((*range)[0] + (*range)[1]),
          std::max(least_half, 0.5 * ((*range)[1] - (*range)[0]))};
}

// The share of each target's tolerance; zero where nothing is asked.
struct Shares {
  double toe_change = 0.0, roll_centre = 0.0, camber = 0.0;
};
double largest(const Shares& s) { return std::max({s.toe_change, s.roll_centre, s.camber}); }
Shares shares_used(const Wanted& w, double toe_change_rad, double roll_centre_mm,
                   double camber_rad) {
  const auto of = [](const Tolerance& t, double value) {
    return std::fabs(value - t.middle) / t.half;
  };
  return {of(toe_change_tolerance(w), toe_change_rad), of(roll_centre_tolerance(w), roll_centre_mm),
          of(camber_tolerance(w), camber_rad)};
}

class Judge {
 public:
  Judge(const Ride& ride, AxleName name, const Wishes& wishes)
      : axle_(*ride.car.at(name)),
        wanted_(wanted_of(wishes.target[static_cast<std::size_t>(name)])),
        corners_{
            corner_before(ride, name, Side::left, wishes.target[static_cast<std::size_t>(name)]),
            corner_before(ride, name, Side::right, wishes.target[static_cast<std::size_t>(name)])} {
  }

  const CornerBefore& corner(Side s) const { return corners_[static_cast<std::size_t>(s)]; }
  const Wanted& wanted() const { return wanted_; }
  const Axle& axle() const { return axle_; }

  // As it sits: nothing fitted, nothing reset.
  Answer<AxleFigures> before() const {
    std::array<Side_, 2> sides;
    for (std::size_t i = 0; i < 2; ++i) {
      auto c = corners_[i];
      c.setting = {};
      auto s = side_of(c, CornerFitted{c.mechanism, c.at, 0.0, 0.0, true});
      if (!s.value) return {{}, s.why};
      sides[i] = *s.value;
    }
    return {both(sides), {}};
  }

  Candidate judge(const Shelf& shelf, const Fit& fit) const {
    Candidate c;
    c.fit = fit;
    std::array<Side_, 2> sides;
    std::array<std::optional<CornerFitted>, 2> corners;
    for (std::size_t i = 0; i < 2; ++i) {
      if (i == 1 && axle_.right_is_mirrored) {  // the mirror image has the same figures
        sides[1] = sides[0];
        c.toe_rod_mm[1] = c.toe_rod_mm[0];
        c.camber_by_mm[1] = c.camber_by_mm[0];
        break;
      }
      const auto& before = corners_[i];
      auto f = fitted(before, moves_of(shelf, fit, before.side));
      if (!f.value) {
        c.why = f.why;
        return c;
      }
      auto s = side_of(before, *f.value);
      if (!s.value) {
        c.why = s.why;
        return c;
      }
      sides[i] = *s.value;
      c.toe_rod_mm[i] = f.value->toe_rod_mm;
      c.camber_by_mm[i] = f.value->camber_by_mm;
      corners[i] = std::move(*f.value);
    }
    c.figures = both(sides);
    at_range_ends(shelf, c);
    against_targets(c);
    const auto targets_missed = c.misses.size();
    against_limits(c, *corners[0]);
    c.at_a_limit = c.misses.size() > targets_missed;
    c.stop = stop_sign(shelf, fit, *c.figures);
    c.height = height_lost(*corners[0]);
    return c;
  }

 private:
  // A made-to-measure joint that ends up at the end of its range wants more of it.
  static void at_range_ends(const Shelf& shelf, Candidate& c) {
    constexpr std::array<const char*, 3> names{"x", "y", "z"};
    for (std::size_t i = 0; i < shelf.choices.size(); ++i)
      for (const int axis : shelf.choices[i].axes) {
        const auto& r = shelf.choices[i].range_mm[static_cast<std::size_t>(axis)];
        const double at = c.fit.by_mm[i][axis];
        if (r[1] - r[0] > range_end_mm && (at - r[0] < range_end_mm || r[1] - at < range_end_mm))
          c.range_ends.push_back(fmt::format("{} in {}", shelf.choices[i].option->name,
                                             names[static_cast<std::size_t>(axis)]));
      }
  }

  struct Side_ {
    Curve curve;
    std::array<double, reading_count> value{};
    double operator[](Reading r) const { return value[static_cast<std::size_t>(r)]; }
  };

  Answer<Side_> side_of(const CornerBefore& before, const CornerFitted& f) const {
    auto curve = curve_over(before, f, wanted_.window_mm);
    if (!curve.value) return {{}, curve.why};
    const At<double> at(axle_.layout, f.mechanism, f.at, before.ground);
    return {Side_{*curve.value, read_all(at)}, {}};
  }

  // The worse side's curve; the rest as the left corner has it, the roll centre the axle's mean.
  AxleFigures both(const std::array<Side_, 2>& sides) const {
    const auto& worse =
        sides[1].curve.toe_change_max_rad > sides[0].curve.toe_change_max_rad ? sides[1] : sides[0];
    const auto& left = sides[0];
    AxleFigures f;
    f.toe_change_max_rad = worse.curve.toe_change_max_rad;
    f.toe_change_rms_rad = worse.curve.toe_change_rms_rad;
    f.bump_steer = worse[Reading::bump_steer];
    f.roll_centre_height_mm =
        0.5 * (sides[0][Reading::roll_centre_height] + sides[1][Reading::roll_centre_height]);
    f.half_track_mm = left[Reading::half_track];
    f.camber_rad = left[Reading::camber];
    f.camber_gain = left[Reading::camber_gain];
    f.toe_rad = left[Reading::toe];
    if (axle_.layout.steered()) {
      f.caster_rad = left[Reading::caster];
      f.steering_axis_inclination_rad = left[Reading::steering_axis_inclination];
      f.scrub_radius_mm = left[Reading::scrub_radius];
      f.caster_trail_mm = left[Reading::caster_trail];
    }
    return f;
  }

  static std::string mm(double x) { return shown(x, Measure::length, Units::metric); }
  // Three decimals: a target is missed by less than two show.
  static std::string deg(double x) { return fmt::format("{:.3f}", x / degree); }

  void against_targets(Candidate& c) const {
    const auto& f = *c.figures;
    const auto shares =
        shares_used(wanted_, f.toe_change_max_rad, f.roll_centre_height_mm, f.camber_rad);
    c.share = std::max(c.share, largest(shares));
    const auto missed = [](double share) { return share > 1.0 + 1e-9; };
    if (missed(shares.toe_change))
      c.misses.push_back(fmt::format("toe changes by {}°, wanted {}° at most",
                                     deg(f.toe_change_max_rad), deg(wanted_.toe_change_rad)));
    if (missed(shares.roll_centre))
      c.misses.push_back(fmt::format("roll centre at {} mm, wanted {} to {} mm",
                                     mm(f.roll_centre_height_mm), mm((*wanted_.roll_centre_mm)[0]),
                                     mm((*wanted_.roll_centre_mm)[1])));
    if (missed(shares.camber))
      c.misses.push_back(fmt::format("camber {}°, wanted {} to {}°", deg(f.camber_rad),
                                     deg((*wanted_.camber_rad)[0]), deg((*wanted_.camber_rad)[1])));
  }

  // Joint angles over all travel and lock, and room to the rim, where the file gives the limits.
  void against_limits(Candidate& c, const CornerFitted& f) const {
    const auto& layout = axle_.layout;
    if (!axle_.joint_limits.empty()) {
      const std::array<double, 2> travel{
          axle_.stop && axle_.stop->droop_mm ? -*axle_.stop->droop_mm : wanted_.window_mm[0],
          axle_.stop && axle_.stop->bump_mm ? *axle_.stop->bump_mm : wanted_.window_mm[1]};
      std::vector<double> racks{0.0};
      if (axle_.rack_travel_mm) racks = {0.0, -*axle_.rack_travel_mm, *axle_.rack_travel_mm};
      std::vector<double> worst(layout.points.size(), 0.0);
      bool locked = false;
      for (const double rack : racks)
        for (const double t : {travel[0], 0.5 * travel[0], 0.0, 0.5 * travel[1], travel[1]}) {
          const auto r = reach(f.mechanism, f.at, {f.at.drive.travel_mm + t, rack});
          locked = locked || !r.arrived;
          if (!r.arrived) continue;
          const At<double> at(layout, f.mechanism, r.at, corners_[0].ground);
          for (const auto& joint : joint_angles(at)) {
            auto& w = worst[static_cast<std::size_t>(layout.point(joint.joint))];
            w = std::max(w, std::fabs(joint.angle_rad));
          }
        }
      if (locked) {
        c.share = std::max(c.share, 1.5);
        c.misses.emplace_back("the mechanism locks within full travel and lock");
      }
      for (const auto& limit : axle_.joint_limits) {
        const double reached = worst[static_cast<std::size_t>(limit.point)];
        const double room = std::max(limit.limit_rad - joint_in_hand_rad, 1e-3);
        c.share = std::max(c.share, std::min(1.0, reached / room));
        if (reached > room) {
          c.share = std::max(c.share, reached / room);
          c.misses.push_back(
              fmt::format("joint {} reaches {}° over full travel and lock; its limit of {}° should "
                          "keep 3° in hand",
                          layout.points[static_cast<std::size_t>(limit.point)], deg(reached),
                          deg(limit.limit_rad)));
        }
      }
    }
    if (axle_.rim.barrel_radius_mm) {
      const At<double> at(layout, f.mechanism, f.at, corners_[0].ground);
      for (const auto& housing : axle_.housings) {
        const auto joint = joint_now(f, housing.point);
        if (!joint) continue;
        const auto out = *joint - at.placed.centre();
        const double from_axle = length(out - dot(out, at.spin) * at.spin);
        const double needs = from_axle + housing.radius_mm + axle_.rim.clearance_mm.value_or(6.0);
        const double share = needs / *axle_.rim.barrel_radius_mm;
        if (share > 1.0) {
          c.share = std::max(c.share, share);
          c.misses.push_back(fmt::format(
              "joint {} reaches {} mm from the axle and should keep {} mm to the rim, whose barrel "
              "is {} mm inside",
              layout.points[static_cast<std::size_t>(housing.point)],
              mm(from_axle + housing.radius_mm), mm(axle_.rim.clearance_mm.value_or(6.0)),
              mm(*axle_.rim.barrel_radius_mm)));
        }
      }
    }
  }

  std::optional<Vec3<double>> joint_now(const CornerFitted& f, int point) const {
    const Placed<double> placed(f.mechanism, f.at.pose, f.at.drive.rack_mm);
    for (const auto& row : f.mechanism.distance)
      for (const auto* a : {&row.inner, &row.outer})
        if (a->point == point) return placed.position(*a);
    return {};
  }

  // A ball joint corrected and the rod left alone is worse than lowering was.
  std::string stop_sign(const Shelf& shelf, const Fit& fit, const AxleFigures& figures) const {
    if (!axle_.toe_adjuster) return {};
    const auto& rod = axle_.layout.rods[static_cast<std::size_t>(axle_.toe_adjuster->rod)];
    bool others = false, the_rod = false;
    for (const auto& m : moves_of(shelf, fit, Side::left)) {
      if (length(m.by_mm) < moves_at_all_mm) continue;
      if (m.point == rod.inner || m.point == rod.upright) the_rod = true;
      else others = true;
    }
    if (!others || the_rod) return {};
    return fmt::format(
        "Stop: this moves a joint and leaves rod '{}' as it is. The wheel then steers "
        "itself by {}° over the window. Do not drive like that, not even round the "
        "block.",
        rod.name, deg(figures.toe_change_max_rad));
  }

  std::optional<HeightLost> height_lost(const CornerFitted& f) const {
    if (!f.mechanism.spring) return {};
    const auto& before = corners_[0];
    const auto spring = [](const Mechanism<double>& m, const Solution<double>& s) {
      return length_of(Placed<double>(m, s.pose, s.drive.rack_mm), *m.spring).off_mm;
    };
    const double length_before = spring(before.mechanism, before.at);
    const double length_after = spring(f.mechanism, f.at);
    HeightLost h;
    h.perch_mm = length_after - length_before;
    // The same position, driven by the spring's length instead of the wheel's height.
    const Drive<double> held{length_after, f.at.drive.rack_mm, DrivenBy::spring_length};
    const auto start = solve(f.mechanism, held, f.at.pose,
                             order_at(f.mechanism, f.at.pose, DrivenBy::spring_length));
    if (!start.found) return {};
    const auto r =
        reach(f.mechanism, start, {length_before, f.at.drive.rack_mm, DrivenBy::spring_length});
    if (!r.arrived) return {};
    h.body_mm = r.at.pose.centre_mm.z - f.at.pose.centre_mm.z;
    if (std::fabs(h.body_mm) < height_worth_saying_mm) return {};
    const auto lower =
        reach(f.mechanism, f.at, {f.at.drive.travel_mm + h.body_mm, f.at.drive.rack_mm});
    if (!lower.arrived) return {};
    h.roll_centre_height_mm = read(Reading::roll_centre_height,
                                   At<double>(axle_.layout, f.mechanism, lower.at, before.ground));
    if (axle_.spring && axle_.spring->perch_pitch_mm)
      h.perch_turns = h.perch_mm / *axle_.spring->perch_pitch_mm;
    return h;
  }

  const Axle& axle_;
  Wanted wanted_;
  std::array<CornerBefore, 2> corners_;
};

double thickness(const Fit& fit);

// The impossible last; by chance where it is known, then by what is missed and used up.
void sort_best_first(std::vector<Candidate>& candidates) {
  std::stable_sort(
      candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) {
        const auto key = [](const Candidate& c) {
          return std::make_tuple(!c.figures.has_value(), -c.chance.value_or(0.0), !c.meets(),
                                 !c.stop.empty(), c.share,
                                 c.figures ? c.figures->toe_change_max_rad : 0.0, thickness(c.fit));
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
void compare_leaders(const DrawnAxle& fresh, const Shelf& shelf,
                     std::vector<Candidate>& candidates) {
  struct Leader {
    Fit fit;
    std::vector<bool> met;  // by car
  };
  std::vector<Leader> counted;
  const auto find = [&](const Candidate& c) {
    return std::find_if(counted.begin(), counted.end(), [&](const Leader& l) {
      return l.fit.size_mm == c.fit.size_mm && l.fit.by_mm == c.fit.by_mm;
    });
  };
  for (int round = 0; round < most_rounds; ++round) {
    std::vector<Fit> fits;
    std::vector<Candidate*> of;
    for (std::size_t i = 0; i < std::min(leaders, candidates.size()); ++i) {
      auto& c = candidates[i];
      if (c.at_a_limit || c.chance.value_or(0.0) == 0.0 || find(c) != counted.end()) continue;
      fits.push_back(c.fit);
      of.push_back(&c);
    }
    if (fits.empty()) break;
    DrawnAxle cars = fresh;  // from the start: all leaders meet the same cars
    auto met = met_by_sample(cars, shelf, fits, samples_for_leaders);
    for (std::size_t i = 0; i < of.size(); ++i) {
      of[i]->chance =
          static_cast<double>(std::count(met[i].begin(), met[i].end(), true)) / samples_for_leaders;
      of[i]->chance_samples = samples_for_leaders;
      counted.push_back({fits[i], std::move(met[i])});
    }
    sort_best_first(candidates);
  }
  if (candidates.empty()) return;
  const auto best = find(candidates.front());
  if (best == counted.end()) return;
  for (std::size_t i = 1; i < candidates.size(); ++i)
    if (const auto other = find(candidates[i]); other != counted.end())
      candidates[i].equal_to_best = equal_chances(best->met, other->met);
}

double thickness(const Fit& fit) {
  double t = 0.0;
  for (const double s : fit.size_mm) t += std::fabs(s);
  for (const auto& v : fit.by_mm) t += length(v);
  return t;
}

}  // namespace

Tolerance toe_change_tolerance(const Wanted& wanted) { return {0.0, wanted.toe_change_rad}; }
Tolerance roll_centre_tolerance(const Wanted& wanted) {
  return tolerance_of(wanted.roll_centre_mm, least_half_mm);
}
Tolerance camber_tolerance(const Wanted& wanted) {
  return tolerance_of(wanted.camber_rad, least_half_rad);
}

double share_used(const Wanted& wanted, double toe_change_max_rad, double roll_centre_height_mm,
                  double camber_rad) {
  return largest(shares_used(wanted, toe_change_max_rad, roll_centre_height_mm, camber_rad));
}

Wanted wanted_of(const Target& t) {
  Wanted w{};
  w.window_mm = t.window_mm.value_or(usual_window_mm);
  w.toe_change_rad = t.toe_change_rad.value_or(usual_toe_change_rad);
  w.toe_change_is_usual = !t.toe_change_rad;
  w.roll_centre_mm = t.roll_centre_mm;
  w.camber_rad = t.camber_rad;
  return w;
}

Answer<Ranking> unranked(const Ride& ride, AxleName name, const Wishes& wishes) {
  const Judge judge(ride, name, wishes);
  Ranking r;
  r.axle = name;
  r.wanted = judge.wanted();
  const auto before = judge.before();
  if (!before.value) return {{}, fmt::format("the {} axle as it sits: {}", word(name), before.why)};
  r.before = *before.value;
  r.toe_is_reset = judge.corner(Side::left).setting.toe_rad.has_value();
  r.shelf = shelf_for(wishes.options, judge.corner(Side::left), judge.corner(Side::right));
  if (r.shelf.choices.empty()) {
    std::string why = fmt::format("no option moves a joint of the {} axle", word(name));
    for (const auto& refused : r.shelf.refused)
      why += fmt::format("; '{}' is refused: {}", refused.option, refused.why);
    return {{}, why + "; expected an [[option]] with a joint of this axle"};
  }
  return {std::move(r), {}};
}

Answer<Ranking> rank(const Ride& ride, const Spread& spread, AxleName name, const Wishes& wishes,
                     const Progress& progress) {
  auto answer = unranked(ride, name, wishes);
  if (!answer.value) return answer;
  Ranking& r = *answer.value;
  const Judge judge(ride, name, wishes);
  const bool made = std::any_of(r.shelf.choices.begin(), r.shelf.choices.end(),
                                [](const Choice& c) { return c.made_to_measure(); });
  DrawnAxle cars(ride, spread, name, wishes.target[static_cast<std::size_t>(name)], first_seed);
  const double judging = cars.uncertain() ? 0.5 : 1.0;  // its share of the work
  const auto fits = combinations(r.shelf, made ? most_optimised : most_combinations);
  for (std::size_t i = 0; i < fits.size(); ++i) {
    r.candidates.push_back(judge.judge(
        r.shelf, made ? optimised(judge.corner(Side::left), r.shelf, fits[i], r.wanted.window_mm)
                      : fits[i]));
    if (progress) progress(judging * static_cast<double>(i + 1) / static_cast<double>(fits.size()));
  }
  sort_best_first(r.candidates);
  if (cars.uncertain()) {
    give_chances(cars, r.shelf, r.candidates, [&](double done) {
      if (progress) progress(judging + (1.0 - judging) * done);
    });
    const DrawnAxle fresh(ride, spread, name, wishes.target[static_cast<std::size_t>(name)],
                          fresh_seed);
    compare_leaders(fresh, r.shelf, r.candidates);
  }
  return answer;
}

Candidate judged(const Ride& ride, const Wishes& wishes, const Ranking& ranking, const Fit& fit) {
  return Judge(ride, ranking.axle, wishes).judge(ranking.shelf, fit);
}

Candidate tried(const Ride& ride, const Spread& spread, const Wishes& wishes,
                const Ranking& ranking, const Fit& fit, int samples) {
  auto c = judged(ride, wishes, ranking, fit);
  if (!c.figures) return c;
  DrawnAxle cars(ride, spread, ranking.axle, wishes.target[static_cast<std::size_t>(ranking.axle)],
                 fresh_seed);
  if (!cars.uncertain()) return c;
  c.chance = c.at_a_limit
                 ? 0.0
                 : static_cast<double>(met(cars, ranking.shelf, {fit}, samples).front()) / samples;
  c.chance_samples = samples;
  return c;
}

Fit fit_of(const Shelf& shelf, const Wishes& wishes, const std::vector<Chosen>& chosen) {
  Fit fit{std::vector<double>(shelf.choices.size(), 0.0),
          std::vector<Vec3<double>>(shelf.choices.size(), {0.0, 0.0, 0.0})};
  for (std::size_t i = 0; i < shelf.choices.size(); ++i)
    for (const auto& c : chosen)
      if (shelf.choices[i].option == &wishes.options[c.option]) {
        fit.size_mm[i] = c.size_mm;
        fit.by_mm[i] = c.by_mm;
      }
  return fit;
}

std::optional<Fit> chosen_fit(const Shelf& shelf, const Wishes& wishes, AxleName axle) {
  const auto& chosen = wishes.chosen[static_cast<std::size_t>(axle)];
  if (!chosen) return {};
  return fit_of(shelf, wishes, *chosen);
}

std::string words(const Choice& choice, const Fit& fit, std::size_t index, Units units) {
  const auto unit = shown_unit(Measure::length, units).symbol;
  if (!choice.made_to_measure()) {
    if (units == Units::metric) return fmt::format("{} mm", shortest(fit.size_mm[index]));
    return fmt::format("{} {}", shown(fit.size_mm[index], Measure::length, units), unit);
  }
  std::string text;
  constexpr std::array<const char*, 3> names{"x", "y", "z"};
  for (const int axis : choice.axes)
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", names[static_cast<std::size_t>(axis)],
                        shown_signed(fit.by_mm[index][axis], Measure::length, units));
  return fmt::format("{} {}", text, unit);
}

}  // namespace trammel
