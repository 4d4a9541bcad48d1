#include "sheet/record.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/in_units.h"
#include "base/words.h"
#include "told/cautions.h"
#include "told/section_table.h"

namespace trammel {
namespace {

class Record {
 public:
  Record(const Car& car, const Correction& correction, const Aligning& aligning,
         const Proving& proving, const Jobs& jobs, Units units)
      : car_(car), c_(correction), a_(aligning), p_(proving), jobs_(jobs), t_(units) {}

  Section told() {
    auto s = begun(SectionId::record);
    s.answer = answer();
    blocks_ = &s.blocks;
    blocks_->emplace_back(Caution{caution({Care::record_only, Care::law, Care::second_names})});
    fitted();
    before_and_after();
    torques();
    day();
    signatures();
    return s;
  }

 private:
  const AxleProved* proved(AxleName a) const {
    const auto& axle = p_.axle[static_cast<std::size_t>(a)];
    return axle ? &*axle : nullptr;
  }

  std::string answer() const {
    std::vector<std::string> parts;
    for (const AxleName a : each_axle)
      if (const auto& c = c_.at(a); c && c->to_fit())
        parts.push_back(fmt::format("{}: {}", word(a),
                                    fit_words(c->ranking.shelf, c->to_fit()->fit, t_.units())));
    std::string text = parts.empty() ? "No parts are chosen. " : capital(listed(parts)) + ". ";
    text += !a_.now() ? "Not aligned yet"
            : a_.met  ? fmt::format("Aligned: all that was read on '{}' is where it is wanted",
                                    a_.now()->when)
                      : fmt::format("Alignment as read on '{}' is not where it is wanted",
                                    a_.now()->when);
    std::vector<std::string> verdicts;
    for (const AxleName a : each_axle) {
      const auto* p = proved(a);
      if (!p) continue;
      if (p->corners.empty()) verdicts.push_back(fmt::format("{} not proved yet", word(a)));
      for (const auto& c : p->corners) {
        const auto verdict = p_.runs[c.run].verdict;
        verdicts.push_back(fmt::format(
            "{} {} {}{}", word(a), word(c.side),
            verdict == Verdict::wrong ? std::string_view("not as predicted") : word(verdict),
            p->other_set ? " with other parts than these" : ""));
      }
      if (p->corners.size() == 1)
        verdicts.push_back(
            fmt::format("{} {} not run", word(a), word(other_side(p->corners[0].side))));
    }
    if (!verdicts.empty()) text += "; by the gauge: " + listed(verdicts);
    return text + ".";
  }

  void fitted() {
    Grid g;
    g.title = first_day(true) ? "What is fitted" : "What is to be fitted";
    g.heads = {"axle", "part", "size", "state"};
    g.units = {"", "", "", ""};
    for (const AxleName a : each_axle) {
      const auto& c = c_.at(a);
      if (!c || !c->to_fit()) continue;
      const auto& fit = c->to_fit()->fit;
      const auto& choices = c->ranking.shelf.choices;
      for (std::size_t i = 0; i < choices.size(); ++i) {
        const auto& name = choices[i].option.name;
        std::string state;
        for (const auto& j : jobs_.rows)
          if (j.part == name) state = j.state;
        const auto& [left, right] = fit.part[i];
        g.rows.push_back(
            {word(a), name,
             words(choices[i], fit, i, t_.units()) + (left == right ? ", both sides" : ""), state});
      }
    }
    g.to_fill = true;
    if (!g.rows.empty()) blocks_->emplace_back(std::move(g));
  }

  // The first day as it sat, and the last with the parts in (or simply the last one of several).
  const SessionFound* first_day(bool fitted) const {
    for (const auto& d : a_.sessions)
      if (d.fitted == fitted) return &d;
    return nullptr;
  }
  const SessionFound* last_day() const {
    const auto* now = a_.now();
    return now && (now->fitted || now != first_day(false)) ? now : nullptr;
  }

  std::string angle(double rad) const {
    return shown_signed(rad, Measure::angle, t_.units()) + "°";
  }
  std::string read(const std::optional<Estimate>& e) const {
    return e ? fmt::format("{}\u00a0±\u00a0{}°", shown_signed(e->value, Measure::angle, t_.units()),
                           shown(e->sigma, Measure::angle, t_.units()))
             : "";
  }

