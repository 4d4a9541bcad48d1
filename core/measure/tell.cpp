#include "measure/tell.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/in_units.h"
#include "base/quantity.h"
#include "base/words.h"
#include "told/cautions.h"
#include "told/section_table.h"
#include "travel/band.h"
#include "travel/sensitivity.h"

namespace trammel {
namespace {

// A bump steer that is known no better than this cannot be judged: what production cars differ by.
constexpr double too_vague_rad_per_mm = 0.03 * degree_rad / 25.0;
// A joint that is known no better was not measured: careful readings are good to 3 mm.

std::size_t count(const std::vector<ReadingResult>& readings, bool ReadingResult::*which) {
  return static_cast<std::size_t>(std::count_if(readings.begin(), readings.end(),
                                                [&](const ReadingResult& r) { return r.*which; }));
}

std::vector<std::string> names(const std::vector<ReadingResult>& readings,
                               bool ReadingResult::*which) {
  std::vector<std::string> list;
  for (const auto& r : readings)
    if (r.*which) list.push_back(r.name);
  return list;
}

// The few that are told by name, and how many more there are.
std::string some(std::vector<std::string> list, std::size_t most) {
  const auto all = list.size();
  if (all > most) {
    list.resize(most);
    list.push_back(fmt::format("{} more", all - most));
  }
  return listed(list);
}

struct Known {
  Reading reading;
  const char* label;
};

// What the readings are worth for the questions that follow, to first order.
Grid worth_grid(const Adjusted& a, Units units, std::vector<std::string>& vague) {
  const InUnits t(units);
  Grid g;
  g.title = "What that is worth: the car as measured, with one standard uncertainty";
  g.heads = {"axle", "bump steer", "roll centre", "camber per bump", "camber"};
  g.units = {"", "", "", "", ""};
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& axle = a.car.at(name);
    if (!axle) continue;
    for (const Side side : {Side::left, Side::right}) {
      if (side == Side::right && axle->right_is_mirrored) continue;
      const auto m = corner_mechanism(*axle, side);
      const auto at = solution_as_measured(m);
      const auto value = read_all(At<double>(axle->layout, m, at, {}));
      const auto slopes = reading_slopes(*axle, a.spread, side, 0.0);
      std::vector<std::string> row{fmt::format("{} {}", word(name), word(side))};
      for (const Reading r : {Reading::bump_steer, Reading::roll_centre_height,
                              Reading::camber_gain, Reading::camber}) {
        const auto i = static_cast<std::size_t>(r);
        const double sigma =
            std::sqrt(std::max(0.0, product(slopes[i], a.spread.covariance, slopes[i])));
        row.push_back(sigma > 1e-9 ? t.with_sigma(value[i], sigma, info(r).measure)
                                   : t.said(value[i], info(r).measure));
        if (r == Reading::bump_steer && sigma > too_vague_rad_per_mm)
          vague.push_back(fmt::format("{} {}", word(name), word(side)));
      }
      g.rows.push_back(std::move(row));
    }
  }
  return g;
}

Grid point_grid(const Adjusted& a, Units units) {
  Grid g;
  g.title =
      "The joints: forward, to the left, up, each with one standard uncertainty; without one, as "
      "the file gives it";
  const auto unit = std::string(shown_unit(Measure::length, units).symbol);
  g.heads = {"joint", "x", "y", "z"};
  g.units = {"", unit, unit, unit};
  for (const auto& p : a.points) {
    std::vector<std::string> row{p.name};
    for (int axis = 0; axis < 3; ++axis) {
      auto cell = shown(p.at_mm[axis], Measure::length, units);
      if (p.sigma_mm[axis] > 0.0) cell += " ± " + shown(p.sigma_mm[axis], Measure::length, units);
      row.push_back(std::move(cell));
    }
    g.rows.push_back(std::move(row));
  }
  return g;
}

Grid circumstance_grid(const Adjusted& a, Units units) {
  const InUnits t(units);
  Grid g;
  g.title = "Where it was measured from, as the file has it and as the readings have it";
  g.heads = {"of the survey", "in the file", "by the readings"};
  g.units = {"", "", ""};
  for (const auto& c : a.circumstances)
    g.rows.push_back({c.what, t.with_sigma(c.file_value, c.file_sigma, c.measure, 2),
                      t.with_sigma(c.value, c.sigma, c.measure, 2)});
  return g;
}

Grid reading_grid(const Adjusted& a, Units units) {
  Grid g;
  g.title = "Every reading, and what the joints say of it";
  g.heads = {"reading", "kind", "where", "read", "±", "joints less read", "test", "checked"};
  g.units = {"", "", "", "", "", "", "", "%"};
  for (const auto& r : a.readings)
    g.rows.push_back({r.name, std::string(word(r.kind)), r.where,
                      reading_value(r.kind, r.value, units), reading_value(r.kind, r.sigma, units),
                      reading_value(r.kind, r.residual, units), fmt::format("{:.1f}", r.normalised),
                      r.set_aside ? "aside" : fmt::format("{:.0f}", 100.0 * r.redundancy)});
  return g;
}

// The joints that hold a wheel: springs and bars may be as vague as they like.
std::vector<const PointResult*> holding(const Adjusted& a) {
  std::vector<const PointResult*> points;
  std::size_t first = 0;
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    const auto& axle = a.car.at(name);
    if (!axle) continue;
    for (int side = 0; side < 2; ++side, first += axle->layout.points.size())
      for (const int p : holding_points(axle->layout))
        points.push_back(&a.points[first + static_cast<std::size_t>(p)]);
  }
  return points;
}

