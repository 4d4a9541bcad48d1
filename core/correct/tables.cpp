#include "correct/tables.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/in_units.h"

namespace trammel {
namespace {

constexpr std::size_t shown_candidates = 8, few_candidates = 3;

std::string unit_of(Measure m, const InUnits& t) { return std::string(t.unit(m)); }

}  // namespace

bool told_apart(const Ranking& ranking, const Fit& fit) {
  return ranking.sides_apart || !sides_alike(fit);
}

Grid figures_table(const Ranking& r, const Candidate& set, Units units) {
  const InUnits t(units);
  const auto& b = r.before;
  const auto& f = *set.figures;
  const bool apart = told_apart(r, set.fit);
  Grid g;
  g.title =
      fmt::format("{} axle: what the set does{}", capital(word(r.axle)),
                  apart           ? ", wheel by wheel"
                  : r.sides_apart ? ""
                                  : " (the right wheel taken as the left one's mirror image)");
  g.heads = {""};
  if (apart) {
    for (const Side side : each_side)
      for (const char* when : {"as it sits", "with it"})
        g.heads.push_back(fmt::format("{}, {}", word(side), when));
  } else {
    g.heads.insert(g.heads.end(), {"as it sits", "with it"});
  }
  g.units.assign(g.heads.size(), "");
  const auto wanted = [&](const char* what, const std::optional<std::array<double, 2>>& range,
                          Measure m) {
    if (!range) return std::string(what);
    return fmt::format("{} (wanted: {} to {})", what, shown((*range)[0], m, units),
                       t.said((*range)[1], m));
  };
  const auto wheel = [&](std::string what, Measure m, const auto& of) {
    std::vector<std::string> row{std::move(what)};
    for (const Side side : each_side) {
      if (!apart && side == Side::right) break;
      const std::optional<double> was = of(b.wheel[side]), is = of(f.wheel[side]);
      if (!was || !is) return;
      for (const double x : {*was, *is})
        row.push_back(m == Measure::angle_per_length ? t.slope(x) : t.said(x, m));
    }
    g.rows.push_back(std::move(row));
  };
  const auto axle = [&](std::string what, double was, double is) {
    std::vector<std::string> row{std::move(what), t.mm(was), t.mm(is)};
    if (apart) row.insert(row.end(), {"", ""});  // of the axle, not of a wheel
    g.rows.push_back(std::move(row));
  };
  using W = WheelFigures;
  wheel(fmt::format("toe change (wanted: up to {}{})", t.deg(r.wanted.toe_change_rad),
                    r.wanted.toe_change_is_usual ? ", as usual" : ""),
        Measure::angle, [](const W& w) { return w.toe_change_max_rad; });
  wheel("toe per bump", Measure::angle_per_length, [](const W& w) { return w.bump_steer; });
  axle(wanted("roll centre, of the axle", r.wanted.roll_centre_mm, Measure::length),
       b.roll_centre_height_mm, f.roll_centre_height_mm);
  wheel(wanted("camber", r.wanted.camber_rad, Measure::angle), Measure::angle,
        [](const W& w) { return w.camber_rad; });
  wheel("camber per bump", Measure::angle_per_length, [](const W& w) { return w.camber_gain; });
  wheel("kingpin inclination", Measure::angle,
        [](const W& w) { return w.steering_axis_inclination_rad; });
  wheel("caster", Measure::angle, [](const W& w) { return w.caster_rad; });
  wheel("scrub radius", Measure::length, [](const W& w) { return w.scrub_radius_mm; });
  wheel("mechanical trail", Measure::length, [](const W& w) { return w.caster_trail_mm; });
  axle("track, of the axle", b.track_mm, f.track_mm);
  return g;
}

Grid sureness_table(const AxleCorrection& c, Units units) {
  const InUnits t(units);
  const auto& r = c.ranking;
  const auto& set = *c.to_fit();
  const auto& f = *set.figures;
  const bool apart = told_apart(r, set.fit);
  Grid g;
  g.title =
      fmt::format("{} axle: how sure that is (one standard uncertainty)", capital(word(r.axle)));
  g.heads = {"", "as it sits", "changed by the parts", "corrected", "after two dials"};
  g.units.assign(g.heads.size(), "");
  const auto row = [&](std::string what, Measure m, double was, double is, const Sureness& s) {
    g.rows.push_back({std::move(what), t.with_sigma(was, s.as_it_sits, m),
                      t.with_sigma(is - was, s.change, m), t.with_sigma(is, s.corrected, m),
                      t.sigma(s.corrected_after_gauge, m)});
  };
  for (const Side side : each_side) {
    if (!apart && side == Side::right) break;
    const auto& w = c.sure->wheel[side];
    const auto of = apart ? fmt::format(", {}", word(side)) : std::string();
    row("bump steer" + of, Measure::angle_per_length, r.before.wheel[side].bump_steer,
        f.wheel[side].bump_steer, w.bump_steer);
  }
  row("roll centre", Measure::length, r.before.roll_centre_height_mm, f.roll_centre_height_mm,
      c.sure->roll_centre);
  return g;
}

Grid candidates_table(const AxleCorrection& c, Units units, bool brief) {
  const InUnits t(units);
  const auto& r = c.ranking;
  Grid g;
  const std::size_t most = brief ? few_candidates : shown_candidates;
  const auto possible = static_cast<std::size_t>(std::count_if(
      r.candidates.begin(), r.candidates.end(), [](const Candidate& x) { return x.figures; }));
  const auto meet = std::count_if(r.candidates.begin(), r.candidates.end(),
                                  [](const Candidate& x) { return x.meets(); });
  g.title = fmt::format("{} axle: the best {} of {} combinations, {} of them meet every target",
                        capital(word(r.axle)), std::min(most, possible), r.candidates.size(), meet);
  const auto mm = unit_of(Measure::length, t);
  const auto head = [&](std::string what, std::string unit) {
    g.heads.push_back(std::move(what));
    g.units.push_back(std::move(unit));
  };
  // Where wheels differ a cell has both, left first.
  const bool apart = r.sides_apart || (c.chosen && !sides_alike(c.chosen->fit)) ||
                     std::any_of(r.candidates.begin(), r.candidates.end(),
                                 [](const Candidate& x) { return !sides_alike(x.fit); });
  const char* const both = apart ? " l, r" : "";
  head("", "");
  const bool chances = r.candidates.front().chance.has_value();
  if (chances) head("chance", "%");
  for (const auto& choice : r.shelf.choices) head(choice.option.name, mm);
  head(fmt::format("toe change{}", both), "°");
  if (!brief) head(fmt::format("per bump{}", both), unit_of(Measure::angle_per_length, t));
  head("roll centre", mm);
  if (!brief) {
    head(fmt::format("camber{}", both), "°");
    head(fmt::format("toe rod{}", both), mm);
  }
  const auto add = [&](const Candidate& x, std::string said) {
    std::vector<std::string> row{std::move(said)};
    if (chances)
      row.push_back(
          fmt::format("{}{:.0f}", x.equal_to_best ? "= " : "", 100.0 * x.chance.value_or(0)));
    for (std::size_t k = 0; k < r.shelf.choices.size(); ++k) {
      const auto& choice = r.shelf.choices[k];
      const auto& part = x.fit.part[k];
      auto cell = words(choice, part.left, units, false);
      if (!(part.left == part.right))
        cell = fmt::format("l {}, r {}", cell, words(choice, part.right, units, false));
      row.push_back(std::move(cell));
    }
    const auto& f = *x.figures;
    const auto wheels = [&](const auto& of) {
      row.push_back(apart ? fmt::format("{}, {}", of(Side::left), of(Side::right))
                          : of(Side::left));
    };
    wheels([&](Side s) { return shown(f.wheel[s].toe_change_max_rad, Measure::angle, units); });
    if (!brief)
      wheels(
          [&](Side s) { return shown(f.wheel[s].bump_steer, Measure::angle_per_length, units); });
    row.push_back(shown(f.roll_centre_height_mm, Measure::length, units));
    if (!brief) {
      wheels([&](Side s) { return shown(f.wheel[s].camber_rad, Measure::angle, units); });
      wheels([&](Side s) { return shown_signed(x.toe_rod_mm[s], Measure::length, units); });
    }
    g.rows.push_back(std::move(row));
  };
  const auto verdict = [](const Candidate& x) {
    return x.stop ? "STOP" : x.meets() ? "meets" : "misses";
  };
  if (c.chosen && c.chosen->figures) add(*c.chosen, fmt::format("chosen: {}", verdict(*c.chosen)));
  for (std::size_t i = 0; i < std::min(most, possible); ++i)
    add(r.candidates[i], verdict(r.candidates[i]));
  return g;
}

}  // namespace trammel
