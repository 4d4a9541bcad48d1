#include "make/bracket.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "make/rod_end.h"

namespace trammel {
namespace {

using Place = std::array<double, 2>;

constexpr double friction = 0.15;     // clean dry steel faces, common practice
constexpr double slip_in_hand = 1.1;  // of loads that come again and again
constexpr double bearing_of_yield = 1.5;
constexpr double shear_of_tensile = 0.6;
constexpr double same_place_mm = 0.01;
constexpr double throat_of_plate = 0.7;  // a fillet's leg is no longer than the plate is thick
// EN 1993-1-8, 4.5.1 (from memory): a shorter fillet carries nothing.
constexpr double least_weld_mm = 30.0, least_weld_throats = 6.0;

Place minus(const Place& a, const Place& b) { return {a[0] - b[0], a[1] - b[1]}; }
double size(const Place& a) { return std::hypot(a[0], a[1]); }

class Judge {
 public:
  Judge(const Made& made, const Place& hole, double aside, double thickness,
        const std::vector<PlateLoad>& loads)
      : m_(made),
        of_(in_section(made.material, thickness)),
        hole_(hole),
        aside_(made.offset_mm.value_or(0.0) + aside),
        t_(thickness),
        loads_(loads),
        d_(made.bolt.thread.diameter_mm),
        edge_(made.edge_mm.value_or(2.0 * d_)) {
    out_.thickness_mm = t_;
    out_.edge_mm = edge_;
    out_.hole_mm = hole;
  }

  PlateJudged all() {
    plate();
    hole();
    if (m_.weld) weld();
    if (!m_.fixings_mm.empty()) fixings();
    if (m_.kind == MadeKind::clevis) pin();
    else room();
    rules();
    std::stable_sort(out_.checks.begin(), out_.checks.end(),
                     [](const Check& a, const Check& b) { return a.used > b.used; });
    return std::move(out_);
  }

 private:
  double plates() const { return m_.kind == MadeKind::clevis ? 2.0 : 1.0; }

  // The worst of the loads by `value`; against `limit` with so much in hand.
  template <class Value>
  void worst(Check::Of of, Check::In in, double limit, double in_hand, bool with_shock,
             Value value) {
    Check c{of, in, 0.0, limit / in_hand};
    for (const auto& l : loads_) {
      if (!with_shock && !l.often) continue;
      const double by = with_shock ? l.shock : 1.0;
      const double v = value(Vec3<double>{by * l.force_n.x, by * l.force_n.y, by * l.force_n.z});
      if (v > c.value) {
        c.value = v;
        c.by = l.name;
      }
    }
    c.used = c.value / c.limit;
    if (!loads_.empty()) out_.checks.push_back(std::move(c));
  }

  // Where the plate is held: the end that a bending moment runs to, and the section there.
  struct Root {
    Place at, along;  // along: unit, from the root to the new hole
    double lever, wide, hole;
  };
  Root root() const {
    Root r{};
    if (m_.weld) {
      const Place run = minus(m_.weld->to_mm, m_.weld->from_mm);
      r.wide = size(run);
      r.at = {0.5 * (m_.weld->to_mm[0] + m_.weld->from_mm[0]),
              0.5 * (m_.weld->to_mm[1] + m_.weld->from_mm[1])};
      const Place square{-run[1] / r.wide, run[0] / r.wide};
      const Place out = minus(hole_, r.at);
      const double far = out[0] * square[0] + out[1] * square[1];
      r.lever = std::fabs(far);
      r.along = far < 0.0 ? Place{-square[0], -square[1]} : square;
      return r;
    }
    r.wide = 2.0 * edge_;
    r.hole = d_;
    double nearest = 1e300;
    for (const auto& f : m_.fixings_mm)
      if (const double far = size(minus(hole_, f)); far < nearest) {
        nearest = far;
        r.at = f;
      }
    r.lever = nearest;
    const Place out = minus(hole_, r.at);
    r.along = nearest > same_place_mm ? Place{out[0] / nearest, out[1] / nearest} : Place{0.0, 1.0};
    return r;
  }