std::vector<std::string> hardly_known(const Adjusted& a) {
  constexpr double hardly_mm = 5.0;
  std::vector<std::string> list;
  for (const auto* p : holding(a))
    if (std::max({p->sigma_mm.x, p->sigma_mm.y, p->sigma_mm.z}) > hardly_mm)
      list.push_back(p->name);
  return list;
}

std::string range_of_sigmas(const Adjusted& a, Units units) {
  std::vector<double> all;
  for (const auto* p : holding(a))
    for (int axis = 0; axis < 3; ++axis)
      if (p->sigma_mm[axis] > 0.0) all.push_back(p->sigma_mm[axis]);
  if (all.empty()) return "every coordinate is taken as exact";
  std::sort(all.begin(), all.end());
  const auto low = all[all.size() / 20], high = all[all.size() - 1 - all.size() / 20];
  const InUnits t(units);
  if (shown(low, Measure::length, units) == shown(high, Measure::length, units))
    return fmt::format("the joints are known to ± {}", t.mm(high));
  return fmt::format("the joints are known to between ± {} and ± {}",
                     shown(low, Measure::length, units), t.mm(high));
}

}  // namespace

std::string reading_value(ReadingKind kind, double value, Units units) {
  if (quantity_kind(kind) == Kind::length) return InUnits(units).mm(value);
  return fmt::format("{:.2f}°", std::round(value / degree_rad * 100.0) / 100.0 + 0.0);
}

std::string suspect_words(const ReadingResult& r, Units units) {
  auto text = fmt::format("{} ('{}' of {}): {} read, and all others together say {}.", r.name,
                          word(r.kind), r.where, reading_value(r.kind, r.value, units),
                          reading_value(r.kind, r.value - r.disagrees, units));
  if (r.slip)
    text += fmt::format(" Perhaps {}: then it would be {}.", r.slip->what,
                        reading_value(r.kind, r.slip->value, units));
  return text;
}

std::string group_words(const Adjusted& a, const SuspectGroup& g, Units units) {
  std::vector<std::string> list;
  for (const std::size_t i : g.readings) {
    const auto& r = a.readings[i];
    list.push_back(fmt::format("{} ('{}' of {}, {})", r.name, word(r.kind), r.where,
                               reading_value(r.kind, r.value, units)));
  }
  return fmt::format(
      "{}: one of these is misread and the readings cannot tell which; they stay in the sums with "
      "a ± as large as their difference. It would be decided by {}.",
      listed(list, "or"), g.decides);
}

std::string doubt_words(const Adjusted& a) {
  std::vector<std::string> doubts;
  const auto left_out = names(a.readings, &ReadingResult::left_out);
  if (left_out.size() == 1)
    doubts.push_back(left_out[0] + " looks misread and is left out until read again");
  if (left_out.size() > 1)
    doubts.push_back(some(left_out, 4) + " look misread and are left out until read again");
  if (!a.asked.empty())
    doubts.push_back(fmt::format(
        "{} like a slip and {} asked about, see the step measure",
        a.asked.size() == 1 ? "one thing looks" : fmt::format("{} things look", a.asked.size()),
        a.asked.size() == 1 ? "is" : "are"));
  for (const auto& g : a.gauges) {
    if (g.left_out)
      doubts.push_back(fmt::format(
          "gauge run '{}' contradicts the rest and is left out (if it was run with parts "
          "fitted, its row needs 'with')",
          g.name));
    else if (!g.suspect_rows.empty())
      doubts.push_back(fmt::format("{} row{} of gauge run '{}' left out", g.suspect_rows.size(),
                                   g.suspect_rows.size() == 1 ? " is" : "s are", g.name));
  }
  for (const auto& g : a.groups) {
    std::vector<std::string> list;
    for (const std::size_t i : g.readings) list.push_back(a.readings[i].name);
    doubts.push_back(fmt::format("{} contradict each other", listed(list)));
  }
  if (!a.sides.empty()) doubts.emplace_back("left and right differ more than they should");
  if (!a.free.empty()) doubts.emplace_back("no reading holds some of the joints");
  if (!a.fits())
    doubts.emplace_back("the readings fit worse than their own ± allows, so trust no figure yet");
  if (doubts.empty()) return {};
  return "Of the survey: " + listed(doubts) + ".";
}

