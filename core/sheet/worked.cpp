#include "sheet/worked.h"

#include <utility>

#include "base/check.h"
#include "sheet/hangs_on.h"

namespace trammel {

Worked::Worked(CarFile file, std::string state, Progress progress)
    : file_(std::move(file)), state_(std::move(state)), progress_(std::move(progress)) {}

void Worked::retake(CarFile file) {
  if (geometry_of_file_.empty()) geometry_of_file_ = geometry_of(file_.document);
  auto geometry = geometry_of(file.document);
  const bool same = geometry == geometry_of_file_;
  for (const AxleName a : each_axle) {
    const auto i = static_cast<std::size_t>(a);
    if (!same) axle_[a] = {};
    else if (file.tables.wishes.chosen[i] != wishes().chosen[i]) axle_[a].chosen_is_old = true;
  }
  file_ = std::move(file);
  geometry_of_file_ = std::move(geometry);
  if (!same) {
    ++geometry_;
    surveyed_.reset();
    stands_.reset();
    stances_.reset();
  } else if (surveyed_ && surveyed_->value) {
    surveyed_->value->adjusted.car.name = file_.car.name;
  }
  correction_.reset();
  making_.reset();
  settling_.reset();
  aligning_.reset();
  proving_.reset();
  advices_.reset();
}

const Answer<Surveyed>& Worked::surveyed() {
  if (surveyed_) return *surveyed_;
  const auto& tables = file_.tables;
  auto adjusted = adjust(file_.car, tables.survey);
  if (!adjusted.value) return surveyed_.emplace(Answer<Surveyed>{{}, std::move(adjusted.why)});
  auto judged = judge_runs(std::move(*adjusted.value), tables.survey, tables.wishes);
  return surveyed_.emplace(
      Answer<Surveyed>{Surveyed{std::move(judged.adjusted), std::move(judged.runs)}, {}});
}

const Adjusted& Worked::adjusted() {
  check(surveyed().value.has_value(), "a survey that has its answer");
  return surveyed_->value->adjusted;
}

const Answer<Ride, NotStanding>& Worked::stands() {
  if (stands_) return *stands_;
  const auto no = [&](NotStanding why) -> const Answer<Ride, NotStanding>& {
    return stands_.emplace(Answer<Ride, NotStanding>{{}, std::move(why)});
  };
  if (!surveyed().value) {
    NotStanding why{NotStanding::Of::said};
    why.words = surveyed().why;
    return no(std::move(why));
  }
  const RideState* state = nullptr;
  if (!state_.empty()) {
    state = car().state(state_);
    if (!state) return no({NotStanding::Of::no_state, state_});
  }
  return stands_.emplace(ride(car(), state));
}

const Answer<Stands, NotStanding>& Worked::stances() {
  if (!stances_) stances_ = stands_of(car(), wishes());
  return *stances_;
}

const std::vector<PlottedState>& Worked::today(AxleName axle, int samples) {
  auto& a = axle_[axle];
  if (!a.today || a.today_samples < samples) {
    a.today = plotted_today(*stances().value, adjusted().spread, axle, samples);
    a.today_samples = samples;
  }
  return *a.today;
}

const Answer<Ranking, NothingToRank>& Worked::shelf(AxleName axle) {
  auto& a = axle_[axle];
  if (!a.shelf) a.shelf = unranked(*stands().value, adjusted().spread, axle, wishes());
  return *a.shelf;
}

void Worked::rank_axle(AxleName axle, const Progress& progress) {
  check(stands().value.has_value(), "a car that stands");
  auto& a = axle_[axle];
  const Ride& sits = *stands().value;
  if (!a.corrected) {
    a.corrected = correct_axle(sits, adjusted().spread, axle, wishes(), progress);
  } else if (a.chosen_is_old && a.corrected->value) {
    auto ranking = std::move(a.corrected->value->ranking);
    a.corrected->value = completed(sits, adjusted().spread, wishes(), std::move(ranking));
  }
  a.chosen_is_old = false;
}

const Answer<AxleCorrection, NothingToRank>& Worked::correction(AxleName axle) {
  const bool ranked = axle_[axle].corrected.has_value();
  rank_axle(axle, progress_);
  if (progress_ && !ranked) progress_(1.0);  // over: whoever tells of it makes room
  return *axle_[axle].corrected;
}

const Correction& Worked::correction() {
  if (correction_) return *correction_;
  check(stands().value.has_value(), "a car that stands");
  const double share = car().at(AxleName::front) && car().at(AxleName::rear) ? 0.5 : 1.0;
  double done = 0.0;
  bool any = false;
  Correction all;
  for (const AxleName a : each_axle) {
    if (!car().at(a)) continue;
    any = any || !axle_[a].corrected;
    rank_axle(a, [&](double x) {
      if (progress_) progress_(done + share * x);
    });
    done += share;
    const auto i = static_cast<std::size_t>(a);
    const auto& corrected = *axle_[a].corrected;
    if (corrected.value) all.axle[i] = *corrected.value;
    else all.why[i] = corrected.why;
  }
  if (progress_ && any) progress_(1.0);  // over: whoever tells of it makes room
  return correction_.emplace(std::move(all));
}

const Making& Worked::making() {
  if (making_) return *making_;
  const auto& corrected = correction();
  return making_.emplace(make(*stands().value, corrected, wishes(), file_.tables.workshop));
}

const Settling& Worked::settling() {
  if (settling_) return *settling_;
  const auto& corrected = correction();
  return settling_.emplace(settle(*stands().value, corrected, wishes()));
}

const Aligning& Worked::aligning(Units units) {
  if (!aligning_ || aligning_->first != units) {
    const auto& corrected = correction();
    aligning_.emplace(units, align(*stands().value, corrected, wishes(), file_.tables.alignment,
                                   file_.tables.survey, units));
  }
  return aligning_->second;
}

const Proving& Worked::proving() {
  if (proving_) return *proving_;
  const auto& corrected = correction();
  return proving_.emplace(prove(surveyed().value->runs, *stands().value, adjusted(),
                                file_.tables.survey, wishes(), corrected));
}

const std::vector<Advices>& Worked::advices(NarrowWhat what) {
  if (!advices_ || advices_->first != what) {
    const auto& corrected = correction();
    std::vector<Advices> all;
    for (const AxleName name : each_axle) {
      const auto& c = corrected.at(name);
      if (car().at(name))
        all.push_back(what_next(*stands().value, adjusted().spread, name, c ? &c->ranking : nullptr,
                                wishes().target[static_cast<std::size_t>(name)], what));
    }
    advices_.emplace(what, std::move(all));
  }
  return advices_->second;
}

}  // namespace trammel
