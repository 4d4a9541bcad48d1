#include "sheet/worked.h"

#include <utility>

#include "base/check.h"
#include "travel/freedom.h"

namespace trammel {

Read<CarFile> read_car_file(std::string text) {
  auto document = parse(std::move(text));
  if (!document.value) return {{}, std::move(document.faults)};
  auto car = read_car(*document.value);
  if (!car.value) return {{}, std::move(car.faults)};
  auto tables = read_tables(*document.value, *car.value);
  return {CarFile{std::move(*document.value), std::move(*car.value), std::move(tables)}, {}};
}

std::vector<Advices> advices_for(const Ride& sits, const Spread& spread, const Wishes& wishes,
                                 const Correction& correction) {
  std::vector<Advices> all;
  for (const AxleName name : each_axle) {
    const auto& c = correction.at(name);
    if (sits.car.at(name))
      all.push_back(what_next(sits, spread, name, c ? &c->ranking : nullptr,
                              wishes.target[static_cast<std::size_t>(name)], NarrowWhat::chance));
  }
  return all;
}

Worked::Worked(CarFile file, std::string state, Progress progress)
    : file_(std::move(file)), state_(std::move(state)), progress_(std::move(progress)) {}

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

const Correction& Worked::correction() {
  if (correction_) return *correction_;
  check(stands().value.has_value(), "a car that stands");
  correction_ = correct(*stands().value, adjusted().spread, wishes(), progress_);
  if (progress_) progress_(1.0);  // over: whoever tells of it makes room
  return *correction_;
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

const std::vector<Advices>& Worked::advices() {
  if (advices_) return *advices_;
  const auto& corrected = correction();
  return advices_.emplace(advices_for(*stands().value, adjusted().spread, wishes(), corrected));
}

}  // namespace trammel