  // MPa, at the root. The first two along the plate: at one edge, and all over; then along it at
  // one face; and the twist. Signs say which edge, which face, which way round.
  struct Stress {
    double bent, pulled, flat, twist;
    // At the edge and the face where all of it adds up.
    double all() const {
      const double along = std::fabs(bent) + std::fabs(pulled) + std::fabs(flat);
      return std::sqrt(along * along + 3.0 * twist * twist);
    }
    Stress minus(const Stress& o) const {
      return {bent - o.bent, pulled - o.pulled, flat - o.flat, twist - o.twist};
    }
  };
  Stress stress(const Vec3<double>& force) const {
    const Root r = root();
    const double share = 1.0 / plates();
    const double pull = share * (force.x * r.along[0] + force.y * r.along[1]);
    const double push = share * (force.y * r.along[0] - force.x * r.along[1]);
    const double out = share * force.z;
    // A clevis' tabs stand at both sides of the joint: no moment turns them.
    const double aside = m_.kind == MadeKind::clevis ? 0.0 : aside_;
    const double area = t_ * (r.wide - r.hole);
    // By a force beside the weld's middle the moment at the root is that about the middle.
    double moment = push * r.lever;
    if (m_.weld) {
      const Place off = minus(hole_, r.at);
      moment = share * (off[0] * force.y - off[1] * force.x);
    }
    return {moment / modulus_in_plane_mm3(r.wide, t_, r.hole), pull / area,
            (out * r.lever - pull * aside) / modulus_flat_mm3(r.wide, t_, r.hole),
            push * aside / modulus_torsion_mm3(r.wide, t_)};
  }

