#include "make/bracket.h"

#include <fmt/format.h>

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

Place minus(const Place& a, const Place& b) { return {a[0] - b[0], a[1] - b[1]}; }
double size(const Place& a) { return std::hypot(a[0], a[1]); }

class Judge {
 public:
  Judge(const Made& made, const Place& hole, double aside, double thickness,
        const std::vector<PlateLoad>& loads)
      : m_(made),
        hole_(hole),
        aside_(std::fabs(made.offset_mm + aside)),
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
    rules();
    std::stable_sort(out_.checks.begin(), out_.checks.end(),
                     [](const Check& a, const Check& b) { return a.used > b.used; });
    return std::move(out_);
  }

 private:
  double plates() const { return m_.kind == MadeKind::clevis ? 2.0 : 1.0; }

  // The worst of the loads by `value`; against `limit` with so much in hand.
  template <class Value>
  void worst(const char* what, const char* unit, double limit, double in_hand, std::string change,
             bool with_shock, Value value) {
    Check c{what, unit, 0.0, limit, 0.0, "", std::move(change)};
    for (const auto& l : loads_) {
      if (!with_shock && !l.often) continue;
      const double by = with_shock ? l.shock : 1.0;
      const double v = value(Vec3<double>{by * l.force_n.x, by * l.force_n.y, by * l.force_n.z});
      if (v > c.value) {
        c.value = v;
        c.by = l.name;
      }
    }
    c.used = in_hand * c.value / limit;
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

  struct Stress {
    double bent, pulled, flat, twist;  // MPa; the first two signed: at one edge, and all over
    double all() const {
      const double along = std::fabs(bent) + std::fabs(pulled) + std::fabs(flat);
      return std::sqrt(along * along + 3.0 * twist * twist);
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
    return {
        moment / modulus_in_plane_mm3(r.wide, t_, r.hole), pull / area,
        (std::fabs(out) * r.lever + std::fabs(pull) * aside) / modulus_flat_mm3(r.wide, t_, r.hole),
        std::fabs(push) * aside / modulus_torsion_mm3(r.wide, t_)};
  }

  void plate() {
    worst("plate bent and twisted", "MPa", m_.material.yield_mpa, yield_in_hand,
          "thicker or wider plate; a shorter offset; two tabs instead of one", true,
          [&](const Vec3<double>& f) { return stress(f).all(); });
    // Each edge of the plate by itself, from the unloaded plate on.
    std::array<double, 2> low{}, high{};
    for (const auto& l : loads_) {
      if (!l.often) continue;
      const Stress st = stress(l.force_n);
      for (std::size_t edge = 0; edge < 2; ++edge) {
        const double at = st.pulled + (edge == 0 ? st.bent : -st.bent);
        low[edge] = std::min(low[edge], at);
        high[edge] = std::max(high[edge], at);
      }
    }
    const double range = std::max(high[0] - low[0], high[1] - low[1]);
    if (!loads_.empty())
      out_.checks.push_back({"plate, stress that comes and goes", "MPa", range, range_plate_mpa,
                             range / range_plate_mpa, "", "thicker or wider plate"});
  }

  void hole() {
    const auto in_plane = [&](const Vec3<double>& f) { return std::hypot(f.x, f.y) / plates(); };
    worst("hole, bearing", "N", bearing_of_yield * m_.material.yield_mpa * d_ * t_, yield_in_hand,
          "thicker plate", true, in_plane);
    worst("hole, tearing out", "N",
          2.0 * t_ * std::max(0.0, edge_ - 0.5 * d_) * shear_of_tensile * m_.material.tensile_mpa,
          break_in_hand, "more edge round the hole", true, in_plane);
  }

  double weld_stress(const Vec3<double>& force) const {
    const auto& w = *m_.weld;
    const Place run = minus(w.to_mm, w.from_mm);
    const double l = size(run), share = 1.0 / plates(), area = 2.0 * w.throat_mm * l;
    const Place u{run[0] / l, run[1] / l};
    const Place middle{0.5 * (w.from_mm[0] + w.to_mm[0]), 0.5 * (w.from_mm[1] + w.to_mm[1])};
    const Place off = minus(hole_, middle);
    const double along = share * (force.x * u[0] + force.y * u[1]);
    const double square = share * (force.y * u[0] - force.x * u[1]);
    const double moment = share * (off[0] * force.y - off[1] * force.x);
    const double lever = std::fabs(off[1] * u[0] - off[0] * u[1]);
    const double out = share * std::fabs(force.z);
    const double aside = m_.kind == MadeKind::clevis ? 0.0 : aside_;
    // Two fillets, one on each face: a couple of them takes what bends the plate flat.
    const double couple = l * w.throat_mm * (t_ + w.throat_mm);
    const double pulled = std::fabs(square) / area + 6.0 * std::fabs(moment) / (area * l) +
                          (out * lever + std::fabs(square) * aside) / couple;
    const double sheared = std::fabs(along) / area;
    const double across = out / area + 6.0 * std::fabs(along) * aside / (area * l);
    return std::sqrt(pulled * pulled + sheared * sheared + across * across);
  }

  void weld() {
    worst("weld", "MPa", m_.material.tensile_mpa / std::sqrt(3.0), break_in_hand,
          "a longer weld, or a thicker one", true,
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
    if (!loads_.empty()) {
      const double range = by_sign[0] + by_sign[1];
      out_.checks.push_back({"weld, stress that comes and goes", "MPa", range, range_weld_mpa,
                             range / range_weld_mpa, "", "a longer weld; a gusset; bolts instead"});
    }
    if (!m_.boss_welds)
      out_.checks.push_back({fmt::format("welding to {}", m_.boss), "", 0.0, 0.0, 10.0, "",
                             "never weld it: a plate bolted on, or a new part"});
    if (!m_.material.weldable)
      out_.checks.push_back({fmt::format("welding {}", m_.material.name), "", 0.0, 0.0, 10.0, "",
                             "S275 or S355 plate"});
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
    worst("fixing bolt, shear", "N",
          shear_of_tensile * strength(b.thread, b.bolt_class).tensile_mpa * area, break_in_hand,
          "fixings further apart, or a larger bolt", true, hardest);
    worst("fixing bolt, slipping", "N", friction * preload_n(b.thread, b.bolt_class), slip_in_hand,
          "fixings further apart, a third one, or a dowel", false, hardest);
    // Across the plate the bolts hold a lever over the nearest edge of the group.
    const Root r = root();
    worst("fixing bolt, pulled", "N", preload_n(b.thread, b.bolt_class), 1.5,
          "fixings further apart, or a shorter offset", true, [&](const Vec3<double>& f) {
            const double pull = std::fabs(f.x * r.along[0] + f.y * r.along[1]);
            double spread = edge_;
            for (const auto& p : m_.fixings_mm)
              spread = std::max(spread, size(minus(p, r.at)) + edge_);
            return std::fabs(f.z) * (1.0 + r.lever / spread) + pull * aside_ / spread;
          });
  }

  void pin() {
    const auto& b = m_.bolt;
    worst("pin bent between the tabs", "MPa", strength(b.thread, b.bolt_class).yield_mpa,
          yield_in_hand, "thinner spacers between the tabs, or a larger bolt", true,
          [&](const Vec3<double>& f) {
            const auto bent =
                double_shear(b.thread, std::hypot(f.x, f.y), t_, m_.ball_width_mm, 0.0);
            return bent.value ? bent.value->moment_nmm / root_modulus_mm3(b.thread) : 0.0;
          });
    worst("pin, shear", "N",
          2.0 * shear_of_tensile * strength(b.thread, b.bolt_class).tensile_mpa *
              stress_area_mm2(b.thread),
          break_in_hand, "a larger bolt", true,
          [&](const Vec3<double>& f) { return std::hypot(f.x, f.y); });
  }

  // Rules of the trade that hang on no load.
  void rules() {
    out_.checks.push_back({"edge round a hole", "mm", edge_, 2.0 * d_, 2.0 * d_ / edge_, "",
                           "twice the bolt from centre to edge"});
    const double least = m_.kind == MadeKind::clevis ? d_ / 3.0 : 0.5 * d_;
    out_.checks.push_back(
        {"thickness for the bolt", "mm", t_, least, least / t_, "",
         m_.kind == MadeKind::clevis ? "a third of the bolt in each tab" : "half the bolt"});
    for (const auto& f : m_.fixings_mm) {
      const double far = size(minus(hole_, f)), least_far = 2.0 * d_;
      if (far > same_place_mm && far < least_far)
        out_.checks.push_back(
            {"new hole beside a fixing's", "mm", far, least_far, least_far / far, "",
             "move the fixing, weld a boss, or use the nearest place that clears"});
    }
  }

  const Made& m_;
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

PlateChoice chosen_plate(const Made& made, const std::array<double, 2>& hole, double aside,
                         const std::vector<PlateLoad>& loads) {
  const auto serves = [&](double t) { return judged(made, hole, aside, t, loads).serves(); };
  std::optional<double> thin;
  for (const double t : made.stock_mm)
    if (!thin && serves(t)) thin = t;
  if (made.thickness_mm || thin) {
    PlateChoice c{judged(made, hole, aside, made.thickness_mm.value_or(thin.value_or(0.0)), loads),
                  ""};
    if (c.plate.serves()) return c;
    const auto& first = c.plate.checks.front();
    c.why = fmt::format(
        "{:g} mm does not serve: {} fails first ({:.0f} % of what it may). {}",
        c.plate.thickness_mm, first.what, 100.0 * first.used,
        thin ? fmt::format("{:g} mm of the stock serves.", *thin)
             : fmt::format("No thickness of the stock serves; what helps: {}.", first.change));
    return c;
  }
  PlateChoice c{judged(made, hole, aside, made.stock_mm.back(), loads), ""};
  const auto& first = c.plate.checks.front();
  c.why = fmt::format(
      "no thickness of the stock serves: in {:g} mm {} fails first ({:.0f} % of "
      "what it may). What helps: {}.",
      c.plate.thickness_mm, first.what, 100.0 * first.used, first.change);
  return c;
}

}  // namespace trammel