  void before_and_after() {
    Grid g;
    const auto* found = first_day(false);
    const auto* last = last_day();
    g.title = "Before and after";
    g.heads = {"", found ? "before: " + found->when : "before", "predicted with the parts",
               last ? "as read: " + last->when : "as read"};
    g.units = {"", "", "", ""};
    for (const AxleName a : each_axle) {
      if (!car_.at(a)) continue;
      const auto& c = c_.at(a);
      const auto* set = c ? c->to_fit() : nullptr;
      const auto* p = proved(a);
      if (c)
        g.rows.push_back({fmt::format("{}: roll centre height", word(a)),
                          t_.mm(c->ranking.before.roll_centre_height_mm),
                          set ? t_.mm(set->figures->roll_centre_height_mm) : "", "not measured"});
      for (const Side s : each_side) {
        const auto where = fmt::format("{} {}", word(a), word(s));
        const auto put = [&](const char* what, const std::optional<Estimate>& before,
                             std::optional<double> predicted,
                             const std::optional<Estimate>& after) {
          g.rows.push_back({fmt::format("{}: {}", where, what), read(before),
                            predicted ? angle(*predicted) : "", read(after)});
        };
        const WheelFound none;
        const auto& b = found ? found->at(a).at(s) : none;
        const auto& n = last ? last->at(a).at(s) : none;
        if (c) {
          // A wheel by its own figures, and read by its own run.
          const auto& was = c->ranking.before.wheel[s];
          const auto* is = set ? &set->figures->wheel[s] : nullptr;
          const WindowKnown* run = nullptr;
          if (p)
            for (const auto& corner : p->corners)
              if (const auto& w = p_.runs[corner.run].window; w && corner.side == s) run = &*w;
          g.rows.push_back(
              {fmt::format("{}: largest toe change", where), t_.deg(was.toe_change_max_rad),
               is ? t_.deg(is->toe_change_max_rad) : "", run ? t_.deg(run->change_max_rad) : ""});
          g.rows.push_back({fmt::format("{}: toe per bump", where), t_.slope(was.bump_steer),
                            is ? t_.slope(is->bump_steer) : "", run ? t_.slope(run->slope) : ""});
        }
        const auto predicted = [&](const auto& of) -> std::optional<double> {
          if (!set) return {};
          return of(set->figures->wheel[s]);
        };
        put("toe", b.toe_rad, predicted([](const WheelFigures& w) { return w.toe_rad; }),
            n.toe_rad);
        put("camber", b.camber_rad, predicted([](const WheelFigures& w) { return w.camber_rad; }),
            n.camber_rad);
        if (car_.at(a)->layout.steered())
          put("caster", b.caster_rad,
              predicted([](const WheelFigures& w) { return *w.caster_rad; }), n.caster_rad);
        g.rows.push_back({fmt::format("{}: hub to arch", where), b.arch_mm ? t_.mm(*b.arch_mm) : "",
                          "", n.arch_mm ? t_.mm(*n.arch_mm) : ""});
      }
      g.rows.push_back({fmt::format("{}: total toe", word(a)),
                        found ? read(found->at(a).total_toe_rad) : "", "",
                        last ? read(last->at(a).total_toe_rad) : ""});
    }
    g.rows.push_back({"thrust angle, to the right above zero", found ? read(found->thrust_rad) : "",
                      "", last ? read(last->thrust_rad) : ""});
    g.to_fill = true;
    blocks_->emplace_back(std::move(g));
  }

  void torques() {
    Grid g;
    g.title = "Torque, from the maker's manual";
    g.heads = {"fastener", "torque", "mark", "done by", "gone over by"};
    g.units = {"", "", "", "", ""};
    for (const auto& j : jobs_.rows)
      if (!j.torque.empty())
        g.rows.push_back(
            {j.step.empty() ? j.part : j.step, j.torque, j.mark, j.done_by, j.checked_by});
    for (int i = 0; i < 3; ++i) g.rows.push_back({"", "", "", "", ""});
    g.to_fill = true;
    blocks_->emplace_back(std::move(g));
  }

  void day() {
    Grid g;
    g.title = "The day";
    g.heads = {"", "written in"};
    g.units = {"", ""};
    for (const char* what :
         {"date, odometer", "fuel, ballast in the seat", "pressures: front left, front right",
          "pressures: rear left, rear right", "perches: front left, front right",
          "perches: rear left, rear right", "turns of the steering wheel, lock to lock",
          "rack rods: threads showing, left and right", "temperature"})
      g.rows.push_back({what, ""});
    g.to_fill = true;
    blocks_->emplace_back(std::move(g));
  }

  void signatures() {
    Grid g;
    g.title = "Signed";
    g.heads = {"", "name", "date", "signature"};
    g.units = {"", "", "", ""};
    g.rows = {
        {"did the work as this sheet says", "", "", ""},
        {"went over it: every lock nut, split pin and wheel bolt; nothing touches at full bump, "
         "droop and lock",
         "", "", ""}};
    g.to_fill = true;
    blocks_->emplace_back(std::move(g));
  }

  const Car& car_;
  const Correction& c_;
  const Aligning& a_;
  const Proving& p_;
  const Jobs& jobs_;
  InUnits t_;
  std::vector<Block>* blocks_ = nullptr;
};

}  // namespace

Section tell_record(const Car& car, const Correction& correction, const Aligning& aligning,
                    const Proving& proving, const Jobs& jobs, Units units) {
  return Record(car, correction, aligning, proving, jobs, units).told();
}

}  // namespace trammel