  void plate() {
    worst(Check::Of::plate_bent, Check::In::mpa, of_.yield_mpa, yield_in_hand, true,
          [&](const Vec3<double>& f) { return stress(f).all(); });
    // From each load that comes again to each other one, and to none.
    std::vector<std::pair<std::string, Stress>> states{{"", {}}};
    for (const auto& l : loads_)
      if (l.often) states.emplace_back(l.name, stress(l.force_n));
    Check c{Check::Of::plate_tired, Check::In::mpa, 0.0, range_allowed_mpa(of_.group)};
    for (std::size_t i = 0; i < states.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        if (const double range = states[i].second.minus(states[j].second).all(); range > c.value) {
          c.value = range;
          c.by = states[i].first + (j == 0 ? "" : " / " + states[j].first);
        }
    c.used = c.value / c.limit;
    if (!loads_.empty()) out_.checks.push_back(std::move(c));
  }

  void hole() {
    const auto in_plane = [&](const Vec3<double>& f) { return std::hypot(f.x, f.y) / plates(); };
    worst(Check::Of::hole_bearing, Check::In::n, bearing_of_yield * of_.yield_mpa * d_ * t_,
          yield_in_hand, true, in_plane);
    worst(Check::Of::hole_tearing, Check::In::n,
          2.0 * t_ * std::max(0.0, edge_ - 0.5 * d_) * shear_of_tensile * of_.tensile_mpa,
          break_in_hand, true, in_plane);
  }

  // What of the weld carries: its ends, a throat each, are left out (EN 1993-1-8, from memory).
  double weld_mm() const {
    return size(minus(m_.weld->to_mm, m_.weld->from_mm)) - 2.0 * m_.weld->throat_mm;
  }

  double weld_stress(const Vec3<double>& force) const {
    const auto& w = *m_.weld;
    const Place run = minus(w.to_mm, w.from_mm);
    const double whole = size(run), l = weld_mm(), share = 1.0 / plates(),
                 area = 2.0 * w.throat_mm * l;
    const Place u{run[0] / whole, run[1] / whole};
    const Place middle{0.5 * (w.from_mm[0] + w.to_mm[0]), 0.5 * (w.from_mm[1] + w.to_mm[1])};
    const Place off = minus(hole_, middle);
    const double along = share * (force.x * u[0] + force.y * u[1]);
    const double square = share * (force.y * u[0] - force.x * u[1]);
    const double moment = share * (off[0] * force.y - off[1] * force.x);
    const double lever = std::fabs(off[1] * u[0] - off[0] * u[1]);
    const double out = share * std::fabs(force.z);
    const double aside = m_.kind == MadeKind::clevis ? 0.0 : std::fabs(aside_);
    // Two fillets, one on each face: a couple of them takes what bends the plate flat.
    const double couple = l * w.throat_mm * (t_ + w.throat_mm);
    const double pulled = std::fabs(square) / area + 6.0 * std::fabs(moment) / (area * l) +
                          (out * lever + std::fabs(square) * aside) / couple;
    const double sheared = std::fabs(along) / area;
    const double across = out / area + 6.0 * std::fabs(along) * aside / (area * l);
    return std::sqrt(pulled * pulled + sheared * sheared + across * across);
  }

  void weld() {
    const double weaker =
        m_.boss ? std::min(of_.tensile_mpa, m_.boss->tensile_mpa) : of_.tensile_mpa;
    worst(Check::Of::weld, Check::In::mpa, weaker / std::sqrt(3.0), break_in_hand, true,
          [&](const Vec3<double>& f) { return weld_stress(f); });
    // To and fro: those that push with the hardest of them, and those against it.
    const PlateLoad* hardest = nullptr;
    for (const auto& l : loads_)
      if (l.often && (!hardest || weld_stress(l.force_n) > weld_stress(hardest->force_n)))
        hardest = &l;
    std::array<double, 2> by_sign{};
    for (const auto& l : loads_)
      if (l.often) {
        auto& largest = by_sign[dot(l.force_n, hardest->force_n) < 0.0 ? 0 : 1];
        largest = std::max(largest, weld_stress(l.force_n));
      }
    if (hardest) {
      const double range = by_sign[0] + by_sign[1];
      out_.checks.push_back({Check::Of::weld_tired, Check::In::mpa, range, range_weld_mpa,
                             range / range_weld_mpa, hardest->name});
    }
    const double throat = throat_of_plate * t_;
    out_.checks.push_back({Check::Of::weld_throat, Check::In::mm, m_.weld->throat_mm, throat,
                           m_.weld->throat_mm / throat});
    const double least = std::max(least_weld_mm, least_weld_throats * m_.weld->throat_mm);
    out_.checks.push_back({Check::Of::weld_length, Check::In::mm, weld_mm(), least,
                           weld_mm() > 0.0 ? least / weld_mm() : no_way, "", true});
    const auto never = [&](Check::Of of, const Material& material) {
      out_.checks.push_back(
          {of, Check::In::nothing, 0.0, 0.0, no_way, "", false, std::string(material.name)});
    };
    if (!m_.boss) out_.weld_unjudged.push_back({NotJudged::Of::base_metal});
    else if (!m_.boss->weldable) never(Check::Of::welded_to, *m_.boss);
    if (!of_.weldable) never(Check::Of::welded_from, of_);
  }

  void fixings() {
    const auto& b = m_.bolt;
    const double area = stress_area_mm2(b.thread);
    const auto hardest = [&](const Vec3<double>& f) {
      double most = 0.0;
      for (const auto& one : bolt_group(m_.fixings_mm, hole_, {f.x, f.y}))
        most = std::max(most, size(one));
      return most;
    };
    worst(Check::Of::fixing_sheared, Check::In::n,
          shear_of_tensile * strength(b.thread, b.bolt_class).tensile_mpa * area, break_in_hand,
          true, hardest);
    // With what a torque is sure to give.
    const double low = torque_estimate(b.thread, b.bolt_class, Lubrication::dry_zinc).preload.low_n;
    worst(Check::Of::fixing_slipping, Check::In::n, friction * low, slip_in_hand, false, hardest);
    worst(Check::Of::fixing_pulled, Check::In::n, low, 1.5, true,
          [&](const Vec3<double>& f) { return pulled(f); });
  }

  // The hardest pull on a fixing: the plate tilts about its own edge, towards the new hole or away
  // from it by what pushes across it and by `offset`, and sideways by `offset`.
  double pulled(const Vec3<double>& f) const {
    const double n = static_cast<double>(m_.fixings_mm.size());
    Place middle{};
    for (const auto& p : m_.fixings_mm) middle = {middle[0] + p[0] / n, middle[1] + p[1] / n};
    const Place out = minus(hole_, middle);
    const double far = size(out);
    const Place u = far > same_place_mm ? Place{out[0] / far, out[1] / far} : Place{0.0, 1.0};
    double most = std::fabs(f.z) / n;
    const auto tilt = [&](const Place& along, double moment) {
      double low = 1e300, high = -1e300;
      std::vector<double> at;
      for (const auto& p : m_.fixings_mm) {
        const Place off = minus(p, middle);
        at.push_back(off[0] * along[0] + off[1] * along[1]);
        low = std::min(low, at.back());
        high = std::max(high, at.back());
      }
      double worst = 0.0;
      for (const bool about_low : {true, false}) {
        std::vector<double> from_edge;
        from_edge.reserve(at.size());
        for (const double a : at) from_edge.push_back(edge_ + (about_low ? a - low : high - a));
        for (const double pull : tilted_bolts(from_edge, 0.0, moment))
          worst = std::max(worst, pull);
      }
      most += worst;
    };
    tilt(u, f.z * far - (f.x * u[0] + f.y * u[1]) * aside_);
    tilt({-u[1], u[0]}, (f.y * u[0] - f.x * u[1]) * aside_);
    return most;
  }

  // One ball beside one plate: half of each between their middles.
  void room() {
    if (!m_.offset_mm) out_.unjudged.push_back({NotJudged::Of::offset_of_plate});
    if (!m_.ball_width_mm) out_.unjudged.push_back({NotJudged::Of::ball_beside_plate});
    if (!m_.offset_mm || !m_.ball_width_mm) return;
    const double has = std::fabs(aside_), needs = 0.5 * (t_ + *m_.ball_width_mm);
    out_.checks.push_back({Check::Of::ball_beside_plate, Check::In::mm, has, needs,
                           has > 0.0 ? needs / has : no_way, "", true});
  }

  void pin() {
    const auto& b = m_.bolt;
    if (!m_.ball_width_mm) {
      out_.unjudged.push_back({NotJudged::Of::ball_in_clevis});
      return;
    }
    worst(Check::Of::pin_bent, Check::In::mpa, strength(b.thread, b.bolt_class).yield_mpa,
          yield_in_hand, true, [&](const Vec3<double>& f) {
            const auto bent =
                double_shear(b.thread, std::hypot(f.x, f.y), t_, *m_.ball_width_mm, 0.0);
            return bent.value ? bent.value->moment_nmm / root_modulus_mm3(b.thread) : 0.0;
          });
    worst(Check::Of::pin_sheared, Check::In::n,
          2.0 * shear_of_tensile * strength(b.thread, b.bolt_class).tensile_mpa *
              stress_area_mm2(b.thread),
          break_in_hand, true, [&](const Vec3<double>& f) { return std::hypot(f.x, f.y); });
  }

  // Rules of the trade that hang on no load.
  void rules() {
    out_.checks.push_back(
        {Check::Of::edge, Check::In::mm, edge_, 2.0 * d_, 2.0 * d_ / edge_, "", true});
    const bool tabs = m_.kind == MadeKind::clevis;
    const double least = tabs ? d_ / 3.0 : 0.5 * d_;
    out_.checks.push_back({tabs ? Check::Of::thickness_of_tabs : Check::Of::thickness,
                           Check::In::mm, t_, least, least / t_, "", true});
    for (const auto& f : m_.fixings_mm) {
      const double far = size(minus(hole_, f)), least_far = 2.0 * d_;
      if (far > same_place_mm && far < least_far)
        out_.checks.push_back({Check::Of::hole_beside_fixing, Check::In::mm, far, least_far,
                               least_far / far, "", true});
    }
  }

  const Made& m_;
  Material of_;  // in this thickness
  Place hole_;
  double aside_, t_;
  const std::vector<PlateLoad>& loads_;
  double d_, edge_;
  PlateJudged out_;
};

}  // namespace

double modulus_in_plane_mm3(double b, double t, double hole) {
  return t * (b * b * b - hole * hole * hole) / (6.0 * b);
}
double modulus_flat_mm3(double b, double t, double hole) { return (b - hole) * t * t / 6.0; }
double modulus_torsion_mm3(double b, double t) {
  const double a = std::max(b, t), c = std::min(b, t), k = c / a;
  return a * c * c / (3.0 + 1.8 * k);
}

std::vector<std::array<double, 2>> bolt_group(const std::vector<std::array<double, 2>>& bolts,
                                              const std::array<double, 2>& at,
                                              const std::array<double, 2>& force) {
  const double n = static_cast<double>(bolts.size());
  check(n >= 2.0, "a bolt group has two bolts at least", {{"bolts", n}});
  Place middle{};
  for (const auto& b : bolts) middle = {middle[0] + b[0] / n, middle[1] + b[1] / n};
  double squares = 0.0;
  for (const auto& b : bolts) squares += size(minus(b, middle)) * size(minus(b, middle));
  const Place off = minus(at, middle);
  const double turn = (off[0] * force[1] - off[1] * force[0]) / squares;
  std::vector<Place> on;
  on.reserve(bolts.size());
  for (const auto& b : bolts) {
    const Place r = minus(b, middle);
    on.push_back({force[0] / n - turn * r[1], force[1] / n + turn * r[0]});
  }
  return on;
}

PlateJudged judged(const Made& made, const std::array<double, 2>& hole, double aside,
                   double thickness, const std::vector<PlateLoad>& loads) {
  check(thickness > 0.0, "a plate has a thickness", {{"thickness_mm", thickness}});
  return Judge(made, hole, aside, thickness, loads).all();
}

double range_allowed_mpa(MaterialGroup group) {
  constexpr double plain_steel = 160.0, plain_aluminium = 71.0;
  return group == MaterialGroup::steel ? range_plate_mpa
                                       : range_plate_mpa * plain_aluminium / plain_steel;
}

std::vector<double> tilted_bolts(const std::vector<double>& from_edge, double pull, double moment) {
  check(!from_edge.empty(), "a bracket is held by bolts", {});
  double squares = 0.0;
  for (const double l : from_edge) squares += l * l;
  check(squares > 0.0, "a bolt stands off the edge that a bracket tilts about", {});
  std::vector<double> on;
  on.reserve(from_edge.size());
  for (const double l : from_edge)
    on.push_back(std::fabs(pull) / static_cast<double>(from_edge.size()) +
                 std::fabs(moment) * l / squares);
  return on;
}

PlateChoice chosen_plate(const Made& made, const std::array<double, 2>& hole, double aside,
                         const std::vector<PlateLoad>& loads, bool all_known) {
  const auto holds = [&](double t) { return !judged(made, hole, aside, t, loads).fails(); };
  std::optional<double> thin;
  for (const double t : made.stock_mm)
    if (!thin && all_known && holds(t)) thin = t;
  using Why = PlateChoice::Why;
  if (!made.thickness_mm && !all_known) return {{}, Why::not_known};
  if (made.thickness_mm || thin) {
    PlateChoice c{judged(made, hole, aside, made.thickness_mm.value_or(thin.value_or(0.0)), loads)};
    if (!c.plate->fails()) return c;
    c.serves_mm = thin;
    c.why = thin || all_known ? Why::too_thin : Why::too_thin_yet;
    return c;
  }
  // The one in which least fails, and that by least; of like ones the thickest.
  PlateChoice c;
  const auto how_bad = [](const PlateJudged& p) {
    return std::pair{std::count_if(p.checks.begin(), p.checks.end(),
                                   [](const Check& one) { return one.used > 1.0; }),
                     p.checks.front().used};
  };
  for (const double t : made.stock_mm)
    if (auto p = judged(made, hole, aside, t, loads); !c.plate || how_bad(p) <= how_bad(*c.plate))
      c.plate = std::move(p);
  c.why = Why::none_serves;
  return c;
}

}  // namespace trammel
