#include "make/load_case.h"

#include <algorithm>
#include <cmath>

#include "travel/springs.h"

namespace trammel {
namespace {

// Common practice where a file says nothing else.
constexpr double usual_height_mm = 540.0, usual_brake_front = 0.7;
constexpr double tyre_grip = 1.1;        // of what a dry road takes
constexpr double usual_trail_mm = 30.0;  // of a tyre near its limit of side force
constexpr double parking_n = 5000.0;     // against a kerb, or a servo at the rack's end: 5 to 8 kN

struct Usual {
  const char* name;
  double g, shock;
  bool often;
};
constexpr Usual cornering{"cornering", 1.1, 2.0, true}, braking{"braking", 1.0, 2.0, true},
    accelerating{"accelerating", 0.5, 2.0, true}, bump{"bump", 3.0, 1.0, true},
    cornering_braking{"cornering and braking", 0.7, 2.0, true}, kerb{"kerb", 1.0, 1.0, false},
    pothole{"pothole", 1.0, 1.0, false};
constexpr const char* parking = "parking";

// Shares of the car's weight, by axle.
constexpr std::array<double, 2> kerb_side{0.87, 0.72}, hole_back{0.72, 0.45}, hole_up{0.87, 0.54};
constexpr double kerb_up = 1.9;  // of the wheel's load

// The weights of the car, as far as one axle's loads hang on them.
struct Weights {
  double wheel_n, axle_n, car_n;  // of the heavier side
};

class Cases {
 public:
  Cases(const Car& car, AxleName axle, const std::vector<OwnLoad>& own)
      : car_(car), name_(axle), axle_(*car.at(axle)), own_(own) {
    if (car.body.corner_kg) {
      const auto& kg = *car.body.corner_kg;
      const auto& mine = kg[static_cast<std::size_t>(axle)];
      double all = 0.0;
      for (const auto& a : kg) all += a[0] + a[1];
      weights_ = Weights{gravity_m_s2 * std::max(mine[0], mine[1]),
                         gravity_m_s2 * (mine[0] + mine[1]), gravity_m_s2 * all};
    }
    half_track_mm_ = std::fabs(axle_.at(Side::left).numbers.points_mm[0].y);
    height_mm_ = car.body.centre_of_gravity_height_mm.value_or(usual_height_mm);
  }

  LoadCases all() {
    if (weights_) usual();
    else out_.wanting.emplace_back();
    if (axle_.layout.steered()) {
      LoadCase c;
      c.name = parking;
      c.shock = 1.0;
      c.steered_rod_n = parking_n;
      if (const auto* o = changed(parking)) {
        c.shock = o->shock.value_or(c.shock);
        c.steered_rod_n = o->outboard_n ? std::fabs(*o->outboard_n) : c.steered_rod_n;
      }
      out_.cases.push_back(std::move(c));
    }
    for (const auto& o : own_) owners(o);
    return std::move(out_);
  }

 private:
  const OwnLoad* changed(std::string_view name) const {
    for (const auto& o : own_)
      if (o.name == name && (!o.axle || *o.axle == name_)) return &o;
    return nullptr;
  }

  // A usual case with the owner's figures where the file has a row of its name.
  double g_of(const Usual& u) const {
    const auto* o = changed(u.name);
    return o && o->g ? *o->g : u.g;
  }
  void take(const Usual& u, std::string words, Vec3<double> contact, Vec3<double> centre = {},
            double trail_mm = 0.0) {
    const auto* o = changed(u.name);
    LoadCase c;
    c.name = std::move(words);
    c.load = {contact, centre, o && o->trail_mm && trail_mm > 0.0 ? *o->trail_mm : trail_mm};
    c.shock = o && o->shock ? *o->shock : u.shock;
    c.often = u.often;
    out_.cases.push_back(std::move(c));
  }

  // Sideways each axle bears its own mass: what springs and bars shift between the axles is left
  // out, which is on the safe side for the softer one.
  double across_n(double g) const {
    return std::min(weights_->axle_n * g * height_mm_ / (2.0 * half_track_mm_),
                    0.5 * weights_->axle_n);
  }
  // From the rear axle to the front one, per wheel; positive on the front one.
  double along_n(double g) const {
    const auto base = car_.wheelbase_mm();
    if (!base) return 0.0;
    const double n = 0.5 * weights_->car_n * g * height_mm_ / *base;
    return name_ == AxleName::front ? n : -n;
  }

