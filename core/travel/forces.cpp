#include "travel/forces.h"

#include <cmath>

namespace trammel {
namespace {

// Lengths are counted at 300 mm where turning and moving are compared: the smallest pivot of rows
// so scaled falls below this where a row is all but held by the others.
constexpr double turning_mm = 300.0, locked = 1e-6;

const std::optional<Line<double>>& line_of(const Mechanism<double>& m, Support s) {
  return s == Support::spring ? m.spring : s == Support::strut ? m.strut : m.damper;
}

// The joints on the body of an arm that turns freely about the line through them, from everything
// else that pushes at it.
class ArmBalance {
 public:
  ArmBalance(const Vec3<double>& front, const Vec3<double>& rear) : front_(front), rear_(rear) {}

  void push(const Vec3<double>& at, const Vec3<double>& force) {
    sum_ = sum_ + force;
    moment_ = moment_ + cross(at - front_, force);
  }
  // On the body; along the line of the joints `front_along` is the front one's.
  std::array<Vec3<double>, 2> on_body(double front_along) const {
    const Vec3<double> span = rear_ - front_;
    const double apart = length(span);
    const Vec3<double> axis = (1.0 / apart) * span;
    const auto square = [&](const Vec3<double>& v) { return v - dot(v, axis) * axis; };
    const Vec3<double> rear = (-1.0 / apart) * cross(axis, moment_);
    const Vec3<double> front = square(sum_) - rear;
    return {front + front_along * axis, rear + (dot(sum_, axis) - front_along) * axis};
  }
  const Vec3<double>& sum() const { return sum_; }