std::string guess_words(const Adjusted& a, Units units) {
  std::vector<std::string> axles;
  double worst_mm = 0.0;
  for (const auto* p : holding(a)) {
    const double sigma = std::max({p->sigma_mm.x, p->sigma_mm.y, p->sigma_mm.z});
    if (sigma < guessed_mm) continue;
    worst_mm = std::max(worst_mm, sigma);
    const std::string axle = p->name.substr(0, p->name.find('.'));
    if (axles.empty() || axles.back() != axle) axles.push_back(axle);
  }
  if (axles.empty()) return {};
  const InUnits t(units);
  return fmt::format("joints of the {} axle{} are guesses, good to ± {}", listed(axles),
                     axles.size() > 1 ? "s" : "", t.mm(worst_mm));
}

Section guess_first(Section section, const Adjusted& a, Units units) {
  const auto words = guess_words(a, units);
  if (words.empty()) return section;
  section.blocks.insert(section.blocks.begin(),
                        Paragraph{"By the guesses: " + std::move(section.answer)});
  section.answer = "Not known yet: " + words +
                   ". Measure them first; what stands below is about a car of this kind, not about "
                   "yours.";
  return section;
}

Section doubt_first(Section section, const Adjusted& a) {
  auto doubt = doubt_words(a);
  if (doubt.empty()) return section;
  if (a.doubtful()) {
    section.answer = "Not to be trusted yet. " + section.answer;
    section.blocks.insert(section.blocks.begin(), Caution{std::move(doubt)});
  } else {
    section.blocks.insert(section.blocks.begin(), Paragraph{std::move(doubt)});
  }
  return section;
}