  void usual() {
    const double wheel = weights_->wheel_n;
    if (!car_.body.centre_of_gravity_height_mm)
      out_.taken_for_granted.push_back({TakenForGranted::Of::centre_of_gravity, usual_height_mm});
    if (!car_.wheelbase_mm())
      out_.taken_for_granted.push_back({TakenForGranted::Of::nothing_forward});

    {
      const double g = g_of(cornering), up = wheel + across_n(g);
      const Vec3<double> push{0.0, -g * up, up};
      take(cornering, "cornering, outside", push);
      take(cornering, "cornering, outside, tyre trail", push, {}, usual_trail_mm);
      const double left = std::max(0.0, wheel - across_n(g));
      take(cornering, "cornering, inside", {0.0, g * left, left});
    }
    const double front = car_.body.brake_front.value_or(usual_brake_front);
    if (!car_.body.brake_front)
      out_.taken_for_granted.push_back({TakenForGranted::Of::braking_in_front, usual_brake_front});
    const double share = name_ == AxleName::front ? front : 1.0 - front;
    const auto braked = [&](double g, double up) {
      return std::min(0.5 * share * weights_->car_n * g, tyre_grip * up);
    };
    {
      const double g = g_of(braking), up = std::max(0.0, wheel + along_n(g));
      take(braking, "braking", {-braked(g, up), 0.0, up});
    }
    {
      const double g = g_of(cornering_braking);
      const double up = std::max(0.0, wheel + along_n(g) + across_n(g));
      take(cornering_braking, "cornering and braking, outside", {-braked(g, up), -g * up, up}, {},
           usual_trail_mm);
    }
    const auto drive = car_.body.drive;
    if (drive && (*drive == DrivenAxle::all ||
                  (*drive == DrivenAxle::front) == (name_ == AxleName::front))) {
      const double g = g_of(accelerating), up = std::max(0.0, wheel - along_n(g));
      const double axles = *drive == DrivenAxle::all ? 0.5 : 1.0;
      const double thrust = std::min(0.5 * axles * weights_->car_n * g, tyre_grip * up);
      take(accelerating, "accelerating", {0.0, 0.0, up}, {thrust, 0.0, 0.0});
    }
    take(bump, "bump", {0.0, 0.0, g_of(bump) * wheel});
    const auto i = static_cast<std::size_t>(name_);
    const double car = weights_->car_n;
    take(kerb, "kerb", {0.0, -g_of(kerb) * kerb_side[i] * car, kerb_up * wheel});
    take(pothole, "pothole",
         {-g_of(pothole) * hole_back[i] * car, 0.0, g_of(pothole) * hole_up[i] * car});
  }

  void owners(const OwnLoad& o) {
    if (is_usual_load(o.name) || (o.axle && *o.axle != name_)) return;
    if (!o.up_n && !weights_) {
      out_.wanting.push_back({o.name});
      return;
    }
    LoadCase c;
    c.name = o.name;
    const double up = o.up_n ? *o.up_n : weights_->wheel_n;
    const Vec3<double> push{o.forward_n.value_or(0.0), o.outboard_n.value_or(0.0), 0.0};
    (o.at_centre ? c.load.at_centre_n : c.load.at_contact_n) = push;
    c.load.at_contact_n.z = up;
    c.load.trail_mm = o.trail_mm.value_or(0.0);
    c.shock = o.shock.value_or(1.0);
    out_.cases.push_back(std::move(c));
  }

  const Car& car_;
  AxleName name_;
  const Axle& axle_;
  const std::vector<OwnLoad>& own_;
  std::optional<Weights> weights_;
  double half_track_mm_ = 0.0, height_mm_ = 0.0;
  LoadCases out_;
};

}  // namespace

LoadCases load_cases(const Car& car, AxleName axle, const std::vector<OwnLoad>& own) {
  return Cases(car, axle, own).all();
}

}  // namespace trammel