 private:
  Vec3<double> front_, rear_, sum_{}, moment_{};
};

}  // namespace

Support support_of(const Layout& l) {
  return l.spring   ? Support::spring
         : l.strut  ? Support::strut
         : l.damper ? Support::damper
                    : Support::none;
}

std::string_view words(Support s) {
  switch (s) {
    case Support::spring:
      return "the spring";
    case Support::strut:
      return "a spring taken along the strut";
    case Support::damper:
      return "a spring taken along the damper";
    case Support::none:
      break;
  }
  return "nothing";
}

Answer<Forces, NoForces> forces(const At<double>& at, const Load& load) {
  const auto& m = at.mechanism;
  const auto& placed = at.placed;
  Forces f;
  f.support = support_of(at.layout);
  if (f.support == Support::none) return {{}, NoForces::nothing_holds_it_up};
  const Line<double>& support = *line_of(m, f.support);

  Matrix6<double> rows;
  std::size_t n = 0;
  const auto take = [&](const Six<double>& change) {
    rows[n] = change;
    for (std::size_t k = 3; k < 6; ++k) rows[n][k] /= turning_mm;
    ++n;
  };
  for (const auto& row : m.distance) take(value_of(placed, row).change);
  for (const auto& row : m.plane) take(value_of(placed, row).change);
  take(length_of(placed, support).change);

  const auto& g = at.ground;
  const auto in_body = [&](const Vec3<double>& v) {
    return v.x * g.forward + v.y * g.outboard + v.z * g.up;
  };
  const Vec3<double> ahead = unit(cross(at.spin, g.up));
  const Vec3<double> road = in_body(load.at_contact_n);
  const Vec3<double> lever = at.contact - load.trail_mm * ahead - placed.centre();
  const Vec3<double> push = road + in_body(load.at_centre_n), moment = cross(lever, road);

  const auto order = pivot_order(rows);
  const auto factors = factored(rows, order);
  if (!(std::fabs(factors.smallest_pivot) > locked)) return {{}, NoForces::locked_position};
  const double by = -1.0 / turning_mm;
  // How each row pushes towards its own increase.
  const auto held = solved_transposed(
      factors, Six<double>{-push.x, -push.y, -push.z, by * moment.x, by * moment.y, by * moment.z});

  n = 0;
  f.arm.resize(at.layout.arms.size());
  std::vector<ArmBalance> balance;
  balance.reserve(f.arm.size());
  for (std::size_t i = 0; i < f.arm.size(); ++i)
    balance.emplace_back(placed.position(m.distance[2 * i].inner),
                         placed.position(m.distance[2 * i + 1].inner));
  // A push at what stands on an arm: its ball joint hands on to the upright what turns the arm.
  const auto push_at = [&](const Anchor<double>& a, const Vec3<double>& force) {
    if (a.on.on != Carrier::arm) return;
    const auto i = static_cast<std::size_t>(a.on.arm);
    Six<double> handed{};
    placed.pull(handed, a, force);
    f.arm[i].ball_n = f.arm[i].ball_n + Vec3<double>{handed[0], handed[1], handed[2]};
    balance[i].push(placed.position(a), force);
  };
  for (const auto& row : m.distance) {
    const Vec3<double> along = unit(placed.position(row.outer) - placed.position(row.inner));
    const double thrust = held[n];
    if (n < 2 * f.arm.size()) {
      auto& arm = f.arm[n / 2];
      arm.leg_n[n % 2] = -thrust;
      arm.ball_n = arm.ball_n + thrust * along;
    } else {
      f.rod_n.push_back(-thrust);
      push_at(row.inner, -thrust * along);
    }
    ++n;
  }
  Vec3<double> side{};
  std::array<Vec3<double>, 2> pivots{};
  for (const auto& row : m.plane) {
    if (row.plane_on_upright) {
      side = side - held[n] * placed.direction({Carrier::upright, -1}, row.normal);
    } else {
      auto& pivot = pivots[row.plane_point == at.layout.swing->pivot_outer ? 1 : 0];
      pivot = pivot - held[n] * row.normal;
    }
    ++n;
  }
  f.support_n = held[n];
  const Vec3<double> down = unit(placed.position(support.foot) - placed.position(support.top));
  push_at(support.foot, f.support_n * down);

  for (std::size_t i = 0; i < f.arm.size(); ++i) {
    auto& arm = f.arm[i];
    const auto& front_leg = m.distance[2 * i];
    const Vec3<double> front = placed.position(front_leg.inner);
    const Vec3<double> axis = unit(placed.position(m.distance[2 * i + 1].inner) - front);
    const auto along_leg = [&](std::size_t k) {
      const auto& row = m.distance[2 * i + k];
      return arm.leg_n[k] *
             dot(unit(placed.position(row.outer) - placed.position(row.inner)), axis);
    };
    const double others = dot(balance[i].sum(), axis);
    balance[i].push(placed.position(front_leg.outer), -arm.ball_n);
    arm.body_n = balance[i].on_body(along_leg(0) + 0.5 * others);
  }
  if (m.strut) {
    const Vec3<double> strut = placed.position(m.strut->foot) - placed.position(m.strut->top);
    f.strut = StrutForces{side, length(side) * length(strut)};
  }
  if (at.layout.swing) {
    const auto& s = *at.layout.swing;
    const auto point = [&](int p) { return m.numbers.points_mm[static_cast<std::size_t>(p)]; };
    const Vec3<double> line = unit(point(s.pivot_outer) - point(s.pivot_inner));
    const double half = 0.5 * dot(pivots[0], line);
    f.swing_n = {pivots[0] - half * line, pivots[1] + half * line};
  }
  return {std::move(f), {}};
}

std::optional<Vec3<double>> through_joint(const At<double>& at, const Forces& f, int point) {
  const auto& l = at.layout;
  const auto& m = at.mechanism;
  for (std::size_t i = 0; i < l.arms.size(); ++i) {
    if (l.arms[i].upright == point) return f.arm[i].ball_n;
    if (l.arms[i].body_front == point) return f.arm[i].body_n[0];
    if (l.arms[i].body_rear == point) return f.arm[i].body_n[1];
  }
  for (std::size_t i = 0; i < l.rods.size(); ++i) {
    const auto& row = m.distance[2 * l.arms.size() + i];
    const Vec3<double> in =
        f.rod_n[i] * unit(at.placed.position(row.inner) - at.placed.position(row.outer));
    if (l.rods[i].upright == point) return in;
    if (l.rods[i].inner == point) return -in;
  }
  if (l.strut && l.strut->top == point) return -f.strut->side_n;
  if (l.swing && l.swing->pivot_inner == point) return (*f.swing_n)[0];
  if (l.swing && l.swing->pivot_outer == point) return (*f.swing_n)[1];
  return {};
}

}  // namespace trammel