Section tell(const Adjusted& a, Units units, bool every_reading) {
  auto s = begun(SectionId::measure);
  const auto left_out = names(a.readings, &ReadingResult::left_out);
  if (a.taken == 0) {
    s.answer = fmt::format(
        "The file holds no readings: the joints are where it says, and {}. Write what was measured "
        "into [[reading]] rows and everything below becomes surer.",
        a.spread.empty() ? "nothing is known of how sure that is" : range_of_sigmas(a, units));
  } else {
    std::size_t rows = 0;
    for (const auto& g : a.gauges) rows += static_cast<std::size_t>(g.rows);
    const auto counted = [](std::size_t n, const char* what) {
      return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
    };
    std::vector<std::string> from;
    if (a.taken > rows) from.push_back(counted(a.taken - rows, "reading"));
    if (rows > 0) from.push_back(counted(rows, "gauge row"));
    s.answer = fmt::format("From {} {}.", listed(from), range_of_sigmas(a, units));
    if (left_out.size() == 1)
      s.answer += fmt::format(" One looks misread: read {} again.", left_out[0]);
    if (left_out.size() > 1)
      s.answer +=
          fmt::format(" {} look misread: read {} again.", left_out.size(), some(left_out, 6));
    if (!a.groups.empty()) s.answer += " Some contradict each other.";
    if (!a.sides.empty()) s.answer += " Left and right differ more than they should, see below.";
    const bool rows_disagree = std::any_of(a.gauges.begin(), a.gauges.end(), [](const auto& g) {
      return g.left_out || !g.suspect_rows.empty();
    });
    if (rows_disagree) s.answer += " Of the gauge runs something disagrees, see below.";
    if (left_out.empty() && a.groups.empty() && a.fits() && !rows_disagree && a.sides.empty())
      s.answer += " None of them disagrees with the others.";
    if (!a.free.empty()) s.answer += " Some joints are held by nothing yet.";
  }
  if (!a.asked.empty())
    s.answer = fmt::format("{} like a slip: look again first. ",
                           a.asked.size() == 1 ? "One thing looks"
                                               : fmt::format("{} things look", a.asked.size())) +
               s.answer;
  for (const auto& q : words(a.asked, units)) s.blocks.emplace_back(Paragraph{"Look again: " + q});
  for (const auto& r : a.readings)
    if (r.left_out) s.blocks.emplace_back(Paragraph{suspect_words(r, units)});
  for (const auto& g : a.groups) s.blocks.emplace_back(Paragraph{group_words(a, g, units)});
  for (const auto& m : a.sides)
    s.blocks.emplace_back(Paragraph{fmt::format(
        "{} differ by {}, more than sides taken as alike should. A bent arm, a subframe "
        "shifted in its holes, or a misread value: measure both sides again before "
        "anything is made.",
        m.what, InUnits(units).mm(m.by_mm))});
  for (const auto& f : a.free) s.blocks.emplace_back(Paragraph{"Not measured: " + f + "."});
  if (a.degrees_of_freedom > 0) {
    std::string text = fmt::format(
        "Taken together: chi-square {:.1f} with {} degree{} of freedom; honest readings fit "
        "worse "
        "than that {}.",
        a.chi_square, a.degrees_of_freedom, a.degrees_of_freedom == 1 ? "" : "s",
        a.chance > 0.99   ? "nearly always"
        : a.chance < 0.01 ? "less than once in 100 times"
                          : fmt::format("{:.0f} times in 100", 100.0 * a.chance));
    if (!a.fits())
      text +=
          " That is too seldom: some ± are too small, a reading is wrong that nothing checks, "
          "or the car is not the one described. Trust no figure below until that is found.";
    s.working.emplace_back(Paragraph{text});
  }
  if (const auto n = count(a.readings, &ReadingResult::unchecked); n > 0)
    s.working.emplace_back(Paragraph{fmt::format(
        "Nothing checks {} reading{}: a slip there would not show. A repeat from a new mark, the "
        "other side or a tape to another joint would. ({})",
        n, n == 1 ? "" : "s", some(names(a.readings, &ReadingResult::unchecked), 12))});
  if (!a.only_by_prior.empty() && a.taken > 0)
    s.working.emplace_back(Paragraph{
        fmt::format("Held by nothing but the ± in the file: {}.", some(a.only_by_prior, 12))});
  if (const auto vague_joints = hardly_known(a); !vague_joints.empty() && a.taken > 0)
    s.working.emplace_back(Paragraph{fmt::format(
        "Hardly known, to more than ± 5 mm in some direction: {}.", some(vague_joints, 12))});
  if (!a.as_given.empty() && a.taken > 0)
    s.blocks.emplace_back(Paragraph{fmt::format(
        "Taken as exact, since no reading and no ± says otherwise: {}. Every ± below would be "
        "larger "
        "if they are off: measure them, or write what is guessed as a guess ([{}] sigma = 20).",
        some(a.as_given, 12), a.as_given.front().substr(0, a.as_given.front().find('.')))});
  for (const auto& g : a.gauges) {
    if (g.set_aside) continue;
    std::string text = fmt::format("Gauge run '{}', {} {} wheel{}, {} rows: ", g.name, word(g.axle),
                                   word(g.side), g.with_parts ? " with parts fitted" : "", g.rows);
    if (g.hysteresis_rad)
      text += fmt::format("going up against coming down differ by {}.",
                          InUnits(units).with_sigma(std::fabs(*g.hysteresis_rad),
                                                    *g.hysteresis_sigma_rad, Measure::angle));
    else text += "read one way only.";
    if (g.left_out) {
      text = fmt::format(
          "Gauge run '{}', {} {} wheel, contradicts all other readings and is left out as a "
          "whole.{} "
          "Look at the signs (outward is positive for both dials), which dial is which, the base, "
          "and "
          "travel up being positive; else the joints of that corner are not where they were read.",
          g.name, word(g.axle), word(g.side),
          g.signs_turned ? " It would agree with its signs turned round, or the dials exchanged."
                         : "");
    } else if (!g.suspect_rows.empty())
      text += fmt::format(
          " Left out, since the other rows disagree: {}. Read the run again; if it "
          "stays, look for a dial that slipped, a bush that binds or a stop that is "
          "touched.",
          listed(g.suspect_rows));
    const bool disagrees = g.left_out || !g.suspect_rows.empty();
    (disagrees ? s.blocks : s.working).emplace_back(Paragraph{text});
  }
  if (!a.circumstances.empty()) s.working.emplace_back(circumstance_grid(a, units));
  for (const auto& r : a.remarks) s.blocks.emplace_back(Paragraph{r});
  if (!a.spread.empty()) {
    std::vector<std::string> vague;
    s.blocks.emplace_back(worth_grid(a, units, vague));
    if (!vague.empty())
      s.blocks.emplace_back(Paragraph{
          fmt::format("The bump steer of the {} wheel{} is known no better than production cars "
                      "differ: it tells "
                      "what a part changes, not where the car starts. Run two dials there.",
                      listed(vague), vague.size() == 1 ? "" : "s")});
  }
  s.working.emplace_back(point_grid(a, units));
  if (every_reading && !a.readings.empty()) s.working.emplace_back(reading_grid(a, units));
  if (a.taken > 0) s.blocks.emplace_back(Caution{caution(Care::under_tyres)});
  return s;
}

}  // namespace trammel
