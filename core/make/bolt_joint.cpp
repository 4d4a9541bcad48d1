#include "make/bolt_joint.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "base/quantity.h"

namespace trammel {
namespace {

constexpr double rounding_mm = 1e-6;        // of sums of decimal numbers
constexpr double pitches_beyond_nut = 2.0;  // common practice; EN 1090-2 asks for one
constexpr double pitches_under_nut = 2.0;   // EN 1090-2: one and the run-out
constexpr double pitches_before_hole = 1.0;
constexpr double pitches_in_hole = 2.0;     // common practice
constexpr double run_out_pitches = 5.0;     // ISO 4014: ls is that much less than lg
constexpr double thickest_washer_mm = 5.0;  // more than that is a spacer (common practice)
constexpr double washer_step_mm = 0.5;

// ISO 4014 and ISO 4017: shortest and longest; nut heights ISO 4032. M5, M18, M20 from memory.
struct MetricBolts {
  double diameter_mm, part_from_mm, part_to_mm, full_from_mm, full_to_mm, nut_mm;
};
constexpr MetricBolts metric_bolts[] = {
    {5, 25, 50, 10, 50, 4.7},     {6, 30, 60, 12, 60, 5.2},     {8, 40, 80, 16, 80, 6.8},
    {10, 45, 100, 20, 100, 8.4},  {12, 50, 120, 25, 120, 10.8}, {14, 60, 140, 25, 140, 12.8},
    {16, 65, 160, 30, 150, 14.8}, {18, 70, 180, 35, 150, 15.8}, {20, 80, 200, 40, 150, 18.0},
};
constexpr double preferred_mm[] = {10, 12, 16, 20,  25,  30,  35,  40,  45,  50,  55,  60, 65,
                                   70, 80, 90, 100, 110, 120, 130, 140, 150, 160, 180, 200};

struct InchNut {
  double diameter_in, height_in;
};
constexpr InchNut inch_nuts[] = {{0.25, 0.226}, {0.3125, 0.273}, {0.375, 0.337}, {0.4375, 0.385},
                                 {0.5, 0.448},  {0.5625, 0.496}, {0.625, 0.559}, {0.75, 0.665}};

const MetricBolts& metric_row(const Thread& t) {
  const auto* row = std::find_if(std::begin(metric_bolts), std::end(metric_bolts), [&](auto& r) {
    return std::abs(r.diameter_mm - t.diameter_mm) < rounding_mm;
  });
  check(row != std::end(metric_bolts), "a thread comes from the tables",
        {{"diameter", t.diameter_mm}});
  return *row;
}

bool finite_above(double x, double least) { return std::isfinite(x) && x > least; }

std::optional<NoSense> what_is_wrong(const BoltJoint& j) {
  using Of = NoSense::Of;
  if (const auto why = why_not_together(j.thread, j.bolt_class))
    return NoSense{Of::not_together, *why};
  if (j.layers.empty()) return NoSense{Of::no_layers};
  for (const auto& layer : j.layers)
    if (!finite_above(layer.thickness_mm, 0.0))
      return NoSense{Of::thin_layer, layer.what, layer.thickness_mm};
  for (const auto& [what, mm] : {std::pair{"the washer under the head", j.head_washer_mm},
                                 {"the washer under the nut", j.nut_washer_mm},
                                 {"the nut's height", j.nut_height_mm},
                                 {"the room for the tail", j.tail_room_mm.value_or(0.0)},
                                 {"the plain shank", j.plain_mm.value_or(0.0)}})
    if (!std::isfinite(mm) || mm < 0.0) return NoSense{Of::below_zero, what, mm};
  if (j.tapped && !finite_above(j.tapped->depth_mm, 0.0))
    return NoSense{Of::hole_without_thread, "", j.tapped->depth_mm};
  if (j.tapped && (j.nut_washer_mm > 0.0 || j.nut_height_mm > 0.0))
    return NoSense{Of::nut_and_hole};
  if (j.tapped && !finite_above(j.tapped->material.tensile_mpa, 0.0))
    return NoSense{Of::hole_without_strength};
  return {};
}

double stack_of(const BoltJoint& j) {
  double sum = j.head_washer_mm + (j.tapped ? 0.0 : j.nut_washer_mm);
  for (const auto& layer : j.layers) sum += layer.thickness_mm;
  return sum;
}

// The plane farthest from the head that has something that takes side force on both of its sides.
// That at the mouth of a tapped hole is left out: there the thread stands in it whatever the bolt.
std::optional<double> last_shear_plane(const BoltJoint& j) {
  const auto& layers = j.layers;
  std::size_t first = 0, last = layers.size() - 1;
  while (first < layers.size() && !layers[first].shears) ++first;
  while (last > 0 && !layers[last].shears) --last;
  // In a tapped hole the part around it takes the force after the last layer, across any cover.
  const std::size_t before = j.tapped ? layers.size() - 1 : last;
  if (first >= before) return {};
  double plane = j.head_washer_mm;
  for (std::size_t i = 0; i < before; ++i) plane += layers[i].thickness_mm;
  return plane;
}

JointTest test(JointQuestion question, double has_mm, double needs_mm) {
  return {question, has_mm >= needs_mm - rounding_mm, question == JointQuestion::engagement_rule,
          has_mm, needs_mm};
}

BoltForm usual_form(const Thread& t, double length_mm) {
  double shortest_part = 0.0;
  for (const auto& b : standard_bolts(t))
    if (b.form == BoltForm::part_thread) {
      shortest_part = b.length_mm;
      break;
    }
  return length_mm < shortest_part - rounding_mm ? BoltForm::full_thread : BoltForm::part_thread;
}

void judge_shear(Judged& v) {
  v.tests.push_back(
      test(JointQuestion::shank_in_shear, v.plain_mm, v.last_shear_plane_mm.value_or(0.0)));
}

void judge_tail(const BoltJoint& j, Judged& v, double tail_mm) {
  if (j.tail_room_mm) v.tests.push_back(test(JointQuestion::tail_clear, *j.tail_room_mm, tail_mm));
  else v.tests.push_back(test(JointQuestion::tail_clear, 0.0, 0.0));  // to be looked at
}

void judge_nut(const BoltJoint& j, Judged& v) {
  const double p = j.thread.pitch_mm;
  const double nut = j.nut_height_mm > 0.0 ? j.nut_height_mm : usual_nut_height_mm(j.thread);
  v.beyond_mm = v.bolt.length_mm - v.stack_mm - nut;
  v.tests.push_back(test(JointQuestion::reach, v.beyond_mm, pitches_beyond_nut * p));
  judge_shear(v);
  v.tests.push_back(
      test(JointQuestion::nut_clear_of_shank, v.stack_mm - v.shank_mm, pitches_under_nut * p));
  judge_tail(j, v, v.beyond_mm);
}

void judge_hole(const BoltJoint& j, Judged& v) {
  const double p = j.thread.pitch_mm;
  const auto& hole = *j.tapped;
  const double in_hole = v.bolt.length_mm - v.stack_mm;
  const double engaged = std::min(in_hole, hole.depth_mm);
  v.beyond_mm = in_hole;
  const auto need = engagement(j.thread, j.bolt_class, hole.material);
  v.tests.push_back(test(JointQuestion::engagement_strength, engaged, need.equal_strength_mm));
  v.tests.push_back(test(JointQuestion::engagement_rule, engaged, need.rule_mm));
  if (!hole.through)
    v.tests.push_back(test(JointQuestion::bottoming, hole.depth_mm - in_hole, pitches_in_hole * p));
  judge_shear(v);
  v.tests.push_back(
      test(JointQuestion::shank_clear_of_hole, v.stack_mm - v.shank_mm, pitches_before_hole * p));
  if (hole.through) judge_tail(j, v, in_hole);
}

const JointTest* failing(const Judged& v, JointQuestion q) {
  for (const auto& t : v.tests)
    if (t.question == q && !t.passes) return &t;
  return nullptr;
}
bool fails_only(const Judged& v, JointQuestion q) {
  return std::all_of(v.tests.begin(), v.tests.end(),
                     [&](const JointTest& t) { return t.passes || t.advice || t.question == q; });
}

bool reaches(const Judged& v) {
  return !failing(v, JointQuestion::reach) && !failing(v, JointQuestion::engagement_strength);
}

// Every standard bolt judged, ascending. The joint makes sense here.
std::vector<Judged> all_judged(const BoltJoint& j) {
  std::vector<Judged> all;
  for (const auto& bolt : standard_bolts(j.thread)) all.push_back(*judge(j, bolt).value);
  return all;
}
std::optional<Bolt> first_that_passes(const BoltJoint& j) {
  for (const auto& v : all_judged(j))
    if (v.passes) return v.bolt;
  return {};
}

std::vector<WayOut> ways_out_of(const BoltJoint& j, const std::vector<Judged>& all) {
  std::vector<WayOut> ways;
  if (!j.tapped && j.layers.size() > 1) {
    auto turned = j;
    std::reverse(turned.layers.begin(), turned.layers.end());
    if (const auto bolt = first_that_passes(turned))
      ways.push_back({WayOutKind::other_side, *bolt});
  }
  for (const auto& v : all)
    if (const auto* tail = failing(v, JointQuestion::tail_clear);
        tail && fails_only(v, JointQuestion::tail_clear)) {
      ways.push_back({WayOutKind::more_tail_room, v.bolt, tail->needs_mm});
      break;
    }
  auto thicker = j;
  for (double by = washer_step_mm; by <= thickest_washer_mm; by += washer_step_mm) {
    (j.tapped ? thicker.head_washer_mm : thicker.nut_washer_mm) =
        (j.tapped ? j.head_washer_mm : j.nut_washer_mm) + by;
    if (const auto bolt = first_that_passes(thicker)) {
      ways.push_back(
          {j.tapped ? WayOutKind::thicker_head_washer : WayOutKind::thicker_nut_washer, *bolt, by});
      break;
    }
  }
  if (j.tapped && !j.tapped->through)
    // A deeper hole lets more of the bolt engage, so each is tried in a hole just deep enough for
    // it.
    for (const auto& v : all) {
      auto deeper = j;
      deeper.tapped->depth_mm = v.bolt.length_mm - v.stack_mm + pitches_in_hole * j.thread.pitch_mm;
      if (deeper.tapped->depth_mm <= j.tapped->depth_mm) continue;
      if (!judge(deeper, v.bolt).value->passes) continue;
      ways.push_back({WayOutKind::deeper_thread, v.bolt, deeper.tapped->depth_mm});
      break;
    }
  const auto& any = all.front();
  if (j.tapped) {
    const auto need = engagement(j.thread, j.bolt_class, j.tapped->material);
    if (j.tapped->depth_mm >= need.equal_strength_mm)
      ways.push_back({WayOutKind::stud, {}, any.stack_mm, any.stack_mm});
  } else {
    const double from = any.last_shear_plane_mm.value_or(0.0);
    const double to = any.stack_mm - pitches_under_nut * j.thread.pitch_mm;
    const double nut = j.nut_height_mm > 0.0 ? j.nut_height_mm : usual_nut_height_mm(j.thread);
    const double whole = any.stack_mm + nut + pitches_beyond_nut * j.thread.pitch_mm;
    const bool tail_fits =
        !j.tail_room_mm || *j.tail_room_mm >= pitches_beyond_nut * j.thread.pitch_mm;
    if (from <= to && tail_fits)
      ways.push_back({WayOutKind::made_to_measure, {whole, BoltForm::part_thread}, from, to});
  }
  return ways;
}

}  // namespace

double thread_length_mm(const Thread& t, const Bolt& bolt) {
  if (bolt.form == BoltForm::full_thread) return bolt.length_mm;
  const double l = bolt.length_mm;
  const double more = t.inch       ? (l <= 6.0 * inch_mm ? 0.25 * inch_mm : 0.5 * inch_mm)
                      : l <= 125.0 ? 6.0
                      : l <= 200.0 ? 12.0
                                   : 25.0;
  return std::min(l, 2.0 * t.diameter_mm + more);
}

double usual_nut_height_mm(const Thread& t) {
  if (!t.inch) return metric_row(t).nut_mm;
  for (const auto& nut : inch_nuts)
    if (std::abs(nut.diameter_in * inch_mm - t.diameter_mm) < rounding_mm)
      return nut.height_in * inch_mm;
  check(false, "a thread comes from the tables", {{"diameter", t.diameter_mm}});
  return 0.0;
}

std::vector<Bolt> standard_bolts(const Thread& t) {
  std::vector<Bolt> all;
  if (t.inch) {
    // ASME B18.2.1: short ones are threaded to the head, as far as thread and run-out take.
    constexpr int first_eighths = 4, fine_to = 16, last = 48;
    for (int n = first_eighths; n <= last; n += n < fine_to ? 1 : 2) {
      const double l = n / 8.0 * inch_mm;
      if (l < 1.5 * t.diameter_mm) continue;
      const double b = 2.0 * t.diameter_mm + 0.25 * inch_mm;
      all.push_back({l, l > b + run_out_pitches * t.pitch_mm ? BoltForm::part_thread
                                                             : BoltForm::full_thread});
    }
    return all;
  }
  const auto& row = metric_row(t);
  for (const double l : preferred_mm) {
    if (l >= row.part_from_mm && l <= row.part_to_mm) all.push_back({l, BoltForm::part_thread});
    if (l >= row.full_from_mm && l <= row.full_to_mm) all.push_back({l, BoltForm::full_thread});
  }
  return all;
}

const JointTest& first_failing(const Judged& v) {
  const auto bad = std::find_if(v.tests.begin(), v.tests.end(),
                                [](const JointTest& t) { return !t.passes && !t.advice; });
  check(bad != v.tests.end(), "a bolt that does not pass fails a test",
        {{"length", v.bolt.length_mm}});
  return *bad;
}

Answer<Judged, NoSense> judge(const BoltJoint& j, const Bolt& bolt) {
  if (auto why = what_is_wrong(j)) return {{}, std::move(*why)};
  if (!finite_above(bolt.length_mm, 0.0))
    return {{}, {NoSense::Of::no_length, "a bolt", bolt.length_mm}};
  Judged v;
  v.bolt = bolt;
  v.thread_mm = thread_length_mm(j.thread, bolt);
  v.shank_mm = bolt.length_mm - v.thread_mm;
  if (bolt.form == BoltForm::part_thread)
    v.plain_mm = std::max(0.0, v.shank_mm - run_out_pitches * j.thread.pitch_mm);
  if (j.plain_mm && j.length_mm && std::abs(*j.length_mm - bolt.length_mm) < rounding_mm &&
      bolt.form == usual_form(j.thread, bolt.length_mm)) {
    v.plain_mm = *j.plain_mm;
    v.shank_mm = std::max(v.shank_mm, v.plain_mm);
  }
  v.stack_mm = stack_of(j);
  v.last_shear_plane_mm = last_shear_plane(j);
  if (j.tapped) judge_hole(j, v);
  else judge_nut(j, v);
  v.passes = std::all_of(v.tests.begin(), v.tests.end(),
                         [](const auto& t) { return t.passes || t.advice; });
  return {std::move(v), {}};
}

Answer<Judged, NoSense> judge(const BoltJoint& j, double length_mm) {
  return judge(j, Bolt{length_mm, usual_form(j.thread, length_mm)});
}

Answer<NextLength, NoSense> next_length(const BoltJoint& j) {
  using Why = NextLength::Why;
  if (auto why = what_is_wrong(j)) return {{}, std::move(*why)};
  if (j.length_mm && !finite_above(*j.length_mm, 0.0))
    return {{}, {NoSense::Of::no_length, "the bolt that is there", *j.length_mm}};
  const auto all = all_judged(j);
  NextLength n;
  // One that follows the rule of thumb as well, where there is one.
  for (const bool by_rule : {true, false})
    for (const auto& v : all) {
      if (!v.passes || (by_rule && failing(v, JointQuestion::engagement_rule))) continue;
      n.take = v.bolt;
      n.passes = true;
      return {std::move(n), {}};
    }
  for (const auto& v : all)
    if (const auto* shear = failing(v, JointQuestion::shank_in_shear);
        shear && v.bolt.form == BoltForm::part_thread && v.shank_mm >= shear->needs_mm &&
        !(j.plain_mm && j.length_mm && std::abs(*j.length_mm - v.bolt.length_mm) < rounding_mm) &&
        fails_only(v, JointQuestion::shank_in_shear)) {
      n.take = v.bolt;
      n.measure_plain_mm = shear->needs_mm;
      n.why = Why::to_be_measured;
      n.ways_out = ways_out_of(j, all);
      return {std::move(n), {}};
    }
  for (const auto& v : all)
    if (v.bolt.form == BoltForm::full_thread &&
        v.bolt.form == usual_form(j.thread, v.bolt.length_mm) &&
        fails_only(v, JointQuestion::shank_in_shear)) {
      n.take = v.bolt;
      n.why = Why::all_thread;
      return {std::move(n), {}};
    }
  n.ways_out = ways_out_of(j, all);
  const auto first = std::find_if(all.begin(), all.end(), [](const auto& v) { return reaches(v); });
  if (first != all.end()) {
    n.first = first->bolt;
    n.why = Why::none_serves;
  } else {
    const bool shallow =
        j.tapped && j.tapped->depth_mm <
                        engagement(j.thread, j.bolt_class, j.tapped->material).equal_strength_mm;
    n.why = shallow ? Why::shallow_hole : Why::too_short;
  }
  return {std::move(n), {}};
}

Answer<SlipCheck, NoSense> slip_check(const Thread& thread, BoltClass c, int bolts,
                                      double shear_force_n, double friction) {
  if (bolts < 1) return {{}, {NoSense::Of::no_bolts, "", static_cast<double>(bolts)}};
  if (!finite_above(shear_force_n, 0.0))
    return {{},
            {NoSense::Of::not_above_zero, "the side force", shear_force_n, 0.0, Measure::force}};
  if (!finite_above(friction, 0.0) || friction > 1.0)
    return {{}, {NoSense::Of::friction, "", friction}};
  SlipCheck s{thread, c, bolts, shear_force_n, friction};
  // The scatter is the torque's: the same with any lubrication.
  const auto preload = torque_estimate(thread, c, Lubrication::dry_zinc).preload;
  s.holds_n = preload.expected_n * friction * bolts;
  s.holds_at_least_n = preload.low_n * friction * bolts;
  s.factor = s.holds_n / shear_force_n;
  s.least_factor = s.holds_at_least_n / shear_force_n;
  s.holds = s.least_factor >= 1.0;
  return {std::move(s), {}};
}

}  // namespace trammel
