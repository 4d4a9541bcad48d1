// What a car file says, told back: so that a reader sees what was understood.
#pragma once

#include "base/quantity.h"
#include "base/section.h"
#include "car/car.h"
#include "car/survey.h"
#include "car/wishes.h"

namespace trammel {

Section tell(const Car& car, const Wishes& wishes, const Survey& survey, Units units);

}  // namespace trammel
